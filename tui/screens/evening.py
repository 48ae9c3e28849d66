"""Evening: what to tell them tonight, and what to see to before driving off. The notes as they will be read."""

from collections.abc import Mapping, Sequence
from typing import Any

from planning.job.hours import local
from planning.job.plan import Plan, PlannedStep
from planning.records.atomic import write_text
from planning.records.not_saved import NotSaved
from tui.cli.transfer import export_beside
from tui.screens.page import Deck, Page, window_of
from tui.widgets.lines import Line, line, texts
from tui.words import clock, room_name, shorten, title, wall, wrap, zone_of

NOTES = (("note", "owner", "THE NOTE FOR THE OWNER"), ("long", "owner", "THE NOTE FOR THE OWNER, LONG"),
         ("contractor", "contractor", "THE NOTE FOR THE CONTRACTOR"))  # fmt: skip
"""(what the helper calls it, who reads it, its heading), in the order in which V shows them."""
MOST_QUESTIONS = 3


def _narrowed(row: str, width: int) -> list[str]:
    """A row of the note, or the rows it takes on a narrow screen; what is indented stays so."""
    if len(row) <= width:
        return [row]
    indent = " " * (len(row) - len(row.lstrip()))
    first, *rest = wrap(row.lstrip(), width - len(indent) - 2)
    return [indent + first, *(f"{indent}  {more}" for more in rest)]


