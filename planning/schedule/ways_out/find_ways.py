"""Every kind of way out tried on a situation, those first that the clash or the loss points to."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from planning.job.hours import local
from planning.job.words import Instant
from planning.quantities.show import show_day, show_wall
from planning.schedule.ways_out.asking import (
    Found,
    ask_house,
    ask_household,
    ask_later,
    ask_sooner,
    ask_visitors,
    fetch_it,
)
from planning.schedule.ways_out.extra_hours import (
    Extra,
    days_said,
    evenings,
    least_extra,
    more_days,
    saturdays,
    stays,
)
from planning.schedule.ways_out.other_means import one_more, rapid_classes
from planning.schedule.ways_out.situation import Situation

Finder = Callable[[Situation], Iterable[Found]]


def stay_late(situation: Situation) -> Iterable[Found]:
    """Stay longer on a day or a few."""
    found = least_extra(situation, stays(situation))
    if found is not None:
        extras, trial = found
        latest = max(extras, key=lambda extra: (extra.minutes, extra.day))
        yield Found(_title(situation, "Stay till", latest.until, extras), "stay", trial)


def come_saturday(situation: Situation) -> Iterable[Found]:
    """Come in on a Saturday."""
    found = least_extra(situation, saturdays(situation))
    if found is not None:
        extras, trial = found
        yield Found(f"Work {days_said(extras)}", "saturday", trial)


def come_back(situation: Situation) -> Iterable[Found]:
    """Come back in the evening."""
    found = least_extra(situation, evenings(situation))
    if found is not None:
        extras, trial = found
        first = min(extras, key=lambda extra: (extra.day, extra.start or 0))
        yield Found(_title(situation, "Come back", first.start or first.until, extras), "evening", trial)


def ask_for_days(situation: Situation) -> Iterable[Found]:
    """Somebody of the job on a day that is not his."""
    found = least_extra(situation, more_days(situation))
    if found is not None:
        extras, trial = found
        who = " and ".join(dict.fromkeys(each.who for each in extras))
        yield Found(f"{who[:1].upper()}{who[1:]} comes {days_said(extras)} too", "person", trial)


def _title(situation: Situation, verb: str, at: Instant, extras: Sequence[Extra]) -> str:
    """`Stay till 4:10`, on another day with its name; of several days the one that asks most, and how many more."""
    zone = situation.job.zone
    moment, today = local(zone, at), local(zone, situation.now).date()
    on = "" if moment.date() == today else f" {show_day(moment.date())}"
    more = len({each.day for each in extras}) - 1
    rest = f" and {more} more day{'s' if more > 1 else ''}" if more else ""
    return f"{verb} {show_wall(moment)}{on}{rest}"


FINDERS: tuple[tuple[Finder, frozenset[str]], ...] = (
    (stay_late, frozenset(("hours", "person", "absent"))),
    (ask_household, frozenset(("nights",))),
    (ask_visitors, frozenset(("visit",))),
    (ask_house, frozenset(("house",))),
    (ask_sooner, frozenset(("delivery", "answer"))),
    (fetch_it, frozenset(("delivery",))),
    (rapid_classes, frozenset(("waits", "floor", "within"))),
    (come_back, frozenset(("hours", "within"))),
    (ask_for_days, frozenset(("absent", "person", "hours"))),
    (come_saturday, frozenset(("hours", "person"))),
    (ask_later, frozenset(("due",))),
    (one_more, frozenset(("person", "absent"))),
)
"""Each kind of way out, and the heads of the facts on which it may help; cheap ones first."""


def find_ways(situation: Situation, heads: Iterable[str] | None) -> Iterator[Found]:
    """The ways out that help, each tried by planning with it. `heads`: the facts in the way (None: not known)."""
    wanted = None if heads is None else frozenset(heads)
    for finder, helps in FINDERS:
        if wanted is None or helps & wanted:
            yield from finder(situation)
