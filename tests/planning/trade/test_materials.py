"""Material classes: windows of the trade in SI, and the setter's label over them."""

import pytest

from planning.job.job import OwnMaterial
from planning.job.step import Band
from planning.trade.materials import MAXIMUM_ONLY, common_classes, material_classes
from planning.trade.tables import UNITS, TableProblem, band, span
from tests.planning.trade.small_jobs import job_of

HOUR = 60
CLASSES = common_classes()
EXPECTED_CLASSES = {
    "primer", "epoxy-primer", "leveler", "leveler-rapid", "thin-set", "thin-set-rapid", "deck-mud", "float-rapid",
    "membrane-liquid", "membrane-sheet", "liner-sheet", "uncoupling", "cement-board", "patch-rapid",
    "solvent-cement-pvc", "solvent-cement-abs", "solvent-cement-cpvc", "solvent-cement-abs-to-pvc",
    "sealant-silicone", "sealant-acrylic", "grout-cement", "grout-rapid", "grout-epoxy", "sealer",
}  # fmt: skip


def test_every_class_of_the_trade_is_there_with_a_source():
    assert set(CLASSES) >= EXPECTED_CLASSES
    assert all(each.source and each.title and each.package.gives.low > 0 for each in CLASSES.values())
    assert all(window.source for each in CLASSES.values() for window in each.windows.values())


@pytest.mark.parametrize(
    ("name", "window", "low", "typical", "high"),
    [
        ("leveler", "walk", 3, 4, 6),
        ("leveler", "tile", 16, 24, 48),
        ("leveler-rapid", "tile", 2, 4, 16),
        ("thin-set", "grout", 16, 24, 48),
        ("membrane-liquid", "next_layer", 1, 2, 5),
        ("float-rapid", "next_layer", 2, 4, 16),
        ("grout-cement", "seal", 48, 72, 672),
        ("deck-mud", "next_layer", 24, 48, 72),
    ],
)
def test_minimums_are_those_of_common_practice(name: str, window: str, low: float, typical: float, high: float):
    wait = CLASSES[name].wait(window, "bath")
    assert wait is not None
    assert wait.label == Band(round(low * HOUR), round(typical * HOUR), round(high * HOUR))
    assert (wait.material, wait.room, wait.own_label) == (name, "bath", False)


def test_a_flood_test_never_begins_sooner_than_a_day_after_the_last_coat():
    """ASTM D5957-98(2021) 5.4, as quoted."""
    wait = CLASSES["membrane-liquid"].wait("flood")
    assert wait is not None
    assert wait.label.low == 24 * HOUR
    assert "D5957" in wait.source


def test_windows_open_before_they_shut_and_the_work_itself_only_has_maximums():
    for material in CLASSES.values():
        for name, window in (*material.windows.items(), *material.sealed.items()):
            assert window.minimum is not None or window.maximum is not None
            if name in MAXIMUM_ONLY:
                assert window.minimum is None, (material.key, name)
            if window.minimum and window.maximum:
                assert window.minimum.typical < window.maximum.typical or window.minimum.typical == 0


def test_packages_are_whole_and_noise_buys_none_more():
    """1.875 cu ft of leveler at 0.45 a bag and 10 % waste are 4.58 bags."""
    leveler = CLASSES["leveler"]
    cubic_foot = 0.3048**3
    assert leveler.packages(1.875 * cubic_foot) == 5
    assert leveler.packages(0) == 0
    assert leveler.packages(3 * leveler.package.gives.typical / (1 + leveler.waste)) == 3
    assert leveler.package.weight_kg == pytest.approx(22.6796, abs=1e-4)


def test_the_label_of_the_setter_replaces_ours_and_the_rest_stays():
    own = OwnMaterial(
        "leveler-rapid",
        bag_kg=25.0,
        water_l=5.2,
        yield_m3=0.013,
        windows={
            "next_layer": (Band(90, 90, 90), Band(1440, 1440, 1440)),
            "work": (Band(10, 10, 10), None),
            "tile": (Band(240, 240, 240), None),
        },
    )
    mine = material_classes(job_of(materials={"leveler-rapid": own}))["leveler-rapid"]
    ours = CLASSES["leveler-rapid"]
    wait, within, work = mine.wait("next_layer"), mine.within("next_layer"), mine.within("work")
    assert wait is not None
    assert within is not None
    assert work is not None
    assert (wait.label.typical, within.label.typical, work.label.typical) == (90, 1440, 10)
    assert wait.own_label
    assert mine.wait("work") is None
    assert mine.package.gives.typical == 0.013
    assert mine.package.weight_kg == 25.0
    assert mine.windows["walk"] == ours.windows["walk"]
    spread = next(act for act in mine.acts if act.key == "spread")
    assert spread.shuts is not None
    assert spread.shuts.own_label


def test_a_longer_minimum_of_the_setter_never_leaves_a_window_that_shuts_before_it_opens():
    own = OwnMaterial("primer", windows={"next_layer": (Band(2880, 2880, 2880), None)})
    mine = material_classes(job_of(materials={"primer": own}))["primer"]
    within = mine.within("next_layer")
    assert within is not None
    assert within.label.typical == 2880


def test_a_bag_of_another_weight_gives_as_much_more_when_the_label_is_silent():
    own = OwnMaterial("leveler", bag_kg=2 * CLASSES["leveler"].package.weight_kg)
    mine = material_classes(job_of(materials={"leveler": own}))["leveler"]
    assert mine.package.gives.typical == pytest.approx(2 * CLASSES["leveler"].package.gives.typical)


def test_mortar_under_large_tile_on_a_sealed_base_waits_longer():
    thin_set = CLASSES["thin-set"]
    plain, sealed = thin_set.wait("grout"), thin_set.wait("grout", over_sealed=True)
    assert plain is not None
    assert sealed is not None
    assert (plain.label.typical, sealed.label.typical) == (24 * HOUR, 48 * HOUR)


def test_the_four_kinds_of_pipe_have_their_own_cement_by_its_standard():
    """ASTM D2564, D2235, F493 and D3138 are the cements of PVC, ABS, CPVC and ABS to PVC."""
    by_pipe = {each.pipe: each for each in CLASSES.values() if each.pipe}
    for pipe, standard in (("pvc", "D2564"), ("abs", "D2235"), ("cpvc", "F493"), ("abs-to-pvc", "D3138")):
        assert any(standard in item for item in by_pipe[pipe].small_items)


def test_units_of_the_trade_are_exact_and_unknown_ones_say_how():
    assert UNITS["sq ft"] == pytest.approx(0.09290304)
    assert UNITS["gal"] == pytest.approx(3.785411784)
    assert span(1, "min/sq ft").typical == pytest.approx(10.7639, abs=1e-4)
    assert band([0.5, 1, 5], "h") == Band(30, 60, 300)
    with pytest.raises(TableProblem, match="write one of"):
        span(1, "stone")
    with pytest.raises(TableProblem, match="ascend"):
        band([3, 2, 1], "h")
