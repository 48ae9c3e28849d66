"""The rooms by the hour as runs on lanes: hands above, floor below, people at the end. No cells yet: see draw_run.

CAPITALS are hands at work, small letters are the stuff at work; the pattern says what it is without any color.
"""

from bisect import bisect_left
from dataclasses import dataclass
from typing import Literal

from planning.job.plan import Plan, PlannedRoom, PlannedStep
from planning.job.words import Instant
from tui.screens.ways import no_way, offs
from tui.words import room_name, shorten, wall

RunKind = Literal["hands", "dry", "open", "off", "noway", "flood", "visit"]
DRIES = frozenset(("drying", "solvent"))


@dataclass(frozen=True, slots=True)
class Run:
    """Something on a lane from `start` until `until`, with the word to write in it and the step it belongs to."""

    start: Instant
    until: Instant
    kind: RunKind
    word: str
    step: str = ""


@dataclass(frozen=True, slots=True)
class Lane:
    """One line of the picture: whose it is, what it is ("hands", "floor", "person"), its runs, later ones on top."""

    of: str
    what: Literal["hands", "floor", "person"]
    name: str
    runs: tuple[Run, ...]


def lanes(plan: Plan) -> list[Lane]:
    """Two lanes a room, one a person, in the plan's order."""
    made: list[Lane] = []
    for room in plan.rooms:
        made.append(Lane(room.id, "hands", room.name, tuple(_hands(plan, room))))
        made.append(Lane(room.id, "floor", "floor", tuple(_floor(plan, room))))
    made += [Lane(each.name, "person", each.name, tuple(_person(plan, each.name))) for each in plan.people]
    return made


def _hands(plan: Plan, room: PlannedRoom) -> list[Run]:
    here = sorted((s for s in plan.steps if s.room == room.id), key=lambda s: (s.start, s.finish, s.id))
    by_id = {step.id: step for step in plan.steps}
    soft: list[Run] = []
    for step in here:
        soft += _waits(step, by_id)
    soft += [
        Run(step.finish, step.foot_ready, "dry", "cure", step.id)
        for step in here
        if step.foot_ready is not None and step.foot_ready > step.finish
        and not any(run.step == step.id and run.until >= (step.foot_ready or 0) for run in soft)
    ]  # fmt: skip
    soft.sort(key=lambda run: (("dry", "flood", "open").index(run.kind), run.start))
    hands = [Run(s.start, s.finish, "hands", s.title.upper(), s.id) for s in here if s.finish > s.start]
    visits = [
        Run(v.start, v.finish, "visit", f'"{v.who.upper()}"', v.id) for v in plan.visits if v.room == room.id
    ]  # fmt: skip
    return [*soft, *hands, *visits]


def _waits(step: PlannedStep, by_id: dict[str, PlannedStep]) -> list[Run]:
    """What dries before this step may start, and for how long it then stands open."""
    opens = step.window.opens
    made: list[Run] = []
    for link in step.after:
        before = by_id.get(link.id)
        if before is None or link.wait_min <= 0 or before.room != step.room:
            continue
        begin = before.start if link.on == "start" else before.finish
        if before.kind == "test":
            made.append(Run(begin, begin + link.wait_min, "flood", "flood", before.id))
        else:
            word = "drying" if link.law in DRIES else "cure"
            made.append(Run(begin, begin + link.wait_min, "dry", word, before.id))
    if made and opens is not None and step.start > opens and step.state not in ("done", "curing", "hands"):
        until = step.start if step.window.shuts is None else min(step.start, step.window.shuts)
        if until > opens:
            made.append(Run(opens, until, "open", "open", step.id))
    return made


def _floor(plan: Plan, room: PlannedRoom) -> list[Run]:
    none = [Run(start, until, "noway", "no way in") for start, until in no_way(plan, room)]
    stay = [
        Run(off.start, off.until, "off", f"stay off {off.words}".strip(), off.step) for off in offs(plan, room.id)
    ]  # fmt: skip
    return [*none, *stay]


def _person(plan: Plan, name: str) -> list[Run]:
    return [
        Run(step.start, step.finish, "hands", room_name(plan, step.room).upper(), step.id)
        for step in sorted(plan.steps, key=lambda s: s.start)
        if name in step.people and step.finish > step.start
    ]


def room_steps(plan: Plan, room: str) -> list[PlannedStep]:
    """The steps of a room in order of start."""
    return sorted((s for s in plan.steps if s.room == room), key=lambda s: (s.start, s.finish, s.id))


def nearest(steps: list[PlannedStep], at: Instant) -> PlannedStep | None:
    """The step that runs at an instant, or starts next after it, or else the last."""
    if not steps:
        return None
    finishes = sorted((s.finish, n) for n, s in enumerate(steps))
    at_or_after = bisect_left(finishes, (at + 1, -1))
    return steps[finishes[min(at_or_after, len(finishes) - 1)][1]]


FILL: dict[RunKind, str] = {"hands": "█", "dry": "░", "open": "─", "off": "/", "noway": ":", "flood": "≈",
                            "visit": " "}  # fmt: skip


def draw_run(kind: RunKind, word: str, width: int) -> str:
    """A run as text of exactly `width` cells: its pattern, and its word (or first letter) where there is room."""
    if width <= 0:
        return ""
    fill = FILL[kind]
    if kind == "hands":
        return _hands_text(word, width)
    if kind == "open":
        return "[" if width == 1 else "[" + _word(word, width - 2, fill) + "]"
    if kind == "visit":
        return word if len(word) <= width else ('"' + word[1:2] + '"')[:width]
    if kind in ("off", "noway"):
        return _tape(word, width, fill)
    return _word(word, width, fill)


def _hands_text(word: str, width: int) -> str:
    if width < 3:
        return "█" if width == 1 else "▐▌"
    inner = width - 2
    return "▐" + shorten(word, inner).ljust(inner, "█") + "▌"


def _word(word: str, width: int, fill: str) -> str:
    """The word and then the pattern: at least one cell of pattern stays."""
    if width < 2:
        return fill * width
    shown = word if len(word) < width else word[:1]
    return shown.ljust(width, fill)


def _tape(word: str, width: int, fill: str) -> str:
    """Tape with the word in it: a strip of tape on both sides; a short one is tape only."""
    for text in (word, " ".join(word.split()[:2])):
        if text and len(text) + 2 <= width:
            return fill + text.ljust(width - 1, fill)
    return fill * width


def hour_word(plan: Plan, at: Instant) -> str:
    """The label of a whole hour on the axis: 7, 12, 1."""
    return wall(plan, at).split(":")[0]
