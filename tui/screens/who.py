"""Who: who is here, who and what comes, what is owed. Every change is a report, and a new plan follows."""

from collections.abc import Mapping, Sequence
from typing import Any

from planning.job.hours import local
from planning.job.plan import Plan, PlannedVisit
from planning.job.progress import read_progress
from planning.job.words import Instant
from tui.job_text import why_not_written
from tui.screens.number_line import NumberLine, text_line
from tui.screens.page import RowsPage, window_of
from tui.screens.supply_run import ask_supply_run
from tui.screens.who_rows import WhoRow, head_text, row_text, who_rows
from tui.widgets.lines import Line, line, texts
from tui.words import clock, room_name, shorten, zone_of

SERVICES = ("power", "water", "heat")


class Who(RowsPage[WhoRow]):
    """The page. The first other person is marked when it opens, so that `G` needs no arrows."""

    name = "who"
    fills = ("who", "pull")

    def opened(self) -> None:
        """Mark the first helper, or the setter when he is alone."""
        rows = self.rows()
        self.at = 1 if len([row for row in rows if row.person]) > 1 else 0

    def _filled(self) -> Mapping[str, Any]:
        found: Mapping[str, Any] = self.wall.pages.get("who") or {}
        return found

    def rows(self) -> list[WhoRow]:
        """People, then what is still to come, then what is owed."""
        plan = self.wall.plan
        return [] if plan is None else who_rows(plan, self._filled(), self.wall.now())

    def _gone(self) -> frozenset[str]:
        """Who is not here now; told once for each plan and minute, since every report leaves a new plan on the wall."""
        return self.wall.memo("gone", self._gone_now)

    def _gone_now(self) -> frozenset[str]:
        session, now = self.wall.session, self.wall.now()
        if session is None or session.job is None:
            return frozenset()
        absences = read_progress(session.job, session.events).presence.absences
        return frozenset(each.person for each in absences if each.start <= now < each.finish)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Everybody and everything that comes, under headings; what is out at the end."""
        plan = self.wall.plan
        if plan is None:
            return self.waiting(width)
        rows, made, marked = self.rows(), [], 0
        for n, row in enumerate(rows):
            if n == 0 or rows[n - 1].kind != row.kind:
                made += [(), line((head_text(row.kind), "dim"))]
            mark = f"{'>' if n == self.at else ' '}{n + 1:>2}  "
            said = row_text(plan, row, row.person in self._gone(), self.wall.now(), width)
            if n == self.at:
                marked = len(made)
            made.append(line(((mark + said)[:width], "mark" if n == self.at else "")))
        out = [f"OUT       {', '.join(map(str, self._filled().get('out', [])))}. Y: it is back."]
        tail = texts(["", *out]) if self._filled().get("out") else []
        first, last = window_of(len(made), marked, max(1, height - len(tail)))
        return [*made[first:last], *tail]

    def space_words(self) -> str | None:
        """SPACE says that somebody came or went, a visit went well, something is here or is answered."""
        row = self.marked()
        if row is None:
            return ""
        if row.visit is not None:
            return f"{row.visit.who} was here and passed it"
        if row.item is not None:
            what = shorten(str(row.item["what"]), 24)
            return {"delivery": f"{what} is here", "answer": f"{row.item['who']} answered: {what}",
                    "errand": f"{what} is done"}[row.kind]  # fmt: skip
        return f"{row.person} is back" if row.person in self._gone() else f"{row.person} leaves now"

    def space(self) -> bool:
        """Came or went, passed, here, answered, done."""
        row = self.marked()
        if row is None:
            return True
        if row.visit is not None:
            body: dict[str, object] = {"visit": row.visit.id, "value": "passed"}
            self.deck.report("visit_result", body, f"{row.visit.who} passed it.")
        elif row.item is not None:
            self._item(row, row.item)
        elif row.person in self._gone():
            self.deck.report("came", {"who": row.person}, f"{row.person} is back.")
        else:
            self.deck.report("gone", {"who": row.person}, f"{row.person} left for today.")
        return True

    def _item(self, row: WhoRow, item: Mapping[str, Any]) -> None:
        what = str(item["what"])
        if row.kind == "answer":
            said = f"{what} ({item['who']}):"
            self.deck.ask(text_line(said, lambda text: self._answered(item, text), filled="yes"))
        elif row.kind == "delivery":
            self.deck.report("delivered", {"delivery": item["id"]}, f"{what} is here.")
        else:
            self.deck.report("errand", {"errand": item["id"]}, f"{what} is done.")

    def _answered(self, item: Mapping[str, Any], text: str) -> None:
        self.deck.report("answered", {"answer": item["id"], "value": text}, f"{item['what']}: {text}.")

    def enter(self) -> None:
        """What SPACE does, said on the bottom line."""
        self.deck.say(f"SPACE: {self.space_words()}. G: at another time." if self.marked() else "")

    def on_gone(self) -> None:
        """G: from when somebody is gone; ENTER alone means now."""
        row, plan = self.marked(), self.wall.plan
        people = [each.person for each in self.rows() if each.person]
        if plan is None or not people:
            return
        name = row.person if row is not None and row.person else people[-1]
        self.deck.ask(
            NumberLine(f"{name} gone from:", "from", self.wall.now(), zone_of(plan), lambda at: self._leaves(name, at))
        )

    def _leaves(self, name: str, at: Instant) -> None:
        plan = self.wall.plan
        assert plan is not None
        session = self.wall.session
        said = f"{name} gone from {clock(plan, at, self.wall.now())}."
        if session is not None:
            self.deck.report_at("gone", {"who": name}, at, said)

    def on_visit(self) -> None:
        """V: another time for the marked visit, or the next one."""
        row, plan = self.marked(), self.wall.plan
        visits = [each.visit for each in self.rows() if each.visit is not None]
        if plan is not None and row is not None and row.kind == "delivery" and row.item is not None:
            self._move_delivery(plan, row.item)
            return
        if plan is None or not visits:
            self.deck.say("No visit is to come.")
            return
        visit = row.visit if row is not None and row.visit is not None else visits[0]
        asks = f"{visit.who}, {room_name(plan, visit.room)}, comes at:"
        # Typed times are on the visit's own day; up and down change the day.
        day_start = visit.start - _minute_of_day(plan, visit.start)
        self.deck.ask(NumberLine(asks, "at", day_start, zone_of(plan), lambda at: self._moves(visit, at),
                                 nudge=visit.start - day_start))  # fmt: skip

    def _move_delivery(self, plan: Plan, item: Mapping[str, Any]) -> None:
        until = int(item["to"])
        day_start = until - _minute_of_day(plan, until)

        def take(at: Instant) -> None:
            said = f"{item['what']} comes {clock(plan, at, self.wall.now())}."
            self.deck.report("delivery_moved", {"delivery": item["id"], "until": at}, said)

        self.deck.ask(NumberLine(f"{item['what']} comes at:", "at", day_start, zone_of(plan), take,
                                 nudge=until - day_start))  # fmt: skip

    def _moves(self, visit: PlannedVisit, at: Instant) -> None:
        plan = self.wall.plan
        assert plan is not None
        body: dict[str, object] = {"visit": visit.id, "until": at}
        self.deck.report("visit_moved", body, f"{visit.who} comes {clock(plan, at, self.wall.now())}.")

    def on_stay(self) -> None:
        """K: everybody stays till a time today."""
        plan, now = self.wall.plan, self.wall.now()
        if plan is None:
            return
        today = local(zone_of(plan), now).date()
        ends = [b for person in plan.people for a, b in person.hours if local(zone_of(plan), a).date() == today]
        end = max(ends, default=now)
        midnight = now - _minute_of_day(plan, now)
        self.deck.ask(
            NumberLine("We stay till:", "at", midnight, zone_of(plan), self._stays, nudge=end - midnight + 30)
        )

    def _stays(self, at: Instant) -> None:
        plan = self.wall.plan
        assert plan is not None
        self.deck.report("stay_until", {"until": at}, f"We stay till {clock(plan, at, self.wall.now())}.")

    def on_run(self) -> None:
        """S: a drive for what is short."""
        plan, filled = self.wall.plan, self.wall.pages.get("pull")
        if plan is None or not filled:
            self.deck.say("The pull-list is being made. Press it again in a moment.")
            return
        today = local(zone_of(plan), self.wall.now()).date().isoformat()
        ask_supply_run(self.deck, [each for each in filled["days"] if each["day"] >= today])

    def on_failed(self) -> None:
        """X: the marked visit did not pass, or nobody came; a delivery was the wrong thing."""
        row = self.marked()
        if row is not None and row.visit is not None:
            visit = row.visit
            asks = f"{visit.who}: why not (or no-show):"
            self.deck.ask(text_line(asks, lambda text: self._failed(visit, text), filled="failed"))
        elif row is not None and row.kind == "delivery" and row.item is not None:
            body: dict[str, object] = {"delivery": row.item["id"], "value": "wrong"}
            self.deck.report("delivered", body, f"{row.item['what']} is the wrong thing.")
        else:
            self.deck.say("Mark a visit or a delivery first.")

    def _failed(self, visit: PlannedVisit, text: str) -> None:
        said = text.lower()
        value = text if said.startswith(("fail", "no show", "no-show", "nobody")) else f"failed: {text}"
        self.deck.report("visit_result", {"visit": visit.id, "value": value}, f"{visit.who}: {value}.")

    def on_out(self) -> None:
        """Y: power, water or heat is out, or is back."""
        out = [str(each) for each in self._filled().get("out", [])]
        if out:
            self.deck.report("service_back", {"service": out[0]}, f"{out[0]} is back.")
            return
        named = ", ".join(f"{n} {each}" for n, each in enumerate(SERVICES, 1))
        self.deck.ask(text_line(f"What is out: {named}:", self._out, filled="1"))

    def _out(self, text: str) -> None:
        if text.isdigit() and 1 <= int(text) <= len(SERVICES):
            what = SERVICES[int(text) - 1]
            self.deck.report("service_out", {"service": what}, f"{what} is out. Y again says that it is back.")
        else:
            self.deck.say("Type 1, 2 or 3.")

    def on_add(self) -> None:
        """I: somebody more, who can do everything."""
        self.deck.ask(text_line("Who works here too (a name):", self._joins))

    def _joins(self, text: str) -> None:
        edits = [{"do": "person", "values": {"name": text, "can": ["all"]}}]
        self.deck.change(edits, "", lambda tried: self._joined(text, tried))

    def _joined(self, name: str, tried: dict[str, Any]) -> None:
        if tried.get("written"):
            self.deck.say(f"{name} works here too, and can do everything. The job file says so.")
            self.deck.read_again()
        else:
            self.deck.say(f"Not added: {why_not_written(tried)}")


def _minute_of_day(plan: Plan, at: Instant) -> int:
    moment = local(zone_of(plan), at)
    return moment.hour * 60 + moment.minute
