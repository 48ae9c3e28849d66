"""Back from sleep: what came due while nobody looked, in one list. Nothing is marked done by itself."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.job.plan import Plan, PlannedStep
from planning.job.words import Instant
from planning.records.not_saved import NotSaved
from tui.running import running
from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, line, texts
from tui.words import clock, room_name, shorten, title, where


@dataclass(frozen=True, slots=True)
class Came:
    """One thing that came due while away."""

    at: Instant
    step: PlannedStep
    words: str
    act: str = ""
    """"started" or "finished" when the setter can confirm it; "" for a window that opened or shut."""


def came_due(plan: Plan, since: Instant, now: Instant) -> list[Came]:
    """What was due after `since` up to `now`, in order of time."""
    found: list[Came] = []
    for step in plan.steps:
        if step.state == "hands" and since < step.finish <= now:
            found.append(Came(step.finish, step, "should be done", "finished"))
        elif step.state in ("ready", "wait") and since < step.start <= now:
            found.append(Came(step.start, step, "should have started", "started"))
            if step.finish <= now:
                found.append(Came(step.finish, step, "should be done", "finished"))
    for each in running(plan, now):
        name = "floor ready to walk" if each.what == "walk" else "opened"
        if each.opens is not None and since < each.opens <= now:
            found.append(Came(each.opens, each.step, name))
        if each.shuts is not None and since < each.shuts <= now:
            found.append(Came(each.shuts, each.step, "SHUT"))
    return sorted(found, key=lambda each: (each.at, each.step.id, each.act))


class Away(Page):
    """The page. Comes up by itself."""

    name = "away"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.since: Instant = 0
        self.until: Instant = 0
        self.came: list[Came] = []

    def look(self, plan: Plan, since: Instant, now: Instant) -> bool:
        """Gather what came due; False when nothing did."""
        self.since, self.until = since, now
        self.came = came_due(plan, since, now)
        return bool(self.came)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The list and the question."""
        plan = self.wall.plan
        if plan is None:
            return []
        now = self.wall.now()
        count = f"{len(self.came)} thing{'s' if len(self.came) != 1 else ''} came due"
        span = f"{clock(plan, self.since, now)} to {clock(plan, self.until, now)}"
        made = [(), line((f"While you were away ({span}), {count}:", "bold")), ()]
        room = max(1, height - 7)
        for each in self.came[:room]:
            name = shorten(title(each.step), max(12, width - 52))
            made.append(
                line(
                    f"  {clock(plan, each.at, now):<10} {shorten(where(plan, each.step), 12):<12}  {name}  {each.words}"
                )
            )
        if len(self.came) > room:
            made.append(line((f"  and {len(self.came) - room} more", "dim")))
        return [*made, (), line(("Did it go as planned?", "bold")), (), *texts(["Nothing was marked done for you."])]

    def space_words(self) -> str | None:
        """SPACE confirms all of it."""
        acts = [each for each in self.came if each.act]
        return "it went as planned" if acts else ""

    def space(self) -> bool:
        """Write what was planned as what happened, each at its planned time."""
        session, plan = self.wall.session, self.wall.plan
        if session is None or plan is None or session.job is None:
            self.deck.say(self.wall.not_read())
            return True
        acts = [each for each in self.came if each.act]
        try:
            for each in acts:
                session.note(each.act, {"step": each.step.id}, each.at)
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED. {wrong.reason}")
            return True
        self.came = []
        self.deck.noted()
        self.deck.back()
        rooms = ", ".join(dict.fromkeys(room_name(plan, each.step.room) for each in acts))
        self.deck.say(f"Noted as planned: {rooms}. U takes back one after the other.")
        return True

    def enter(self) -> None:
        """Line by line, on Morning."""
        self.deck.go("morning")
