"""How a window stands at one moment, in the closed words of the screens. Pure and cheap: asked each second."""

from planning.job.words import Instant, Minutes, WindowState

SOON_MIN: Minutes = 15
CLOSING_SHARE = 5
CLOSING_LEAST_MIN: Minutes = 15
CLOSING_MOST_MIN: Minutes = 60
SHORT_WINDOW_MIN: Minutes = 30
SHORT_CLOSING_MIN: Minutes = 6


def window_state(
    opens: Instant | None, shuts: Instant | None, now: Instant, latest: Instant | None = None
) -> WindowState | None:
    """The state of a window from early to late; None when there is neither an opening nor a shutting.

    `latest`: the latest that it can be now, when a clock is in doubt and `now` is the earliest: the window opens by the
    one and shuts by the other.
    """
    last = now if latest is None else latest
    if opens is None and shuts is None:
        return None
    if shuts is not None and last >= shuts:
        return "shut"
    if opens is not None and now < opens:
        return "soon" if opens - now <= SOON_MIN else "not_yet"
    if shuts is not None and last >= shuts - closing_min(opens, shuts):
        return "closing"
    return "open"


def closing_min(opens: Instant | None, shuts: Instant) -> Minutes:
    """How long before it shuts a window counts as closing: its last fifth, 15 to 60 min; a short one, 6 min."""
    if opens is None:
        return CLOSING_MOST_MIN
    length = shuts - opens
    if length < SHORT_WINDOW_MIN:
        return SHORT_CLOSING_MIN
    return max(CLOSING_LEAST_MIN, min(CLOSING_MOST_MIN, length // CLOSING_SHARE))
