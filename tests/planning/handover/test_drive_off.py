"""Before driving off: what the plan and the evening ask for, ticked for that evening only."""

from planning.handover.drive_off import drive_off, drive_off_text
from planning.handover.evening import Evening, evening
from planning.job.events import Event
from planning.job.step import Band, KeepOff, Step
from tests.planning.supply.a_day import JOB, POUR, SET, STEPS, a_plan, at, event, planned

DONE = [
    event(1, "started", at(9, 10), step=f"{SET.id}#1"),
    event(2, "finished", at(12), step=f"{SET.id}#1"),
    event(3, "started", at(14, 40), step=POUR.id),
    event(4, "finished", at(15, 20), step=POUR.id),
]


def facts(events: list[Event], now: int = at(16)) -> Evening:
    return evening(a_plan(), JOB, STEPS, events, now)


def words(events: list[Event], now: int = at(16)) -> dict[str, str]:
    return {line.key: line.words for line in drive_off(facts(events, now))}


def test_an_evening_with_a_fresh_pour_asks_for_fans_heat_tape_valves_washing_and_cords() -> None:
    said = words(DONE)
    assert said["fans/powder-room"] == "Fans off, doors and windows shut: powder room"
    assert said["heat/61F"] == "Heat left at 61 F or more: kitchen and powder room"
    assert said["tape/powder-room"] == "Tape and sheet at the door: powder room"
    assert said["valve/powder-room"] == "Toilet valve shut, flange plugged: powder room"
    assert "wash" in said
    assert "cords" in said


def test_tomorrows_load_is_in_whole_packages_and_what_is_short_is_to_buy() -> None:
    said = words([], at(16, day=2))
    assert said["load/thin-set"].startswith("Load for Wed 3 Jun: ")
    assert "thin-set mortar" in said["load/thin-set"]
    assert said["buy/leveler-rapid"].startswith("BUY ")
    assert said["buy/leveler-rapid"].endswith("before 2:35")


def test_what_the_truck_brings_is_not_to_buy_but_said_when_it_comes_too_late() -> None:
    said = words(DONE)
    assert not [key for key in said if key in ("buy/tile", "load/tile")]
    assert said["late/tile"].endswith("needed 7:20, the truck comes by 10:00")


def test_a_day_on_which_nothing_was_touched_has_nothing_to_wash() -> None:
    said = words([], at(16, day=2))
    assert not {"wash", "cords"} & set(said)
    assert not [key for key in said if key.startswith(("fans/", "tape/", "heat/"))]


def test_a_flood_that_stands_asks_for_plug_and_mark_till_it_is_let_out() -> None:
    out = Step(
        "kitchen/floor/out", JOB.name, "kitchen", None, "floor", "out", "drain down", "test", ("test",), Band(5, 10, 20)
    )
    fill = Step(
        "kitchen/floor/fill", JOB.name, "kitchen", None, "floor", "fill", "flood fill", "test", ("test",),
        Band(10, 20, 30),
        keeps_off=(KeepOff("walk", ("kitchen",), out.id), KeepOff("wet", ("kitchen",), out.id)),
    )  # fmt: skip
    plan = a_plan(planned(fill, at(10), at(10, 20)), planned(out, at(11, day=4), at(11, 10, 4)))
    filled = [event(1, "started", at(10), step=fill.id), event(2, "finished", at(10, 20), step=fill.id)]
    keys = [line.key for line in drive_off(evening(plan, JOB, (fill, out), filled, at(16)))]
    assert "plug/kitchen" in keys


def test_a_tick_holds_for_its_evening_and_the_last_word_counts() -> None:
    def tick(seq: int, value: str, day: str) -> Event:
        return event(seq, "ticked", at(16), leave="wash", day=day, value=value)

    def washed(*ticks: Event) -> bool:
        return next(line.done for line in drive_off(facts([*DONE, *ticks])) if line.key == "wash")

    assert not washed()
    assert washed(tick(5, "on", "2026-06-03"))
    assert not washed(tick(5, "on", "2026-06-02"))
    assert not washed(tick(5, "on", "2026-06-03"), tick(6, "off", "2026-06-03"))


def test_what_is_ticked_on_the_pull_list_is_in_the_van_here_too() -> None:
    ticked = event(5, "ticked", at(15, day=2), step=f"{SET.id}#1", value="on", **{"class": "thin-set"})
    line = next(line for line in drive_off(facts([ticked], at(16, day=2))) if line.key == "load/thin-set")
    assert line.done


def test_the_text_counts_what_is_left_and_numbers_the_lines() -> None:
    ticked = event(5, "ticked", at(16), leave="wash", day="2026-06-03", value="on")
    lines = drive_off(facts([*DONE, ticked]))
    text = drive_off_text(facts([*DONE, ticked]))
    assert f"{len(lines) - 1} of {len(lines)} to do" in text
    n = next(n for n, line in enumerate(lines, start=1) if line.key == "wash")
    assert f"√ {n:>2}  Mixer" in text
