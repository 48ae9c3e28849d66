"""Waits and windows of the trade turned into curves on the tick axis, at the room's own air."""

from collections import OrderedDict
from collections.abc import Hashable

from planning.job.step import Wait
from planning.job.words import AXIS_MIN, Instant
from planning.schedule.build.site import Site
from planning.schedule.network import Curve, Tick
from planning.trade.air import opens_at, shuts_at, wait_curve, within_curve

Known = tuple[dict[Wait, Curve], dict[Wait, Curve]]

KEPT_SITES = 4
"""Sites whose curves are kept: a day is planned many times over while its air stays the same."""

_kept: OrderedDict[Hashable, Known] = OrderedDict()


def _known(site: Site) -> Known:
    """The minimums and maximums worked out so far for this air and these days."""
    key = (site.air.likeness(), site.origin, site.horizon)
    found = _kept.pop(key, ({}, {}))
    _kept[key] = found
    while len(_kept) > KEPT_SITES:
        _kept.popitem(last=False)
    return found


class Curves:
    """Curves by wait, each worked out once. A minimum rounds up to the axis, a maximum down."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self._first = site.instant(0)
        self._last = site.instant(site.horizon)
        self._waits, self._withins = _known(site)

    def wait(self, wait: Wait | None) -> Curve:
        """The minimum as a curve over the tick of the finish (or start) it counts from."""
        if wait is None:
            return ((0, 0),)
        if wait not in self._waits:
            points = wait_curve(wait, self.site.air, self._first, self._last)
            self._waits[wait] = tuple((self.site.ceil_tick(at), -(-minutes // AXIS_MIN)) for at, minutes in points)
        return self._waits[wait]

    def within(self, wait: Wait) -> Curve:
        """The maximum as a curve."""
        if wait not in self._withins:
            points = within_curve(wait, self.site.air, self._first, self._last)
            self._withins[wait] = tuple((self.site.ceil_tick(at), minutes // AXIS_MIN) for at, minutes in points)
        return self._withins[wait]

    def wait_from(self, wait: Wait | None, happened: Instant, tick: Tick) -> Curve:
        """The minimum counted from an exact past instant, as a constant from the tick that stands for it."""
        if wait is None:
            return ((0, 0),)
        opens = opens_at(wait, self.site.air, happened)
        return ((0, max(0, self.site.ceil_tick(opens) - tick)),)

    def within_from(self, wait: Wait, happened: Instant, tick: Tick) -> Curve:
        """The maximum counted from an exact past instant, as a constant from the tick that stands for it."""
        return ((0, self.site.floor_tick(shuts_at(wait, self.site.air, happened)) - tick),)
