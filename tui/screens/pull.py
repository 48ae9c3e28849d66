"""Pull-list: what to carry in, what is short. SPACE ticks a line; every tick is a record."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from planning.job.hours import local
from planning.quantities.show import show_day, show_wall
from tui.screens.number_line import text_line
from tui.screens.page import Deck, RowsPage, window_of
from tui.screens.supply_run import ask_supply_run
from tui.widgets.lines import Line, line, texts
from tui.words import room_name, shorten, wrap, zone_of


@dataclass(frozen=True, slots=True)
class PullRow:
    """A heading (item None) or one thing to carry for a step."""

    room: str
    step: str
    text: str
    item: dict[str, Any] | None = None


class PullPage(RowsPage[PullRow]):
    """The page."""

    name = "pull"
    fills = ("pull",)

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.day = 0
        self.width = 80

    def _days(self) -> list[dict[str, Any]]:
        """From the day that is on now, or the next with work."""
        plan, filled = self.wall.plan, self.wall.pages.get("pull")
        if plan is None or not filled:
            return []
        today = local(zone_of(plan), self.wall.now()).date().isoformat()
        ahead = [each for each in filled["days"] if each["day"] >= today]
        return ahead or list(filled["days"][-1:])

    def rows(self) -> list[PullRow]:
        """What is to be carried: the lines that can be ticked."""
        return [row for row in self._listed() if row.item is not None]

    def _listed(self) -> list[PullRow]:
        """Rooms, their steps, and what each needs."""
        days, plan = self._days(), self.wall.plan
        if not days or plan is None:
            return []
        made: list[PullRow] = []
        for room in days[min(self.day, len(days) - 1)]["rooms"]:
            for step in room["steps"]:
                if not step["items"] and not step["small_items"]:
                    continue
                at = show_wall(datetime.fromisoformat(step["start"]))
                head = f"{room_name(plan, room['room']).upper()}  {step['title']} {at}"
                made.append(PullRow(room["room"], step["id"], head))
                made += [PullRow(room["room"], step["id"], each["title"], each) for each in step["items"]]
                if step["small_items"]:
                    made.append(PullRow(room["room"], "", ", ".join(step["small_items"])))
        return made

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The day's list around the marked line."""
        days, rows = self._days(), self._listed()
        self.width = width
        if not days:
            return self.waiting(width, "The list is being made from the plan.")
        chosen = days[min(self.day, len(days) - 1)]
        items = [n for n, row in enumerate(rows) if row.item is not None]
        self.at = max(0, min(self.at, len(items) - 1))
        made = [(), self._summary(chosen, [rows[n] for n in items])]
        need = max(30, width - 50)
        made.append(line((f"{'':<{need + 2}} NEED          VAN HAS   GET", "dim")))
        marked = items[self.at] if items else -1
        cautions = [row for each in chosen["cautions"] for row in wrap(each, width)][:2] if height > 15 else []
        first, last = window_of(len(rows), max(marked, 0), max(1, height - len(made) - len(cautions) - 1))
        made += [self._row(rows[n], n == marked, need) for n in range(first, last)]
        more = len(rows) - (last - first)
        made.append(line((f"{more} more lines: up, down".rjust(width) if more else "", "dim")))
        return [*made, *texts(cautions)]

    def _summary(self, chosen: dict[str, Any], items: list[PullRow]) -> Line:
        ticked = sum(1 for row in items if row.item is not None and row.item["ticked"])
        load = chosen["load"] + (f" of {chosen['payload']}" if chosen["payload"] else "")
        short = f"    SHORT {len(chosen['short'])}" if chosen["short"] else ""
        day = show_day(datetime.fromisoformat(chosen["day"]).date()).upper()
        said = f"    in the van {ticked} of {len(items)}    load {load}"
        return line((f"{day} BY ROOM", "head"), said, (short, "alarm"))

    def _row(self, row: PullRow, marked: bool, need: int) -> Line:
        if row.item is None:
            if not row.step:
                return line((f"     {(wrap(row.text, self.width - 8) or [''])[0]}", "dim"))
            return line(("   " + (wrap(row.text, self.width - 3) or [""])[0], "bold"))
        item = row.item
        many = f"{item['need']} {item['package']}" + (f" + {item['spare']} spare" if item["spare"] else "")
        has = "" if item["comes"] and not item["short"] else f"{item['stock']:g}"
        get = f"SHORT {item['short']} {item['package']}" if item["short"] else "comes" if item["comes"] else ""
        mark = ">" if marked else " "
        tick = "√" if item["ticked"] else " "
        text = f"{mark}  {tick} {shorten(row.text, need - 3):<{need - 3}}  {many:<14}{has:<10}{get}"
        return line((text, "mark" if marked else ""))

    def space_words(self) -> str | None:
        """SPACE ticks here."""
        row = self.marked()
        if row is None or row.item is None:
            return ""
        return ("untick " if row.item["ticked"] else "tick ") + shorten(row.text, 24)

    def space(self) -> bool:
        """Tick the marked line, and go to the next."""
        row = self.marked()
        if row is not None and row.item is not None and self._tick(row, not row.item["ticked"]):
            self.move(1)
        return True

    def _tick(self, row: PullRow, on: bool) -> bool:
        assert row.item is not None
        body: dict[str, object] = {"step": row.step, "class": row.item["class"], "value": "on" if on else "off"}
        if not self.deck.report("ticked", body, f"{row.text}: {'in the van' if on else 'not in the van'}."):
            return False
        # The helper's answer comes a moment later and says the same.
        row.item["ticked"] = on
        return True

    def enter(self) -> None:
        """Look at the step that needs it."""
        row = self.marked()
        if row is not None:
            self.wall.marked = row.step
            self.deck.go("step")

    def _of_marked(self, kind: str, asks: str, said: str) -> None:
        """A number about the marked line's class."""
        row = self.marked()
        if row is None or row.item is None:
            return
        item = row.item

        def take(text: str) -> None:
            number = text.split()[0].replace(",", ".")
            if not number.replace(".", "", 1).isdigit():
                self.deck.say(f'"{text}" is not a number. Write how many {item["package"]}s, such as 2.')
                return
            body: dict[str, object] = {"class": item["class"], "value": float(number)}
            if kind == "used":
                body["step"] = row.step
            self.deck.report(kind, body, f"{row.text}: {said} {float(number):g} {item['package']}.")

        self.deck.ask(text_line(f"{shorten(row.text, 24)}, {asks} ({item['package']}):", take))

    def on_has(self) -> None:
        """V: what the van has of the marked line."""
        self._of_marked("van_has", "the van has", "the van has")

    def on_used(self) -> None:
        """I: how much of it was really used by this step."""
        self._of_marked("used", "really used", "used")

    def on_swap(self) -> None:
        """X: another class in its place."""
        row = self.marked()
        if row is None or row.item is None:
            return
        others = list(row.item.get("instead", []))
        if not others:
            self.deck.say(f"Nothing can stand in for {row.text}.")
            return
        item = row.item
        named = ", ".join(f"{n} {title}" for n, (_, title) in enumerate(others, 1))

        def take(text: str) -> None:
            if not text.isdigit() or not 1 <= int(text) <= len(others):
                self.deck.say(f"Type the number of one of these: {named}.")
                return
            key, title = others[int(text) - 1]
            body: dict[str, object] = {"class": item["class"], "value": key, "room": row.room}
            self.deck.report("class_swapped", body, f"{title} in place of {row.text}. A new plan follows.")

        self.deck.ask(text_line(f"In place of {shorten(row.text, 20)}: {named}:", take, filled="1"))

    def on_run(self) -> None:
        """S: a drive for what is short."""
        ask_supply_run(self.deck, self._days()[min(self.day, max(0, len(self._days()) - 1)) :])

    def on_room(self) -> None:
        """K: everything of the marked line's room."""
        marked = self.marked()
        if marked is None:
            return
        for row in self.rows():
            open_row = row.item is not None and row.room == marked.room and not row.item["ticked"]
            if open_row and not self._tick(row, True):
                return
        plan = self.wall.plan
        if plan is not None:
            self.deck.say(f"Everything for the {room_name(plan, marked.room)} is ticked.")

    def on_day(self) -> None:
        """G: the day after, and from the last one back to the first."""
        self.day = (self.day + 1) % max(1, len(self._days()))
        self.at = 0
