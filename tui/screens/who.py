"""Who: who is here, who comes, who left. Every change is a report, and a new plan follows."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.job.hours import local
from planning.job.plan import Plan, PlannedVisit
from planning.job.progress import read_progress
from planning.job.words import Instant
from tui.screens.number_line import NumberLine
from tui.screens.page import Page
from tui.widgets.lines import Line, line, texts
from tui.words import clock, room_name, shorten, wall, wrap, zone_of


@dataclass(frozen=True, slots=True)
class WhoRow:
    """A person, or a visit."""

    person: str = ""
    visit: PlannedVisit | None = None


class Who(Page):
    """The page. The first other person is marked when it opens, so that `G` needs no arrows."""

    name = "who"

    def opened(self) -> None:
        """Mark the first helper, or the setter when he is alone."""
        rows = self.rows()
        self.at = 1 if len([row for row in rows if row.person]) > 1 else 0

    def rows(self) -> list[WhoRow]:
        """People first, then the visits still to come."""
        plan, now = self.wall.plan, self.wall.now()
        if plan is None:
            return []
        coming = sorted((v for v in plan.visits if v.finish > now), key=lambda v: v.start)
        return [*[WhoRow(person=p.name) for p in plan.people], *[WhoRow(visit=v) for v in coming]]

    def _marked(self) -> WhoRow | None:
        rows = self.rows()
        return rows[min(self.at, len(rows) - 1)] if rows else None

    def _gone(self, name: str) -> bool:
        session, now = self.wall.session, self.wall.now()
        if session is None or session.job is None:
            return False
        absences = read_progress(session.job, session.events).presence.absences
        return any(each.person == name and each.start <= now < each.finish for each in absences)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """People, visits, and what the marked person is needed for."""
        plan = self.wall.plan
        if plan is None:
            return texts(["", "The first plan of this job is being made."], "dim")
        rows = self.rows()
        made: list[Line] = [(), line((f"     {'WHO':<12}{'TODAY':<15}{'CAN DO':<22}NEEDED FOR", "dim"))]
        for n, row in enumerate(rows):
            if row.visit is not None and (n == 0 or rows[n - 1].visit is None):
                made += [(), line((f"     {'VISITS':<12}{'WHEN':<15}{'WHERE':<22}TO SEE", "dim"))]
            mark = f"{'>' if n == self.at else ' '}{n + 1:>2}  "
            said = self._visit(plan, row.visit) if row.visit is not None else self._person(plan, row.person, width)
            made.append(line(((mark + said)[:width], "mark" if n == self.at else "")))
        return made[:height]

    def _person(self, plan: Plan, name: str, width: int) -> str:
        now = self.wall.now()
        zone = zone_of(plan)
        person = next(each for each in plan.people if each.name == name)
        today = local(zone, now).date()
        hours = [span for span in person.hours if local(zone, span[0]).date() == today]
        there = f"{wall(plan, hours[0][0])} to {wall(plan, hours[-1][1])}" if hours else "not today"
        if self._gone(name):
            there = "left"
        needed = [s.title.upper() for s in plan.steps if name in s.people and s.state in ("hands", "ready", "wait")
                  and local(zone, s.start).date() == today]  # fmt: skip
        skills = (wrap(", ".join(person.skills), 21) or [""])[0]
        work = (wrap(", ".join(shorten(each, 16) for each in needed), max(8, width - 55)) or ["nothing"])[0]
        return f"{shorten(name, 11):<12}{there:<15}{skills:<22}{work}"

    def _visit(self, plan: Plan, visit: PlannedVisit) -> str:
        when = clock(plan, visit.start, self.wall.now())
        seen = next(
            (s.title for s in plan.steps if s.room == visit.room and s.id.endswith(f"/{visit.sees}")), visit.sees
        )
        sees = ("NOT BOOKED  " if not visit.booked else "") + shorten(seen or "", 13 if not visit.booked else 25)
        return f"{shorten(visit.who, 11):<12}{when:<15}{shorten(room_name(plan, visit.room), 21):<22}{sees}"

    def space_words(self) -> str | None:
        """SPACE says that somebody came or went, or that a visit went well."""
        row = self._marked()
        if row is None:
            return ""
        if row.visit is not None:
            return f"{row.visit.who} was here and passed it"
        return f"{row.person} is back" if self._gone(row.person) else f"{row.person} leaves now"

    def space(self) -> bool:
        """Came or went."""
        row = self._marked()
        if row is None:
            return True
        if row.visit is not None:
            body: dict[str, object] = {"visit": row.visit.id, "value": "passed"}
            self.deck.report("visit_result", body, f"{row.visit.who} passed it.")
        elif self._gone(row.person):
            self.deck.report("came", {"who": row.person}, f"{row.person} is back.")
        else:
            self.deck.report("gone", {"who": row.person}, f"{row.person} left for today.")
        return True

    def enter(self) -> None:
        """What SPACE does, said on the bottom line."""
        self.deck.say(f"SPACE: {self.space_words()}. G: at another time." if self._marked() else "")

    def move(self, down: int) -> None:
        """Another row."""
        self.at = max(0, min(len(self.rows()) - 1, self.at + down))

    def pick(self, number: int) -> None:
        """That row."""
        if number <= len(self.rows()):
            self.at = number - 1
        else:
            self.deck.say(f"There is no line {number}.")

    def on_gone(self) -> None:
        """G: from when somebody is gone; ENTER alone means now."""
        row, plan = self._marked(), self.wall.plan
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
        row, plan = self._marked(), self.wall.plan
        visits = [each.visit for each in self.rows() if each.visit is not None]
        if plan is None or not visits:
            self.deck.say("No visit is to come.")
            return
        visit = row.visit if row is not None and row.visit is not None else visits[0]
        asks = f"{visit.who}, {room_name(plan, visit.room)}, comes at:"
        # Typed times are on the visit's own day; up and down change the day.
        day_start = visit.start - _minute_of_day(plan, visit.start)
        self.deck.ask(NumberLine(asks, "at", day_start, zone_of(plan), lambda at: self._moves(visit, at),
                                 nudge=visit.start - day_start))  # fmt: skip

    def _moves(self, visit: PlannedVisit, at: Instant) -> None:
        plan = self.wall.plan
        assert plan is not None
        body: dict[str, object] = {"visit": visit.id, "until": at}
        self.deck.report("visit_moved", body, f"{visit.who} comes {clock(plan, at, self.wall.now())}.")


def _minute_of_day(plan: Plan, at: Instant) -> int:
    moment = local(zone_of(plan), at)
    return moment.hour * 60 + moment.minute
