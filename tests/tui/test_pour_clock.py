"""The clocks inside a pour and a float, from made-up reports: what is told next, which clock runs, what ends it."""

from datetime import UTC, datetime, timedelta

from planning.job.events import Event
from planning.job.plan import PlannedStep
from tui.pour_clock import ActTimes, Mix, next_act, pour_log, windows

BEGIN = datetime(2026, 6, 3, 14, 0, tzinfo=UTC)
FROM = int(BEGIN.timestamp() // 60)
POUR = PlannedStep("room/level/pour", "j", "room", None, "pour", "pour", "hands", FROM, FROM + 35, ("you", "helper"))
LEVELER = Mix(
    2, "bag",
    (ActTimes("spread", "spread", shuts=15), ActTimes("edge", "join", shuts=12), ActTimes("bucket", "use", shuts=20)),
)  # fmt: skip
FLOAT = Mix(
    5, "bag",
    (ActTimes("rails", "screed off the rails", opens=30), ActTimes("bulk", "bulk lift", "rails", shuts=10),
     ActTimes("skim", "skim lift", "bulk", opens=18, shuts=30)),
)  # fmt: skip


def noted(*what: tuple[int, str, dict[str, str]]) -> list[Event]:
    """Reports so many minutes after the beginning."""
    return [
        Event(f"e{n}", kind, BEGIN + timedelta(minutes=minute), {"step": POUR.id, **body}, n)
        for n, (minute, kind, body) in enumerate(what, 1)
    ]


def told(mix: Mix, events: list[Event]) -> str | None:
    found = next_act(POUR, mix, pour_log(events, POUR.id))
    return None if found is None else found.words


def clocks(mix: Mix, events: list[Event], minute: int) -> dict[str, tuple[int | None, str]]:
    found = windows(POUR, mix, pour_log(events, POUR.id), FROM + minute, FROM + minute)
    return {each.what: (None if each.shuts is None else each.shuts - FROM, each.state) for each in found}


WATER_1 = (2, "water_in", {})
POURED_1 = (5, "bucket", {"value": "stopped"})
WATER_2 = (6, "water_in", {})
POURED_2 = (9, "bucket", {"value": "stopped"})


def test_bag_after_bag_is_told_and_then_the_step_itself_is_to_finish() -> None:
    assert told(LEVELER, []) == "water is in, bag 1"
    assert told(LEVELER, noted(WATER_1)) == "bag 1 is poured"
    assert told(LEVELER, noted(WATER_1, POURED_1)) == "water is in, bag 2"
    assert told(LEVELER, noted(WATER_1, POURED_1, WATER_2)) == "bag 2 is poured"
    assert told(LEVELER, noted(WATER_1, POURED_1, WATER_2, POURED_2)) is None


def test_a_bucket_counts_from_its_own_water_and_ends_when_it_is_poured() -> None:
    assert clocks(LEVELER, noted(WATER_1), 3) == {"bucket, bag 1": (22, "open")}
    assert "bucket, bag 1" not in clocks(LEVELER, noted(WATER_1, POURED_1), 5)


def test_an_edge_is_open_till_the_next_bag_meets_it_and_never_for_the_last_bag() -> None:
    assert clocks(LEVELER, noted(WATER_1, POURED_1), 5)["edge, bag 1"] == (14, "open")
    both = clocks(LEVELER, noted(WATER_1, POURED_1, WATER_2, POURED_2), 9)
    assert both == {"smooth, bag 2": (21, "open")}


def test_an_edge_nobody_met_closes_and_shuts_at_its_own_minute() -> None:
    events = noted(WATER_1, POURED_1)
    assert clocks(LEVELER, events, 9)["edge, bag 1"][1] == "closing"
    assert clocks(LEVELER, events, 14)["edge, bag 1"][1] == "shut"


def test_a_bag_thrown_away_is_asked_for_again() -> None:
    events = noted(WATER_1, POURED_1, WATER_2, (30, "bucket", {"value": "dumped"}))
    assert told(LEVELER, events) == "water is in, bag 3"
    assert clocks(LEVELER, events, 31).keys() == {"edge, bag 1", "smooth, bag 1"}


def test_an_undone_report_takes_its_clock_away() -> None:
    events = noted(WATER_1)
    undone = Event("u", "undone", BEGIN + timedelta(minutes=3), {"event": "e1"}, 9)
    assert clocks(LEVELER, [*events, undone], 4) == {}
    assert told(LEVELER, [*events, undone]) == "water is in, bag 1"


def test_lift_after_lift_each_counted_from_the_one_before() -> None:
    assert told(FLOAT, []) == "water is in"
    water = (0, "water_in", {})
    rails = (34, "bucket", {"value": "stopped", "act": "rails"})
    bulk = (40, "bucket", {"value": "stopped", "act": "bulk"})
    assert clocks(FLOAT, noted(water), 10) == {"screed off the rails": (None, "not_yet")}
    assert told(FLOAT, noted(water)) == "SCREED RAILS done"
    assert clocks(FLOAT, noted(water, rails), 35) == {"bulk lift": (44, "open")}
    assert told(FLOAT, noted(water, rails, bulk)) == "SKIM LIFT done"
    assert clocks(FLOAT, noted(water, rails, bulk), 41) == {"skim lift": (70, "not_yet")}
