"""People: one place at a time, the skills a step takes, and being there at all (rule 4); gear (rule 5)."""

from collections.abc import Iterator, Sequence

from planning.job.plan import Broken
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule


class OnePlaceAtATime(Rule):
    """Nobody works on two steps at once; an errand is a place too."""

    number = 4
    never = "put one person in two places"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each pair of overlapping acts of one person, of which one can still be moved."""
        days: dict[str, list[Placed]] = {}
        for each in case.placed:
            for name in dict.fromkeys(each.people):
                days.setdefault(name, []).append(each)
        for name, acts in days.items():
            busy: Placed | None = None
            for each in acts:
                if busy is not None and each.overlaps(busy.start, busy.finish) and not (busy.begun and each.begun):
                    first, moves = (each, busy) if each.begun else (busy, each)
                    yield self.says(
                        f"{name} is wanted for {case.name(moves)} at {case.when(moves.start)}, but is busy with "
                        f"{case.other(first, moves)} till {case.when(first.finish, moves.start)}.",
                        moves.id, first.id,
                    )  # fmt: skip
                if busy is None or each.finish > busy.finish:
                    busy = each


class HasTheSkillsItTakes(Rule):
    """As many people as the step's crew, each with a skill of it of his own; an errand is for who was asked."""

    number = 4
    never = "use a skill that nobody there has"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act whose people do not make up its crew."""
        for each in case.open:
            if each.errand is not None:
                if each.people != (each.errand.who,):
                    yield self.says(f"{case.name(each)} is for {each.errand.who} alone.", each.id)
                continue
            assert each.step is not None
            strangers = [name for name in each.people if not case.attendance.knows(name)]
            if strangers:
                yield self.says(f"{case.name(each)} has {', '.join(strangers)}, who is not on this job.", each.id)
            elif not makes_up(case, each.people, each.step.crew):
                who = " and ".join(each.people) or "nobody"
                yield self.says(f"{case.name(each)} takes {_crew(each.step.crew)}, but has {who}.", each.id)


def makes_up(case: Case, people: Sequence[str], skills: Sequence[str]) -> bool:
    """Can these people share out these skills, one each, nobody left over?"""
    if len(people) != len(skills) or len(set(people)) != len(people):
        return False
    if not skills:
        return True
    return any(
        case.attendance.has(name, skills[0]) and makes_up(case, [p for p in people if p != name], skills[1:])
        for name in people
    )


def _crew(skills: Sequence[str]) -> str:
    people = "1 person" if len(skills) == 1 else f"{len(skills)} people"
    return f"{people} who can {' and '.join(skills)}"


class IsThere(Rule):
    """Nobody is planned on a day off, on the lost half of a half day, or while noted as gone."""

    number = 4
    never = "plan a person who is absent"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act with somebody who is not there though the job is at work."""
        for each in case.open:
            for name in each.people:
                if case.attendance.knows(name) and self._gone(case, each, name):
                    words = f"{case.name(each)} starts {case.when(each.start)}, but {name} is not there."
                    yield self.says(words, each.id)

    def _gone(self, case: Case, each: Placed, name: str) -> bool:
        if case.attendance.absent(name, each.start, each.finish):
            return True
        here = case.attendance.usual(name, each.start) is not None
        return not here and case.attendance.anybody(each.start, each.finish)


class NoMoreGearThanThereIs(Rule):
    """The mixers, saws and the like of a job, each counted at every moment; a meal does not free them."""

    number = 5
    never = "use more mixers or saws than there are"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act that takes gear beyond what is left at its start."""
        kinds = sorted({name for step in case.steps for name in step.gear})
        for gear in kinds:
            have = case.job.gear.count.get(gear, 0)
            running: list[Placed] = []
            for each in case.placed:
                if each.step is None or not each.step.gear.get(gear, 0) or each.start >= each.finish:
                    continue
                running = [other for other in running if other.finish > each.start]
                running.append(each)
                wanted = sum(other.step.gear[gear] for other in running if other.step is not None)
                if wanted > have and not all(other.begun for other in running):
                    yield self._short(case, gear, have, running)

    def _short(self, case: Case, gear: str, have: int, running: Sequence[Placed]) -> Broken:
        last = next(each for each in reversed(running) if not each.begun)
        others = [each for each in running if each is not last]
        busy = " and ".join(case.other(each, last) for each in others)
        words = f"{case.name(last)} at {case.when(last.start)} takes {gear}, there are {have}"
        words += f", and {busy} has them." if busy else "."
        return self.says(words, last.id, *(each.id for each in others))
