"""Where the job's hours went: minutes per person and room and per kind of work, as noted, beside what was reckoned.

For the setter only: it is his wages sheet as much as his diary, and no page for others is written from it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from planning.job.events import Event
from planning.job.job import Job
from planning.job.progress import read_progress
from planning.job.step import Step
from planning.job.words import Minutes
from planning.learning.observed import plans_at_start, reckoned_min, worked_min

NOT_SAID = "not said who"


@dataclass(frozen=True, slots=True)
class HoursSpent:
    """Person-minutes noted. `by_person`: person -> room -> minutes; `by_kind`: kind -> (reckoned, real).

    Who did a step is whom the plan in force had for it; what was begun and not done is not counted.
    """

    by_person: Mapping[str, Mapping[str, Minutes]] = field(default_factory=dict)
    by_kind: Mapping[str, tuple[Minutes, Minutes]] = field(default_factory=dict)

    @property
    def total(self) -> Minutes:
        """All of them together."""
        return sum(minutes for rooms in self.by_person.values() for minutes in rooms.values())


def hours_spent(job: Job, steps: Iterable[Step], events: Iterable[Event]) -> HoursSpent:
    """What was noted so far, over all days."""
    by_id = {step.id: step for step in steps}
    listed = list(events)
    progress, plans = read_progress(job, listed), plans_at_start(job, listed)
    by_person: dict[str, dict[str, Minutes]] = {}
    by_kind: dict[str, tuple[Minutes, Minutes]] = {}
    for planned_id, finish in sorted(progress.finished.items(), key=lambda item: (item[1], item[0])):
        step = by_id.get(planned_id.split("#")[0])
        start = progress.started.get(planned_id, finish)
        if step is None or finish <= start:
            continue
        real = worked_min(job, step, start, finish)
        taken = plans.get(planned_id)
        people = taken.steps[planned_id][2] if taken is not None and planned_id in taken.steps else ()
        for person in people or (NOT_SAID,):
            rooms = by_person.setdefault(person, {})
            rooms[step.room] = rooms.get(step.room, 0) + real
        many = max(1, len(people))
        before = by_kind.get(step.kind, (0, 0))
        reckoned = reckoned_min(job, step, planned_id, taken) or real
        by_kind[step.kind] = before[0] + reckoned * many, before[1] + real * many
    return HoursSpent(by_person, by_kind)
