"""More hours: stay late, come in on a Saturday, come back in the evening, ask somebody for a day that is not his.

All alike: everything of the kind is allowed at first; if that helps, what the plan does not use is taken away again,
then what it can do without, then the minutes that it can do without.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta

from planning.job.choice import EventDraft
from planning.job.hours import instant, local
from planning.job.people import Person
from planning.job.words import AXIS_MIN, Instant, Minutes
from planning.quantities.show import show_day
from planning.schedule.ways_out.situation import Situation, Trial

LONGEST_STAY_MIN: Minutes = 120
SHORTER_STAYS_MIN: tuple[Minutes, ...] = (20, 40, 60, 90)
EVENING, LATEST_EVENING = time(18), time(22)
REST_MIN: Minutes = 60
"""Nobody goes home and comes back for less than an hour between (ours, no source)."""
DAYS_TO_ASK = 8
"""How many working days ahead somebody is asked to stay or to come (ours, no source)."""
SATURDAYS = 2
MOST_DAYS = 3
"""More days of overtime than that are no way out but another job (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Extra:
    """One person's extra time on a day. `start` None: he stays from his usual leave on."""

    who: str
    day: date
    start: Instant | None
    leave: Instant
    until: Instant

    @property
    def minutes(self) -> Minutes:
        """How much longer he is there."""
        return self.until - (self.leave if self.start is None else self.start)

    @property
    def draft(self) -> EventDraft:
        """The event that says so."""
        body: dict[str, object] = {"who": self.who, "until": self.until, "value": self.minutes}
        return EventDraft("stay_until", body if self.start is None else {**body, "from": self.start})


def least_extra(
    situation: Situation, pool: Sequence[Extra], first: Sequence[EventDraft] = ()
) -> tuple[tuple[Extra, ...], Trial] | None:  # fmt: skip
    """The least of the pool that helps as much as all of it in what counts most; None when it does not help."""
    if not pool:
        return None

    def with_(extras: Sequence[Extra], patient: bool = False) -> Trial | None:
        return situation.trial([*first, *(each.draft for each in extras)], patient)

    goal = with_(pool, patient=True)
    if goal is None or not situation.gains(goal):
        return None
    kept, best = tuple(pool), goal

    def take(extras: Sequence[Extra]) -> bool:
        nonlocal kept, best
        if len(extras) == len(kept) and tuple(extras) == kept:
            return False
        found = with_(extras)
        if found is None or not situation.as_good(found, goal):
            return False
        kept, best = tuple(extras), found
        return True

    for day in sorted({each.day for each in kept}):
        if take([each for each in kept if each.day == day]):
            break
    take(_used(situation, kept, best))
    for day in sorted({each.day for each in kept}, reverse=True):
        take([each for each in kept if each.day != day])
    take(_used(situation, kept, best))
    if len({each.day for each in kept}) > MOST_DAYS:
        return None
    for who in sorted({each.who for each in kept}):
        take([each for each in kept if each.who != who])
    for minutes in SHORTER_STAYS_MIN:
        shorter = [replace(e, until=min(e.until, e.leave + minutes)) if e.start is None else e for e in kept]
        if all(e.start is not None for e in kept) or take(shorter):
            break
    take(_used(situation, kept, best))
    return (kept, best) if kept else None


def _used(situation: Situation, extras: Sequence[Extra], trial: Trial) -> list[Extra]:
    """Each extra cut down to the work that the plan puts in it, set-up and clean-up with it; unused ones left out."""
    hours = situation.job.hours
    found = []
    for extra in extras:
        begin = (extra.leave - hours.clean_up_min) if extra.start is None else extra.start
        spans = [(start, finish) for who, start, finish in _work(trial) if who == extra.who
                 and start < extra.until and finish > begin]  # fmt: skip
        if not spans:
            continue
        until = _axis_up(max(finish for _, finish in spans) + hours.clean_up_min)
        start = extra.start
        if start is not None:
            start = max(start, _axis_down(min(begun for begun, _ in spans) - hours.set_up_min))
        found.append(replace(extra, start=start, until=min(extra.until, until)))
    return found


def _work(trial: Trial) -> Iterator[tuple[str, Instant, Instant]]:
    solution = trial.solution
    for task in trial.built.network.tasks:
        for who in task.crews[solution.crews.get(task.id, 0)].people:
            yield who, trial.at(solution.starts[task.id]), trial.at(solution.finishes[task.id])


def _axis_up(at: Instant) -> Instant:
    return -(-at // AXIS_MIN) * AXIS_MIN


def _axis_down(at: Instant) -> Instant:
    return at // AXIS_MIN * AXIS_MIN


# what may be asked for


def stays(situation: Situation) -> list[Extra]:
    """Everybody up to two hours longer on each of the next working days he is there."""
    clean_up = situation.job.hours.clean_up_min
    found: list[Extra] = []
    for person in situation.job.people:
        last: dict[date, Instant] = {}
        for shift in situation.built.site.shifts[person.name]:
            last[shift.day] = max(last.get(shift.day, 0), shift.finish)
        coming = [(day, finish + clean_up) for day, finish in sorted(last.items()) if finish > situation.now]
        found += [Extra(person.name, day, None, leave, leave + LONGEST_STAY_MIN) for day, leave in coming[:DAYS_TO_ASK]]
    return found


def saturdays(situation: Situation) -> list[Extra]:
    """Everybody who keeps the job's days on the next Saturdays on which nobody works."""
    job, site = situation.job, situation.built.site
    worked = {shift.day for shifts in site.shifts.values() for shift in shifts}
    today = max(job.start, local(job.zone, situation.now).date())
    free = [day for n in range(14) if (day := today + timedelta(days=n)).weekday() == 5 and day not in worked]
    return [
        extra
        for day in free[:SATURDAYS]
        for person in job.people
        if person.days is None and (extra := _whole_day(situation, person, day)) is not None
    ]


def evenings(situation: Situation) -> list[Extra]:
    """Everybody back in the evening of each of the next working days, from six (and an hour's rest) till ten."""
    job = situation.job
    found = []
    for stay in stays(situation):
        start = max(instant(job.zone, stay.day, EVENING), _axis_up(stay.leave + REST_MIN))
        until = instant(job.zone, stay.day, LATEST_EVENING)
        if start + 2 * REST_MIN <= until:
            found.append(Extra(stay.who, stay.day, start, stay.leave, until))
    return found


def more_days(situation: Situation) -> list[Extra]:
    """Each person on those of the job's next working days that are not his own or that he is not there."""
    site = situation.built.site
    coming = sorted({s.day for s in site.site_shifts if s.start > situation.now})[:DAYS_TO_ASK]
    return [
        extra
        for person in situation.job.people
        for day in coming
        if day not in {shift.day for shift in site.shifts[person.name]}
        and (extra := _whole_day(situation, person, day)) is not None
    ]


def days_of(situation: Situation, who: str) -> list[Extra]:
    """Somebody who was not on the job before, on each of the next working days."""
    person = Person(who, situation.job.name, frozenset(), frozenset())
    coming = sorted({s.day for s in situation.built.site.site_shifts if s.finish > situation.now})[:DAYS_TO_ASK]
    found = (_whole_day(situation, person, day) for day in coming)
    return [extra for extra in found if extra is not None]


def days_said(extras: Sequence[Extra]) -> str:
    """Their days, each once: `Sat 6 Jun, Sat 13 Jun`."""
    return ", ".join(dict.fromkeys(show_day(each.day) for each in extras))


def _whole_day(situation: Situation, person: Person, day: date) -> Extra | None:
    job = situation.job
    start = max(instant(job.zone, day, job.hours.start), _axis_up(situation.now))
    until = instant(job.zone, day, job.hours.finish)
    return Extra(person.name, day, start, start, until) if start + REST_MIN <= until else None
