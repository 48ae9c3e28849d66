"""Job: which rooms, which work, what sizes, as the job file says."""

from collections.abc import Sequence
from typing import Any

from planning.job.plan import Plan
from tui.screens.lanes import room_steps
from tui.screens.page import Page, live
from tui.widgets.lines import Line, line, texts
from tui.words import day, proof_words, room_name, shorten, wrap


class JobPage(Page):
    """The page. The job file is edited with any editor; this page shows it and says what is wrong in it."""

    name = "job"
    fills = ("job",)

    def _rooms(self) -> list[dict[str, Any]]:
        filled = self.wall.pages.get("job")
        return list(filled["rooms"]) if filled else []

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """A row a room, then the marked one in full."""
        plan, rooms = self.wall.plan, self._rooms()
        if plan is None or not rooms:
            return texts(["", "The job is being read."], "dim")
        self.at = max(0, min(self.at, len(rooms) - 1))
        path = "" if self.wall.job_path is None else self.wall.job_path.name
        head = f"{len(rooms)} rooms   {len(plan.steps)} steps   done {day(plan, plan.finish)}   {path}"
        made: list[Line] = [(), line(("JOB", "head"), f"   {head}"), ()]
        made.append(
            line((f"     {'ROOM':<13}{'SIZE':<22}{'WHAT WE DO':<{max(20, width - 62)}}REACHED BY  LEFT", "dim"))
        )
        for n, each in enumerate(rooms):
            made.append(self._row(plan, each, n, width))
        made += [(), *self._room(plan, rooms[self.at], width)]
        session = self.wall.session
        if session is not None and session.problems:
            made += [(), *[line((row, "alarm")) for each in session.problems[:3] for row in wrap(str(each), width)]]
        made += [
            (),
            *texts(
                wrap(
                    f"To change it: open {path} in any editor. This screen follows it. {proof_words(plan.proof)}", width
                )
            ),
        ]
        return made[:height]

    def _row(self, plan: Plan, each: dict[str, Any], n: int, width: int) -> Line:
        left = sum(1 for step in room_steps(plan, each["room"]) if live(step))
        does = (wrap(", ".join(dict.fromkeys(each["does"])), max(19, width - 63)) or [""])[0]
        ways = ", ".join(room_name(plan, way) for way in each["in_from"])
        name = shorten(room_name(plan, each["room"]), 12)
        text = (
            f"{'>' if n == self.at else ' '}{n + 1:>2}  {name:<13}{each['size']:<22}"
            f"{does:<{max(20, width - 62)}}{shorten(ways, 11):<12}{left:>4}"
        )
        return line((text[:width], "mark" if n == self.at else ""))

    def _room(self, plan: Plan, each: dict[str, Any], width: int) -> list[Line]:
        parts = ", ".join(f"{part['id']} {part['area']}" for part in each["parts"])
        said = (
            f"{each['area']}." + (f" Parts: {parts}." if parts else "") + (" Has the toilet." if each["toilet"] else "")
        )
        name = room_name(plan, each["room"]).upper()
        steps = [s.title for s in room_steps(plan, each["room"]) if live(s)]
        rows = wrap(f"{said} Next: {', '.join(steps[:4])}." if steps else said, width - 14)
        return [line((f"{name if n == 0 else '':<14}", "head"), row) for n, row in enumerate(rows)]

    def on_add(self) -> None:
        """I: add a room."""
        self.deck.go("add")

    def move(self, down: int) -> None:
        """Another room; the mark goes to its next step."""
        self._mark(max(0, min(len(self._rooms()) - 1, self.at + down)))

    def pick(self, number: int) -> None:
        """That room."""
        if number <= len(self._rooms()):
            self._mark(number - 1)
        else:
            self.deck.say(f"There is no room {number}.")

    def _mark(self, at: int) -> None:
        rooms, plan = self._rooms(), self.wall.plan
        self.at = at
        if rooms and plan is not None:
            steps = [s for s in room_steps(plan, rooms[at]["room"]) if live(s)]
            self.wall.marked = steps[0].id if steps else self.wall.marked