class Evening(Page):
    """The page. `at` is the first line of the note in view, or the marked line of the list before driving off."""

    name = "evening"
    fills = ("evening", "calendar")

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.which = 0
        self.leaving = False

    def _filled(self) -> Mapping[str, Any]:
        return self.wall.pages.get("evening") or {}

    def _note(self) -> str:
        return str(self._filled().get(NOTES[self.which][0], ""))

    def _leave(self) -> list[dict[str, Any]]:
        return list(self._filled().get("leave", ()))

    def open_questions(self) -> list[PlannedStep]:
        """Steps begun and not marked done though their time is over: those that SPACE can answer."""
        plan, now = self.wall.plan, self.wall.now()
        return [] if plan is None else [s for s in plan.steps if s.state == "hands" and s.finish <= now]

    def _other_questions(self) -> list[str]:
        """What else makes the note untrue, as the helper found it."""
        return [str(each["words"]) for each in self._filled().get("questions", ()) if each["kind"] != "finished"]

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Open questions first, then the note, or the list before driving off."""
        plan, note = self.wall.plan, self._note()
        if plan is None or not note:
            return self.waiting(width, "The note is being written from the record.")
        made = self._asked(plan, width)
        if self.leaving:
            return [*made, *self._list(max(1, height - len(made) - 2), width)]
        body = [row for whole in note.rstrip("\n").split("\n") for row in _narrowed(whole, width - 2)]
        room = max(1, height - len(made) - 3)
        self.at = max(0, min(self.at, len(body) - room))
        seen = f"lines {self.at + 1} to {min(len(body), self.at + room)} of {len(body)}   up, down read"
        made.append(line((NOTES[self.which][2], "head"), f"   {seen}" if width >= 80 else ""))
        made += texts(f"  {row}" for row in body[self.at : self.at + room])
        left = sum(1 for each in self._leave() if not each["done"])
        return [*made, line((f"BEFORE YOU DRIVE OFF: {left} to see to. K lists them." if left else "", "bold"))]

    def _asked(self, plan: Plan, width: int) -> list[Line]:
        asked, others = self.open_questions(), self._other_questions()
        count = len(asked) + len(others)
        if not count:
            return []
        made = [line((f"{count} QUESTION{'S' if count > 1 else ''} before the note is true", "alarm"))]
        made += [self._question(plan, step, n == 0) for n, step in enumerate(asked[:MOST_QUESTIONS])]
        made += texts(f"  {shorten(words, width - 3)}" for words in others[: MOST_QUESTIONS - len(made) + 1])
        return [*made, ()]

    def _question(self, plan: Plan, step: PlannedStep, marked: bool) -> Line:
        name = f"{room_name(plan, step.room)}, {shorten(title(step), 30)}"
        said = f"{'>' if marked else ' '} {name}: started {wall(plan, step.start)}, not marked done."
        return line((said, "mark" if marked else ""))

    def _list(self, room: int, width: int) -> list[Line]:
        """The list before driving off, the marked line in view; a long line shows whole when it is marked."""
        rows = self._leave()
        self.at = max(0, min(self.at, len(rows) - 1))
        left = sum(1 for each in rows if not each["done"])
        made = [line(("BEFORE YOU DRIVE OFF", "head"), f"   {left} of {len(rows)} to see to   K the note again")]
        if not rows:
            return [*made, *texts(["", "Nothing to see to."], "dim")]
        whole = wrap(str(rows[self.at]["words"]), width - 8)
        first, last = window_of(len(rows), self.at, max(1, room - len(whole)))
        for n in range(first, last):
            tick = "√" if rows[n]["done"] else " "
            if n == self.at:
                made.append(line((f"> {tick} {n + 1:>2}  {whole[0]}", "mark")))
                made += texts(f"        {more}" for more in whole[1:])
            else:
                made.append(line(f"  {tick} {n + 1:>2}  {shorten(str(rows[n]['words']), width - 8)}"))
        return made

    def space_words(self) -> str | None:
        """SPACE answers the first question, or ticks the marked line."""
        asked, plan = self.open_questions(), self.wall.plan
        if plan is not None and asked and not self.leaving:
            return f"{shorten(title(asked[0]), 20)} done {clock(plan, asked[0].finish, self.wall.now())}"
        rows = self._leave()
        if self.leaving and rows:
            row = rows[min(self.at, len(rows) - 1)]
            return ("untick " if row["done"] else "tick ") + shorten(str(row["words"]), 30)
        return ""

    def space(self) -> bool:
        """Tick the marked line; else the first question: it was done when planned."""
        if self.leaving:
            self._tick()
            return True
        asked, session = self.open_questions(), self.wall.session
        if not asked or session is None:
            others = self._other_questions()
            self.deck.say(f"{others[0]} Say it on its own page." if others else "No question is open.")
            return True
        step = asked[0]
        try:
            session.finish(step.id, step.finish)
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED. {wrong.reason}")
            return True
        self.deck.noted()
        self.deck.say(f"{title(step)} done. B changes its time.")
        return True

    def _tick(self) -> None:
        rows = self._leave()
        if not rows:
            return
        row = rows[min(self.at, len(rows) - 1)]
        on = not row["done"]
        body: dict[str, object] = {
            "leave": row["key"],
            "day": self._filled().get("day"),
            "value": "on" if on else "off",
        }
        if self.deck.report("ticked", body, f"{shorten(str(row['words']), 50)}: {'seen to' if on else 'open again'}."):
            # The helper's answer comes a moment later and says the same.
            row["done"] = on
            self.move(1)

    def enter(self) -> None:
        """Save the note."""
        self.on_save()

    def move(self, down: int) -> None:
        """Read on, or to another line of the list."""
        self.at = max(0, self.at + down)

    def pick(self, number: int) -> None:
        """That line of the list."""
        if self.leaving and number <= len(self._leave()):
            self.at = number - 1

    def on_leave(self) -> None:
        """K: the list before driving off, and back to the note."""
        self.leaving = not self.leaving
        self.at = 0

    def on_long(self) -> None:
        """V: the next note."""
        self.which = (self.which + 1) % len(NOTES)
        self.leaving = False
        self.at = 0

    def on_save(self) -> None:
        """The note beside the job file as text and as a page, and in the record that it was handed over."""
        note, reader = self._note(), NOTES[self.which][1]
        if not note:
            self.deck.say("The note is not written yet. Press it again in a moment.")
            return
        filled = self._filled()
        if not self._write(f"{reader}.txt", note) or not self._write(f"{reader}.html", str(filled["pages"][reader])):
            return
        self.deck.report("told", dict(filled["told"][reader]), f"Saved: {self._name(f'{reader}.txt')} and .html")
        assert self.wall.job_path is not None
        export_beside(self.wall.job_path)

    def on_sheets(self) -> None:
        """A sheet for every door, as text and to print."""
        sheets = self._filled().get("sheets", {})
        if not sheets:
            self.deck.say("Nobody must stay off any floor now: no sheet to write.")
            return
        printed = str(self._filled().get("sheets_page", ""))
        if self._write("stay-off.txt", "\n".join(sheets.values())) and self._write("stay-off.html", printed):
            many = f"{len(sheets)} sheet{'s' if len(sheets) > 1 else ''}"
            self.deck.say(f"{many} in {self._name('stay-off.txt')}, to print: .html")

    def on_calendar(self) -> None:
        """A file for the phone."""
        made = self.wall.pages.get("calendar")
        if not made:
            self.deck.say("The calendar is not made yet. Press it again in a moment.")
        elif self._write("ics", str(made["text"])):
            said = f"Saved: {self._name('ics')}. Send it to the phone; a later one replaces it."
            self.deck.report("told", dict(made["told"]), said)

    def _name(self, end: str) -> str:
        """Notes carry their day; sheets and calendar take the place of the last ones."""
        assert self.wall.job_path is not None
        plan = self.wall.plan
        if plan is None or not end.startswith(("owner.", "contractor.")):
            return f"{self.wall.job_path.stem}.{end}"
        return f"{self.wall.job_path.stem}.{local(zone_of(plan), self.wall.now()).date().isoformat()}.{end}"

    def _write(self, end: str, text: str) -> bool:
        assert self.wall.job_path is not None
        try:
            write_text(self.wall.job_path.with_name(self._name(end)), text)
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED. {wrong.reason}")
            return False
        return True
