"""Rates of labour, cautions and recoveries: whole tables, each row with a source and one short sentence."""

import pytest

from planning.job.step import Band
from planning.job.words import KINDS, QUANTITIES
from planning.trade.cautions import caution_words, cautions
from planning.trade.materials import common_classes
from planning.trade.rates import labour, rate_from, rates
from planning.trade.recoveries import late_recovery, recoveries, recovery_words, words_if_missed
from planning.trade.tables import TableProblem
from planning.trade.troubles import trouble_named, troubles
from tests.planning.trade.small_jobs import do, room_of, steps_of

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


def test_every_recovery_has_steps_with_labour_a_sentence_and_a_source():
    found = recoveries()
    assert len(found) >= 10
    for recovery in found.values():
        assert recovery.rows
        assert all(row.labour and len(row.title) <= 18 for row in recovery.rows)
        assert recovery.source
        assert recovery.say.endswith(".")


def test_every_kind_of_layer_has_a_recovery_for_coming_too_late():
    for kind in KINDS:
        assert late_recovery(kind).rows


def test_every_trouble_names_recoveries_that_there_are_and_is_found_by_each_of_its_words():
    for trouble in troubles().values():
        assert trouble.source
        assert trouble.recovery
        for word in trouble.words:
            assert trouble_named(f"there is {word} here").key == trouble.key


def test_words_nobody_knows_are_something_else_that_the_owner_is_asked_about():
    assert trouble_named("the door frame is split").key == "other"
    assert trouble_named("").asks == "owner"


def test_recovery_words_fall_back_on_the_setters_own():
    assert recovery_words(None) is None
    assert recovery_words("call me") == "call me"
    assert "prime" in str(recovery_words("re-prime"))


def test_a_pour_that_came_too_late_is_told_to_prime_again_not_to_pour_twice():
    made = steps_of(room_of(8, 5, do("level-and-tile-floor", {"depth": 0.00635, "bays": 1})), helper=True)
    said = words_if_missed(made["pour"], {step.id: step for step in made.values()})
    assert said == recoveries()["re-prime"].say
    assert words_if_missed(made["set"], {}) == recoveries()["scrape-and-comb"].say
