"""The paper for the door: one sheet a room, till when to stay off and why; as text in a frame and to print."""

from collections.abc import Mapping, Sequence
from textwrap import wrap

from planning.handover.as_page import page, safe
from planning.handover.evening import Evening
from planning.handover.release import Release, standing_at
from planning.handover.wording import WHAT_HAPPENED, WHY_OFF, WHY_OFF_ELSE, listed, owner_clock, quarter_up
from planning.job.hours import local
from planning.job.job import Job
from planning.quantities.show import show_day

INSIDE = 54
"""Characters inside the frame: it prints at a size that fills a page."""
MARGIN = "   "


def rooms_off(facts: Evening) -> dict[str, list[Release]]:
    """Room -> what nobody may walk on there now: of the steps begun, or beginning today."""
    today = {step.id for step in facts.plan.steps if facts.is_today(step.start)}
    begun = frozenset((*facts.progress.started, *facts.progress.finished, *today))
    found: dict[str, list[Release]] = {}
    for each in standing_at(facts.releases, facts.now, begun):
        if each.what == "walk":
            found.setdefault(each.room, []).append(each)
    return found


def stay_off_sheet(room: str, offs: Sequence[Release], job: Job) -> str:
    """One sheet. Raises ValueError for a room that nobody must stay off."""
    last, parts = _last(room, offs)
    name = job.room(room).name.upper()
    lines = ["", "STAY OFF".center(INSIDE), ""]
    what = WHAT_HAPPENED[last.kind]
    lines += _framed(f"{name:<28}{what}") if len(name) < 28 else [*_framed(name), *_framed(what)]
    lines += _framed(listed(parts))
    lines += ["", *_framed(_till(last, job)), "", *_framed(WHY_OFF.get(last.kind, WHY_OFF_ELSE))]
    lines += [*_framed("Let fans off. Leave this door shut."), ""]
    frame = "+" + "-" * INSIDE + "+"
    return "\n".join([frame, *(f"|{line:<{INSIDE}}|" for line in lines), frame]) + "\n"


def _framed(words: str) -> list[str]:
    """The words in lines that fit the frame; spaces between them stay."""
    room = INSIDE - 2 * len(MARGIN)
    return [MARGIN + words] if 0 < len(words) <= room else [MARGIN + line for line in wrap(words, room)]


def stay_off_page(offs: Mapping[str, Sequence[Release]], job: Job) -> str:
    """A page to print with one sheet for every room in it, in type that is read from across the room."""
    body = []
    for room, listed_offs in offs.items():
        last, parts = _last(room, listed_offs)
        said = [("off", "STAY OFF"), ("room", job.room(room).name.upper()), ("", listed(parts)),
                ("", WHAT_HAPPENED[last.kind]), *(("till", words) for words in _till(last, job).split("   ")),
                ("", WHY_OFF.get(last.kind, WHY_OFF_ELSE)), ("", "Let fans off. Leave this door shut.")]  # fmt: skip
        lines = [f'<p class="{name}">{safe(words)}</p>' if name else f"<p>{safe(words)}</p>"
                 for name, words in said if words]  # fmt: skip
        body += ['<section class="sheet">', *lines, "</section>"]
    return page(f"{job.name}: stay off", body or ["<p>Nobody must stay off any floor now.</p>"])


def _last(room: str, offs: Sequence[Release]) -> tuple[Release, list[str]]:
    """What ends last in a room, and the parts it is about. Raises ValueError when nobody must stay off."""
    if not offs:
        raise ValueError(f"nobody must stay off {room} now")
    last = max(offs, key=lambda each: (each.until is None or not each.told, each.until or 0))
    return last, sorted({each.part.replace("-", " ") for each in offs if each.part})


def _till(last: Release, job: Job) -> str:
    if last.until is None or not last.told:
        return "till we tell you"
    moment = local(job.zone, quarter_up(last.until))
    return f"till  {owner_clock(moment)}   {show_day(moment.date()).upper()}"
