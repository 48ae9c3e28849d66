"""Rates of labour, cautions and recoveries: whole tables, each row with a source and one short sentence."""

import pytest

from planning.job.step import Band
from planning.job.words import QUANTITIES, WINDOW_NAMES
from planning.trade.cautions import caution_words, cautions
from planning.trade.materials import common_classes
from planning.trade.rates import labour, rate_from, rates
from planning.trade.recoveries import recoveries, recovery_words
from planning.trade.tables import TableProblem

SQFT = 0.3048**2


def test_every_rate_ascends_and_has_a_source():
    for rate in rates().values():
        assert 0 < rate.minutes.low <= rate.minutes.typical <= rate.minutes.high
        assert rate.source
        assert rate.per in QUANTITIES


def test_labour_of_a_floor_is_the_sum_of_its_rates():
    """60 sq ft: 4.5 min a sq ft to set is 270; 0.4 + 1.3 to clean and grout is 102."""
    area = 60 * SQFT
    assert labour({rates()["set-floor"]: area}) == Band(180, 270, 420)
    assert labour({rates()["clean-joints"]: area, rates()["grout"]: area}).typical == 102


def test_no_step_takes_no_time():
    assert labour({}) == Band(1, 1, 1)


def test_a_rate_by_an_unknown_quantity_says_which_there_are():
    with pytest.raises(TableProblem, match="floor_area"):
        rate_from("mine", {"per": "acre", "of": 1, "unit": "min"})


def test_every_caution_is_one_short_sentence_with_a_source():
    for caution in cautions().values():
        assert caution.source
        assert len(caution.say) <= 140
        assert caution.say.endswith(".")
        assert caution.say.count(". ") == 0


def test_the_cautions_of_all_classes_are_in_the_table():
    assert {key for each in common_classes().values() for key in each.cautions} <= set(cautions())
    assert {"silica", "caustic", "lifting", "power", "load", "heat", "flood-depth", "solvent"} <= set(cautions())


def test_caution_words_are_said_once_and_unknown_ones_stay_as_the_setter_wrote_them():
    words = caution_words(["silica", "mind the dog", "silica"])
    assert len(words) == 2
    assert words[1] == "mind the dog"


def test_ten_recoveries_each_with_labour_a_clock_and_a_source():
    found = recoveries()
    assert len(found) == 10
    for recovery in found.values():
        assert recovery.labour
        assert recovery.restarts in WINDOW_NAMES
        assert recovery.source
        assert recovery.say.endswith(".")


def test_recovery_words_fall_back_on_the_setters_own():
    assert recovery_words(None) is None
    assert recovery_words("call me") == "call me"
    assert "prime" in str(recovery_words("re-prime"))
