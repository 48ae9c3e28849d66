"""The words of the screens: states, steps, rooms, people and times as a setter says them, from a plan alone."""

from collections.abc import Callable, Sequence
from zoneinfo import ZoneInfo

from planning.job.hours import local
from planning.job.plan import Plan, PlannedStep, Proof
from planning.job.words import Instant, Minutes, StepState, WindowState
from planning.quantities.show import show_clock, show_day, show_minutes, show_wall, show_when

STATE_WORDS: dict[StepState, str] = {
    "wait": "WAIT",
    "ready": "READY",
    "hands": "HANDS",
    "curing": "CURING",
    "done": "DONE",
    "hold": "HOLD",
    "missed": "MISSED",
}

STATE_HELP: dict[StepState, str] = {
    "wait": "not yet: the line says what for",
    "ready": "nothing holds it, start when you like",
    "hands": "somebody is at it now",
    "curing": "hands are done, the stuff is working",
    "done": "done, and nothing has to dry any more",
    "hold": "air, inspector or you say stop: no time is given",
    "missed": "its window shut: the step page says the cure",
}

WINDOW_WORDS: dict[WindowState, str] = {
    "not_yet": "NOT YET",
    "soon": "SOON",
    "open": "OPEN",
    "closing": "CLOSING",
    "shut": "SHUT",
}

WINDOW_HELP: dict[WindowState, str] = {
    "not_yet": "more than 15 min before it opens",
    "soon": "opens within 15 min",
    "open": "you may go on with it",
    "closing": "the last part of its time: go now",
    "shut": "too late for the next coat as it is",
}

MARKS: tuple[tuple[str, str], ...] = (
    ("CAPITALS", "hands at work"),
    ("░", "drying, curing"),
    ("[──]", "open for next coat"),
    ("///", "stay off"),
    (":::", "no way in"),
    ("≈", "flood test"),
    ('""', "visit"),
    ("│", "now"),
    ("√", "in the van"),
)

MAKING = "Still making the first plan. Press it again in a moment."

SMALL_WORDS = frozenset(("the", "of", "and", "in", "to", "for", "on", "a", "with", "by"))


def zone_of(plan: Plan) -> ZoneInfo:
    """The site's zone."""
    return ZoneInfo(plan.zone)


def wall(plan: Plan, at: Instant) -> str:
    """The clock time alone: 7:20."""
    return show_wall(local(zone_of(plan), at))


def times(plan: Plan, step: PlannedStep) -> tuple[str, str]:
    """Start and end by the clock; nothing for a step on hold, whose time nobody knows."""
    return ("", "") if step.state == "hold" else (wall(plan, step.start), wall(plan, step.finish))


def clock_went(doubt: Minutes) -> str:
    """What happened to the computer's clock, which is so far ahead (+) or behind (-) of the time counted."""
    if doubt > 0:
        return f"This computer's clock went {show_minutes(doubt)} ahead at once: it was set, or the computer slept."
    return f"This computer's clock went {show_minutes(-doubt)} back at once: it was set."


def clock(plan: Plan, at: Instant, now: Instant) -> str:
    """An instant as said now: 7:20, Wed 7:20, Tue 16 Jun."""
    return show_clock(at, zone_of(plan), now)


def when(plan: Plan, at: Instant, now: Instant) -> str:
    """An instant in a sentence: as `clock`, with the time in another week too."""
    return show_when(at, zone_of(plan), now)


def day(plan: Plan, at: Instant) -> str:
    """Wed 3 Jun."""
    return show_day(local(zone_of(plan), at).date())


def left(at: Instant, now: Instant) -> str:
    """How long until then: 15 min; or since: 4 min late."""
    return show_minutes(at - now) if at >= now else f"{show_minutes(now - at)} late"


def title(step: PlannedStep) -> str:
    """The step's whole name in capitals."""
    return step.title.upper()


def short_title(step: PlannedStep, width: int) -> str:
    """The step's name in at most `width` letters: whole words, its piece number kept."""
    return shorten(step.title.upper(), width)


def shorten(text: str, width: int) -> str:
    """As many whole words of a name as fit, `1 of 4` at its end kept as 1/4; the first letter if not even one does."""
    if len(text) <= width:
        return text
    words = text.split()
    tail = ""
    if len(words) > 3 and words[-2].lower() == "of" and words[-1].isdigit() and words[-3].isdigit():
        tail = f" {words[-3]}/{words[-1]}"
        words = words[:-3]
    joined = " ".join(words)
    if len(joined) + len(tail) <= width:
        return joined + tail
    clause = joined.split(",")[0]
    if len(clause) + len(tail) <= width:
        return clause + tail
    kept: list[str] = []
    for word in clause.split():
        if len(" ".join([*kept, word])) + len(tail) > width:
            break
        kept.append(word)
    while len(kept) > 1 and kept[-1].lower() in SMALL_WORDS:
        kept.pop()
    if kept:
        return " ".join(kept) + tail
    return text[:1] if width > 0 else ""


def as_many(names: Sequence[str], width: int) -> str:
    """As many whole names as fit in so many cells, and how many more there are: `carry, grout +4 more`."""
    for shown in range(len(names), 0, -1):
        more = f" +{len(names) - shown} more" if shown < len(names) else ""
        said = ", ".join(names[:shown]) + more
        if len(said) <= width:
            return said
    return shorten(names[0], width) if names else ""


