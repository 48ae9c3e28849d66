"""The drip guard: wet thumbs and held keys do one thing, not two."""

from planning.records.clock import Clock

QUIET_S = 0.7
AFTER_SPACE_S = 2.0
AFTER_LATE_S = 1.0


class DripGuard:
    """A key is dead until it was quiet for a while. Asks the clock that runs through sleep, never the wall."""

    def __init__(self, clock: Clock, quiet_s: float = QUIET_S) -> None:
        self._clock = clock
        self.quiet_s = quiet_s
        self._last: dict[str, float] = {}
        self._dead_until: dict[str, float] = {}

    def lets(self, key: str) -> bool:
        """Does this press count? Every press, counted or not, makes its key wait again."""
        now = self._clock.boot()
        last = self._last.get(key)
        self._last[key] = now
        if now < self._dead_until.get(key, float("-inf")):
            return False
        return last is None or now - last >= self.quiet_s

    def hold(self, key: str, seconds: float) -> None:
        """That key is dead for so long from now."""
        self._dead_until[key] = self._clock.boot() + seconds
