"""A note as plain text for a message, and as Markdown."""

import re
from collections.abc import Iterable
from textwrap import wrap

from planning.handover.note import Note, Section
from planning.handover.wording import kept_together
from planning.quantities.show import show_day

WIDTH = 78
HEADING = 17

_MARKS = re.compile(r"([\\`*_{}\[\]<>#|~])")
_NUMBERED = re.compile(r"^(\d+)([.)])(?=\s|$)")
_LISTED = re.compile(r"^([-+=])")


def note_text(note: Note) -> str:
    """The note as plain text, no line wider than a page."""
    head = f"{note.job.upper()}: {show_day(note.day).upper()}"
    first = f"{head}    {note.on_site}"
    lines = [first, ""] if len(first) <= WIDTH else [*wrap(head, WIDTH), note.on_site, ""]
    return sections_text(lines, note.sections)


def sections_text(head: Iterable[str], sections: Iterable[Section]) -> str:
    """Sections under each other, as plain text."""
    return "\n".join([*head, *(row for section in sections for row in _block(section))]) + "\n"


def _block(section: Section) -> list[str]:
    """One line beside its heading; more of them below it, long ones wrapped."""
    said, heading = section.lines, section.heading.upper()
    if len(said) == 1 and len(said[0]) + HEADING <= WIDTH and len(heading) < HEADING:
        return [f"{heading:<{HEADING}}{said[0]}"]
    return [heading, *(row for line in said for row in _wrapped(line))]


def _wrapped(line: str) -> list[str]:
    """The line in rows of a page's width; a clock time and its am or pm stay together."""
    rows = wrap(kept_together(line), WIDTH, initial_indent="  ", subsequent_indent="    ")
    return [row.replace("\u00a0", " ") for row in rows]


def note_markdown(note: Note) -> str:
    """The note as Markdown: headings and lists; every sign that Markdown reads is escaped."""
    lines = [f"# {escaped(note.job)}: {show_day(note.day)}", "", escaped(note.on_site), ""]
    for section in note.sections:
        lines += [
            f"## {escaped(section.heading)}",
            "",
            *(f"- {escaped(row)}" for row in section.lines),
            "",
        ]
    return "\n".join(lines)


def escaped(text: str) -> str:
    """Plain words as Markdown that shows them as they are, on one line."""
    words = " ".join(text.split()).replace("&", "&amp;")
    words = _MARKS.sub(r"\\\1", words)
    return _LISTED.sub(r"\\\1", _NUMBERED.sub(r"\1\\\2", words))
