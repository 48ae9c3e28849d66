"""Pages to print or to read on a phone: one HTML file, no script, nothing fetched, every name escaped."""

from collections.abc import Iterable, Sequence
from html import escape

from planning.handover.note import Note
from planning.handover.picture import progress_picture
from planning.handover.wording import kept_together
from planning.quantities.show import show_day

STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1rem; max-width: 44rem; background: #fff; color: #111;
  font: 1.05rem/1.45 system-ui, sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.5rem; line-height: 1.2; margin: 0 0 .25rem; }
h2 { font-size: 1.05rem; margin: 1.4rem 0 .3rem; padding-top: .5rem; border-top: 2px solid #111; }
ul { margin: 0; padding-left: 1.2rem; }
li { margin: .25rem 0; }
svg { display: block; width: 100%; max-width: 28rem; height: auto; margin: 1rem 0; }
table { border-collapse: collapse; width: 100%; font-size: .9rem; line-height: 1.3; }
th, td { text-align: left; vertical-align: top; padding: .3rem .5rem .3rem 0; border-bottom: 1px solid #999; }
.ask { border: 3px solid #111; padding: 0 .8rem .6rem; margin: 1rem 0; }
.ask h2 { border: 0; }
.small { font-size: .85rem; color: #333; margin-top: 1.5rem; }
.sheet { text-align: center; min-height: 94vh; display: flex; flex-direction: column; justify-content: center;
  border: .6rem solid #111; padding: 1rem; margin: 0 0 1rem; }
.sheet p { margin: .6rem 0; font-size: 1.5rem; }
.sheet .off { font-size: min(20vw, 8rem); font-weight: 800; line-height: 1; margin: 0; }
.sheet .room { font-size: min(9vw, 3.6rem); font-weight: 700; line-height: 1.1; }
.sheet .till { font-size: min(11vw, 4.2rem); font-weight: 800; line-height: 1.1; }
@media print { body { max-width: none; padding: 0; font-size: 11pt; } h2, tr, li, svg { break-inside: avoid; }
  h2 { break-after: avoid; } .sheet { break-after: page; min-height: 96vh; } .sheet:last-child { break-after: auto; } }
"""


def page(title: str, body: Iterable[str]) -> str:
    """A whole page around parts that are HTML already; the title is plain words."""
    return "\n".join([
        "<!DOCTYPE html>", '<html lang="en">', "<head>", '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">', f"<title>{safe(title)}</title>",
        f"<style>{STYLE}</style>", "</head>", "<body>", *body, "</body>", "</html>", "",
    ])  # fmt: skip


def safe(text: str) -> str:
    """Plain words as HTML; a clock time and its am or pm stay on one line."""
    return kept_together(escape(text), "&nbsp;")


def note_page(note: Note) -> str:
    """The note as a page with its picture. What is not sure stands first, in a frame."""
    title = f"{note.job}: {show_day(note.day)}"
    asked = [each for each in note.sections if each.key == "questions"]
    rest = [each for each in note.sections if each.key != "questions"]
    body = [f"<h1>{safe(title)}</h1>", f"<p>{safe(note.on_site)}</p>"]
    for each in asked:
        body += ['<section class="ask">', *block(each.heading, each.lines), "</section>"]
    body.append(progress_picture(note.shares))
    for each in rest:
        body += ["<section>", *block(each.heading, each.lines), "</section>"]
    return page(title, [part for part in body if part])


def block(heading: str, lines: Sequence[str]) -> list[str]:
    """A heading and a list; with one line a paragraph."""
    said = [f"<h2>{safe(heading)}</h2>"]
    if len(lines) == 1:
        return [*said, f"<p>{safe(lines[0])}</p>"]
    return [*said, "<ul>", *(f"<li>{safe(line)}</li>" for line in lines), "</ul>"]


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table with a row of heads; keep it to four columns, so that a phone can show it."""
    made = ["<table>", "<thead><tr>", *(f"<th>{safe(head)}</th>" for head in heads), "</tr></thead>", "<tbody>"]
    made += [f"<tr>{''.join(f'<td>{safe(cell)}</td>' for cell in row)}</tr>" for row in rows]
    return [*made, "</tbody>", "</table>"]
