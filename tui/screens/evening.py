"""Evening: what to tell them tonight. The note as they will read it, and the files made from it."""

from collections.abc import Sequence

from planning.job.hours import local
from planning.job.plan import Plan, PlannedStep
from planning.records.atomic import write_text
from planning.records.not_saved import NotSaved
from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, line, texts
from tui.words import clock, room_name, shorten, title, wall, zone_of


class Evening(Page):
    """The page. `at` is the first line of the note in view."""

    name = "evening"
    fills = ("evening", "calendar")

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.long = False

    def _note(self) -> str:
        filled = self.wall.pages.get("evening")
        return "" if not filled else str(filled["long" if self.long else "note"])

    def open_questions(self) -> list[PlannedStep]:
        """Steps begun and not marked done though their time is over."""
        plan, now = self.wall.plan, self.wall.now()
        return [] if plan is None else [s for s in plan.steps if s.state == "hands" and s.finish <= now]

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Open questions first, then the note."""
        plan, note = self.wall.plan, self._note()
        if plan is None or not note:
            return texts(["", "The note is being written from the record."], "dim")
        made: list[Line] = []
        asked = self.open_questions()
        if asked:
            made.append(
                line((f"{len(asked)} QUESTION{'S' if len(asked) > 1 else ''} before the note is true", "alarm"))
            )
            for n, step in enumerate(asked[:2]):
                made.append(self._question(plan, step, n == 0))
            made.append(())
        body = note.rstrip("\n").split("\n")
        room = max(1, height - len(made) - 2)
        self.at = max(0, min(self.at, len(body) - room))
        pages = f"lines {self.at + 1} to {min(len(body), self.at + room)} of {len(body)}   up, down read"
        made.append(line(("THE NOTE" + (", LONG" if self.long else ""), "head"), f"   {pages}"))
        return [*made, *texts(f"  {row}" for row in body[self.at : self.at + room])]

    def _question(self, plan: Plan, step: PlannedStep, marked: bool) -> Line:
        name = f"{room_name(plan, step.room)}, {shorten(title(step), 30)}"
        said = f"{'>' if marked else ' '} {name}: started {wall(plan, step.start)}, not marked done."
        return line((said, "mark" if marked else ""))

    def space_words(self) -> str | None:
        """SPACE answers the first question."""
        asked, plan = self.open_questions(), self.wall.plan
        if not asked or plan is None:
            return ""
        return f"{shorten(title(asked[0]), 20)} done {clock(plan, asked[0].finish, self.wall.now())}"

    def space(self) -> bool:
        """The first question: it was done when planned."""
        asked, session = self.open_questions(), self.wall.session
        if not asked or session is None:
            self.deck.say("No question is open.")
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

    def enter(self) -> None:
        """Save the note."""
        self.on_save()

    def move(self, down: int) -> None:
        """Read on."""
        self.at = max(0, self.at + down)

    def on_long(self) -> None:
        """V: long, or short again."""
        self.long = not self.long
        self.at = 0

    def on_save(self) -> None:
        """The note beside the job file, and in the record that it was given."""
        note = self._note()
        if not note:
            self.deck.say("The note is not written yet. Press it again in a moment.")
            return
        if self._write("note.txt", note):
            self.deck.report("told", {"value": "note"}, f"Saved: {self._name('note.txt')}")

    def on_sheets(self) -> None:
        """A sheet for every door."""
        sheets = (self.wall.pages.get("evening") or {}).get("sheets", {})
        if not sheets:
            self.deck.say("Nobody must stay off any floor now: no sheet to write.")
            return
        if self._write("stay-off.txt", "\n".join(sheets.values())):
            self.deck.say(f"{len(sheets)} sheet{'s' if len(sheets) > 1 else ''} in {self._name('stay-off.txt')}")

    def on_calendar(self) -> None:
        """A file for the phone."""
        made = self.wall.pages.get("calendar")
        if not made:
            self.deck.say("The calendar is not made yet. Press it again in a moment.")
        elif self._write("ics", str(made)):
            self.deck.say(f"Saved: {self._name('ics')}. Send it to the phone; a later one replaces it.")

    def _name(self, end: str) -> str:
        assert self.wall.job_path is not None
        plan = self.wall.plan
        if end != "note.txt" or plan is None:
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
