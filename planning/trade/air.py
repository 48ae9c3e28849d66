"""When a wait is over and when a window shuts, in the air the room has then: the door to the trade's air laws.

Asymmetry, our own rule: heat shortens a maximum and cold never lengthens one; cold lengthens a minimum and heat never
shortens one below its label unless the setter said so. Instants land on the 5-minute axis: openings up, shuttings down.
Who starts a wait later is never ready earlier. Screens show no clock time where `no_time_reason` speaks.
"""

from collections.abc import Callable
from math import ceil, floor, inf
from typing import Literal

from planning.job.place import Air
from planning.job.step import Band, Wait
from planning.job.words import AXIS_MIN, Instant, Minutes, Units
from planning.trade.air_course import LONGEST_MIN, Course, Reading, SiteAir, site_air
from planning.trade.air_laws import DRYING_LAWS, beyond_limits, drying_ratio, multiplier, no_time_told, speed
from planning.trade.air_words import explained, hold_reason, no_time_reason

__all__ = [
    "LONGEST_MIN",
    "Case",
    "Reading",
    "SiteAir",
    "act_minutes",
    "act_opens_at",
    "act_shuts_at",
    "beyond_limits",
    "drying_ratio",
    "explain",
    "factor",
    "hold_reason",
    "multiplier",
    "no_time_reason",
    "no_time_told",
    "opens_at",
    "shown_band",
    "shuts_at",
    "site_air",
    "speed",
    "wait_curve",
    "within_curve",
]

Case = Literal["low", "typical", "high"]
Points = list[tuple[Instant, Minutes]]
"""(from instant, minutes): the minutes hold for whatever ends on the axis from that instant to the next one's."""

COLD_CREDIT = 1.25
"""Pot life, flow and healing gain no more than a quarter from cold (our own rule)."""
SPREAD = 0.15
SPREAD_ROUGH = 0.30
"""How far a told time may miss: ordinary cement, and drying or rapid cement (our own rule, common practice)."""
_TINY = 1e-6


def _up(moment: float, grain: Minutes) -> Instant:
    return ceil((moment - _TINY) / grain) * grain


def _down(moment: float, grain: Minutes) -> Instant:
    return floor((moment + _TINY) / grain) * grain


def _label(wait: Wait, case: Case) -> Minutes:
    return int(getattr(wait.label, case))


def _least(wait: Wait, air: SiteAir, case: Case) -> Minutes:
    """The minutes no warm air takes off a minimum."""
    label = _label(wait, case)
    return min(label, wait.label.low) if air.warm_opens_early else label


def _opening(course: Course, start: Instant, label: Minutes, least: Minutes, grain: Minutes) -> Instant:
    return _up(min(max(start + least, course.reach(start, label)), start + LONGEST_MIN), grain)


def _shutting(course: Course, start: Instant, label: Minutes, most: float, grain: Minutes) -> Instant:
    return _down(min(start + most, course.reach(start, label)), grain)


def opens_at(wait: Wait, air: SiteAir, start: Instant, case: Case = "typical") -> Instant:
    """The instant at which a minimum that began at `start` is over, rounded up to the axis.

    `case` picks the label's low, typical or high number. At most a year: then it never opens in this air.
    """
    course = air.course(wait.room, wait.law, start, start)
    return _opening(course, start, _label(wait, case), _least(wait, air, case), AXIS_MIN)


def shuts_at(wait: Wait, air: SiteAir, start: Instant, case: Case = "typical") -> Instant:
    """The instant at which a maximum that began at `start` shuts, rounded down to the axis; cold never lengthens it."""
    label = _label(wait, case)
    return _shutting(air.course(wait.room, wait.law, start, start), start, label, label, AXIS_MIN)


def act_opens_at(wait: Wait, air: SiteAir, start: Instant, case: Case = "typical") -> Instant:
    """When an inner act of a pour or float may begin: as `opens_at`, but warm air counts and it is to the minute."""
    return _opening(air.course(wait.room, wait.law, start, start), start, _label(wait, case), 0, 1)


def act_shuts_at(wait: Wait, air: SiteAir, start: Instant, case: Case = "typical") -> Instant:
    """When pot life, flow or healing ends, to the minute: heat shortens it, cold lengthens it by a quarter at most."""
    label = _label(wait, case)
    return _shutting(air.course(wait.room, wait.law, start, start), start, label, label * COLD_CREDIT, 1)


def act_minutes(wait: Wait, air: Air) -> tuple[Minutes, Minutes]:
    """The minutes of an inner act in air that stays as it is: no sooner than, no later than (see `act_opens_at`)."""
    label, pace = wait.label.typical, speed(wait.law, air)
    if label <= 0:
        return 0, 0
    real = label / pace if pace > 0 else inf
    return _up(min(real, LONGEST_MIN), 1), _down(min(real, label * COLD_CREDIT), 1)