def room_name(plan: Plan, room: str, part: str | None = None) -> str:
    """The room's name, its part behind it: `kitchen north`."""
    name = next((each.name for each in plan.rooms if each.id == room), room)
    return f"{name} {part.replace('-', ' ')}" if part else name


def where(plan: Plan, step: PlannedStep) -> str:
    """The room of a step."""
    return room_name(plan, step.room, step.part)


def who(plan: Plan, step: PlannedStep) -> str:
    """The people of a step: `you`, `both` when that is everybody of two, else the names."""
    if len(step.people) == 2 == len(plan.people):
        return "both"
    return ", ".join(step.people)


def start_by(plan: Plan, step: PlannedStep) -> str:
    """The latest safe start as a table has it: `8:40`, `Thu 8:40`, `loose`; blank once it is begun."""
    if step.state not in ("wait", "ready", "missed"):
        return ""
    return "loose" if step.latest_start is None else clock(plan, step.latest_start, step.start)


def holds(plan: Plan, step: PlannedStep, now: Instant, width: int = 200) -> str:
    """What a waiting step waits for, in so many cells: `opens 11:10`, or the planner's own reason, shorter if need be.

    The only place where a table gets this from, so that no two of them say two things.
    """
    if step.state == "hold":
        return step.reason.partition(": ")[2] or step.reason
    opens = step.window.opens
    if opens is not None and opens > now:
        return f"opens {clock(plan, opens, now)}"
    return short_reason(plan, step.reason, width)


def short_reason(plan: Plan, reason: str, width: int) -> str:
    """The planner's reason in so many cells: whole, or without what can be seen elsewhere; never half a sentence."""
    said = reason.rstrip(". ").removeprefix("Not sooner: ")
    for shorter in (str, _without_room(plan), _person_till, _first_only):
        said = shorter(said)
        if len(said) <= width:
            return said
    return shorten(said, width)


def _without_room(plan: Plan) -> Callable[[str], str]:
    rooms = sorted((f" in the {room.name}" for room in plan.rooms), key=len, reverse=True)

    def shorter(said: str) -> str:
        return next((said.replace(each, "", 1) for each in rooms if each in said), said)

    return shorter


def _person_till(said: str) -> str:
    """`you at float till Wed 9:10` is `you, till Wed 9:10`."""
    who, at, rest = said.partition(" at ")
    _, till, until = rest.rpartition(" till ")
    return f"{who}, till {until}" if at and till and " " not in who else said


def _first_only(said: str) -> str:
    """`protect comes first, till 7:55` is `protect`; `It comes after tear out in this order of work` is `tear out`."""
    said = said.removeprefix("It comes after ").removesuffix(" in this order of work")
    return said.partition(" comes first")[0].partition(": ")[0]


def behind(plan: Plan, step: PlannedStep) -> PlannedStep | None:
    """The step that has to be done first; the one planned to end last, when there are several."""
    names = {link.id for link in step.after}
    if step.piece is not None and step.piece.n > 1:
        names.add(f"{step.piece.of}#{step.piece.n - 1}")
    found = [each for each in plan.steps if each.id in names and each.state not in ("done", "curing")]
    return max(found, key=lambda each: (each.finish, each.id), default=None)


def stands(plan: Plan, step: PlannedStep, now: Instant, width: int = 200) -> str:
    """How a step stands with what it waits for: `WAIT  opens 11:10`, in so many cells, words whole."""
    word = STATE_WORDS[step.state]
    said = ""
    if step.state in ("wait", "hold"):
        said = holds(plan, step, now, width - 6)
    elif step.state == "missed":
        said = step.recovery or ""
    elif step.state == "curing" and step.foot_ready is not None:
        said = f"till {clock(plan, step.foot_ready, now)}"
    elif step.state == "hands":
        said = f"till {clock(plan, step.finish, now)}"
    elif step.state == "ready" and step.start < now:
        said = f"since {clock(plan, step.start, now)}"
    lines = wrap(said, width - 6)
    return f"{word:<6}{lines[0] if lines else ''}".rstrip()


def spare(step: PlannedStep) -> Minutes | None:
    """How much later than planned the step may start; None when nothing hangs on it."""
    return None if step.latest_start is None else step.latest_start - step.start


def margin(plan: Plan, step: PlannedStep, now: Instant) -> str:
    """The margin sentence."""
    room = spare(step)
    if room is None:
        return "Loose: nothing is lost however late."
    lost = step.lost_then or "something is lost"
    if room <= 0:
        return f"No time to spare, then {lost}."
    return f"Start by {clock(plan, step.start + room, now)}. {show_minutes(room)} to spare, then {lost}."


def proof_words(proof: Proof) -> str:
    """How good the plan is proved to be, in one sentence; a search that the wall clock ended says so."""
    cut = " (the search was cut short)" if proof.cut_short else ""
    if proof.best:
        return "No plan ends the job sooner (proved)."
    if proof.at_most_min_sooner:
        return f"Could end up to {show_minutes(proof.at_most_min_sooner)} sooner{cut}."
    return f"Good plan, not proved{cut}."


def wrap(text: str, width: int) -> list[str]:
    """Lines of whole words, each at most `width` long; a longer word is cut."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        while len(word) > width > 0:
            if line:
                lines.append(line)
                line = ""
            lines.append(word[:width])
            word = word[width:]
        if line and len(line) + 1 + len(word) > width:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines
