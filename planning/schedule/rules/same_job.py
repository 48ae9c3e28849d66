"""The plan is a plan of this job: every step once, whole, with its labour, on the planning axis (number 0)."""

from collections import Counter
from collections.abc import Iterator

from planning.job.place import Room
from planning.job.plan import Broken, PlannedPart, PlannedRoom, PlannedStep
from planning.job.step import Step
from planning.job.words import AXIS_MIN
from planning.schedule.rules.case import Case, piece_number
from planning.schedule.rules.hours import needed_minutes, worked_minutes
from planning.schedule.rules.rule import Rule
from planning.schedule.rules.wording import length

SHARE_SLACK = 0.01


class HasEveryStepOnce(Rule):
    """Each step of the job stands in the plan once, or in pieces from 1 to n; only what is done may be left out."""

    number = 0
    never = "leave out a step of the job, have one twice, or have one the job does not ask for"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step missing, doubled, cut wrongly or unknown; another job's plan altogether."""
        if (case.plan.job, case.plan.zone) != (case.job.name, case.job.zone.key):
            yield self.says(f"this is a plan of {case.plan.job} ({case.plan.zone}), not of {case.job.name}.")
        for step_id, times in Counter(planned.id for planned in case.plan.steps).items():
            if times > 1:
                yield self.says(f"{step_id} is in the plan {times} times.", step_id)
        noted = case.progress.started.keys() | case.progress.finished.keys()
        for planned in case.plan.steps:
            known = planned.id.partition("#")[0] in case.step_by_id or planned.id in case.errand_by_id
            if not known and planned.id not in noted:
                yield self.says(f"{planned.id} is in the plan, but not in the job.", planned.id)
        for step in case.steps:
            yield from self._whole(case, step)

    def _whole(self, case: Case, step: Step) -> Iterator[Broken]:
        pieces = case.pieces(step.id)
        numbers = [piece.n for piece in pieces]
        if not pieces:
            yield self.says(f"{step.title}, {case.room_name(step.room)}, is not in the plan.", step.id)
            return
        first = min(numbers)
        if numbers not in ([0], list(range(1, len(numbers) + 1))) and not (pieces[0].done and first == 0):
            yield self.says(f"{case.name(pieces[0])}: its pieces are {numbers}, not 1 to {len(numbers)}.",
                            *(piece.id for piece in pieces))  # fmt: skip
        shares = [each.planned.piece.share for each in pieces if each.planned is not None and each.planned.piece]
        if len(shares) == len(pieces) and abs(sum(shares) - 1) > SHARE_SLACK:
            yield self.says(f"{case.name(pieces[0])}: its pieces make {sum(shares):.0%} of the step.",
                            *(piece.id for piece in pieces))  # fmt: skip


class TakesItsWholeLabour(Rule):
    """An act not begun takes its typical labour rounded up to the axis: no less (more is a pause: rule 3)."""

    number = 0
    never = "give a step less time than its labour takes"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act with too little time."""
        for each in case.open:
            need, given = needed_minutes(each), worked_minutes(case, each)
            if need is not None and given < need:
                words = f"{case.name(each)} takes {length(need)}, but the plan gives it {length(given)}."
                yield self.says(words, each.id)


class StartsOnTheAxis(Rule):
    """Planned times lie on the 5-minute axis; noted ones lie where they happened."""

    number = 0
    never = "start a step between the marks of the 5-minute axis"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act not begun that starts off the axis."""
        for each in case.open:
            if each.start % AXIS_MIN:
                words = f"{case.name(each)} starts {case.when(each.start)}, off the 5-minute axis."
                yield self.says(words, each.id)


class CopiesTheJobRightly(Rule):
    """What a planned step says of its step (room, part, kind, gear, floors, pause, piece) is what the job says."""

    number = 0
    never = "say another thing of a step than the job says"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each planned step that differs from its step; rooms, people and gear that differ from the job's."""
        for each in case.placed:
            if each.planned is None:
                continue
            wrong = _drive_differs(case, each.planned) if each.step is None else _differs(each.planned, each.step)
            if wrong:
                yield self.says(f"{case.name(each)}: {', '.join(wrong)} not as in the job.", each.id)
        if dict(case.plan.gear) != dict(case.job.gear.count):
            yield self.says("the gear of the plan is not the gear of the job.")
        if [(p.name, p.skills) for p in case.plan.people] != [(p.name, tuple(sorted(p.can))) for p in case.job.people]:
            yield self.says("the people of the plan, or what they can do, are not those of the job.")
        if tuple(_told(room) for room in case.job.rooms) != case.plan.rooms:
            yield self.says("the rooms of the plan are not those of the job.")


def _told(room: Room) -> PlannedRoom:
    """A room as a plan tells it: a part without a way in of its own has the room's."""
    parts = tuple(PlannedPart(part.id, part.in_from or room.in_from) for part in room.parts)
    return PlannedRoom(room.id, room.name, room.in_from, parts)


def _drive_differs(case: Case, planned: PlannedStep) -> list[str]:
    """An errand is a drive and nothing else: no floor, no gear, no window."""
    window = planned.window
    same = {
        "room": planned.room in ("", *(room.id for room in case.job.rooms)) and planned.part is None,
        "kind": planned.kind == "prep",
        "gear": not planned.gear,
        "floors": not planned.stands_on and planned.foot_ready is None,
        "waits": not planned.after and window.opens is None and window.shuts is None,
        "pieces": not planned.pause and planned.piece is None and not planned.acts,
    }
    return [name for name, right in same.items() if not right]


def _differs(planned: PlannedStep, step: Step) -> list[str]:
    n = piece_number(planned.id.partition("#")[2])
    piece = planned.piece
    floors = tuple(floor.partition(".")[2] or None for floor in step.stands_on)
    same = {
        "room": planned.room == step.room,
        "part": planned.part == step.part,
        "kind": planned.kind == step.kind,
        "pause": planned.pause == step.pause,
        "gear": dict(planned.gear) == dict(step.gear),
        "floors": tuple(planned.stands_on) == floors,
        "piece": piece is None if n == 0 else piece is not None and (piece.of, piece.n) == (step.id, n),
    }
    return [name for name, right in same.items() if not right]