def factor(wait: Wait, air: SiteAir, start: Instant, maximum: bool = False) -> float:
    """What a wait's typical label is multiplied by when it begins at `start`, before rounding to the axis. For show."""
    label = wait.label.typical
    if label <= 0:
        return 1.0
    took = min(air.course(wait.room, wait.law, start, start).reach(start, label) - start, LONGEST_MIN)
    return min(1.0, took / label) if maximum else max(_least(wait, air, "typical") / label, took / label)


def explain(wait: Wait, air: SiteAir, start: Instant, units: Units = "imperial") -> str:
    """What was done to a minimum's label time, for a wait that begins at `start`: "2 h label, 2 h 55 at 62 F"."""
    return explained(wait, air, start, opens_at(wait, air, start), units)


def shown_band(wait: Wait, air: SiteAir, start: Instant, rapid: bool = False) -> Band:
    """Low, typical and high minutes of a minimum that begins at `start`, at least as wide as such a time can miss."""
    low, typical, high = (opens_at(wait, air, start, case) - start for case in ("low", "typical", "high"))
    if wait.law != "fixed":
        miss = SPREAD_ROUGH if rapid or wait.law in DRYING_LAWS else SPREAD
        low = min(low, _down(typical * (1 - miss), AXIS_MIN))
        high = max(high, _up(typical * (1 + miss), AXIS_MIN))
    return Band(low, typical, high)


def wait_curve(wait: Wait, air: SiteAir, first: Instant, last: Instant, case: Case = "typical") -> Points:
    """The minutes from a finish to the opening, for every finish on the axis from first to last, changes only.

    `finish + minutes` is what `opens_at` says and never falls as the finish grows. The first pair is at `first`,
    rounded down to the axis.
    """
    label, least = _label(wait, case), _least(wait, air, case)
    course = air.course(wait.room, wait.law, first, last)
    return _curve(course, first, last, label, lambda start: _opening(course, start, label, least, AXIS_MIN))


def within_curve(wait: Wait, air: SiteAir, first: Instant, last: Instant, case: Case = "typical") -> Points:
    """The minutes from a finish to the shutting, as `wait_curve`."""
    label = _label(wait, case)
    course = air.course(wait.room, wait.law, first, last)
    return _curve(course, first, last, label, lambda start: _shutting(course, start, label, label, AXIS_MIN))


def _curve(course: Course, first: Instant, last: Instant, label: Minutes, end: Callable[[Instant], Instant]) -> Points:
    """Span by span; a span followed by the same speeds for the same times as an earlier one has the same minutes."""
    first -= first % AXIS_MIN
    known: dict[tuple[float, ...], Points] = {}
    points: Points = []
    for k in range(course.span(first), course.span(last) + 1):
        begin = max(course.starts[k], first) if k == 0 else course.starts[k]
        begin = _up(begin, AXIS_MIN)
        finish = course.starts[k + 1] if k + 1 < len(course.starts) else last + 1
        if begin >= finish:
            continue
        likeness = _likeness(course, k, finish, label)
        if likeness not in known:
            known[likeness] = [
                (at - begin, minutes) for at, minutes in _span_points(course, k, begin, finish, label, end)
            ]
        points += [(begin + offset, minutes) for offset, minutes in known[likeness]]
    return _trimmed(points, first, last)


def _likeness(course: Course, k: int, finish: Instant, label: Minutes) -> tuple[float, ...]:
    reached = course.reach(finish, label)
    last = course.span(reached) if reached < inf else len(course.starts) - 1
    shape: list[float] = [course.starts[k] % AXIS_MIN, course.speeds[k], finish - course.starts[k]]
    for each in range(k + 1, last + 1):
        shape += (course.speeds[each], course.starts[each] - course.starts[each - 1])
    return tuple(shape)


def _span_points(
    course: Course, k: int, begin: Instant, finish: Instant, label: Minutes, end: Callable[[Instant], Instant]
) -> Points:
    """Inside one span: nothing changes while the wait stays in the span, then every tick is asked."""
    points = [(begin, end(begin) - begin)]
    stays = course.starts[k + 1] - label / course.speeds[k] if k + 1 < len(course.starts) and course.speeds[k] else inf
    if k + 1 == len(course.starts):
        return points
    after = max(begin, _up(min(stays, finish), AXIS_MIN)) if stays < inf else begin
    for at in range(after, finish, AXIS_MIN):
        minutes = end(at) - at
        if minutes != points[-1][1]:
            points.append((at, minutes))
    return points


def _trimmed(points: Points, first: Instant, last: Instant) -> Points:
    kept: Points = []
    for at, minutes in points:
        if at > last:
            break
        if at <= first:
            kept = [(first, minutes)]
        elif not kept or kept[-1][1] != minutes:
            kept.append((at, minutes))
    return kept
