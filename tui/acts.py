"""What the keys of every page do to the record: start, finish, late, tacky, really at, undo, note.

Each is on disk before the screen says it.

Nothing here paints or waits for a plan: whoever calls asks for a new plan when `Acts` says that something was noted.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING

from planning.job.plan import Plan, PlannedStep
from planning.job.words import Instant
from planning.quantities.show import show_minutes
from planning.records.not_saved import NotSaved
from tui.screens.guard import AFTER_SPACE_S, DripGuard
from tui.screens.number_line import NumberLine
from tui.screens.page import Deck
from tui.words import MAKING, clock, room_name, short_title, title, zone_of

if TYPE_CHECKING:
    from tui.session import Session
    from tui.wall_session import WallSession

JUST_STARTED_S = 120
PHOTO_ENDS = (".jpg", ".jpeg", ".png", ".heic")


class Acts:
    """The common acts. `noted` is called after each report that is on disk."""

    def __init__(self, deck: Deck, guard: DripGuard, noted: Callable[[bool], None]) -> None:
        self.deck = deck
        self.guard = guard
        self.noted = noted
        self.last_step: str | None = None
        """The step last started or finished here: what B puts right when no other is marked."""
        self._asked: tuple[str, str] | None = None

    @property
    def session(self) -> "WallSession | None":
        """The session, once the job is read."""
        return self.deck.wall.session

    def forget_question(self) -> None:
        """Another key came: what was asked for is asked for no more."""
        self._asked = None

    def _ready(self) -> "tuple[Session, PlannedStep] | None":
        """Session and step to act on; else says why there is none."""
        wall = self.deck.wall
        session, step = wall.session, wall.target()
        if session is None or session.job is None:
            self.deck.say(self.deck.wall.not_read())
            return None
        if step is None:
            self.deck.say(MAKING if wall.plan is None else "No step is marked, and none is due.")
            return None
        return session, step

    def _write(self, write: Callable[[], object], said: str) -> bool:
        try:
            write()
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED, nothing was noted. {wrong.reason}")
            return False
        self._asked = None
        self.deck.say(said)
        self.noted(False)
        return True

    # SPACE

    def space(self) -> None:
        """Start the marked step, or finish it."""
        ready = self._ready()
        if ready is None:
            return
        session, step = ready
        self.guard.hold("space", AFTER_SPACE_S)
        name = f"{title(step)}, {room_name(self._plan(session), step.room)}"
        if step.state == "hands":
            self._finish(session, step, name)
        elif step.state in ("done", "curing"):
            self.deck.say(f"{title(step)} is done. B changes its time, U takes back the last thing.")
        else:
            self._start(session, step, name)

    def _start(self, session: "Session", step: PlannedStep, name: str) -> None:
        if step.state != "ready" and self._asked != (step.id, "start"):
            self._asked = (step.id, "start")
            self.deck.say(self._why_not(session, step) + " SPACE again starts it anyway.")
            return
        if self._write(lambda: session.start(step.id), f"{name} started {self._now(session)}."):
            self.deck.wall.marked = self.last_step = step.id
            if step.acts:
                self.deck.go("clocks")

    def _why_not(self, session: "Session", step: PlannedStep) -> str:
        plan, now = self._plan(session), session.now()
        if session.doubt:
            return "Which time is right was not said yet (C, then K): by one of them it is too early, or too late."
        if step.state == "hold":
            return f"{title(step)} is on HOLD."
        if step.state == "missed":
            cure = f" {step.recovery}" if step.recovery else ""
            return f"Its window shut.{cure}"
        if step.window.opens is not None and now < step.window.opens:
            return f"Not open: opens {clock(plan, step.window.opens, now)}."
        return "What comes before it is not done."

    def _finish(self, session: "Session", step: PlannedStep, name: str) -> None:
        begun = self._started_s(session, step)
        if begun is not None and begun < JUST_STARTED_S and self._asked != (step.id, "finish"):
            self._asked = (step.id, "finish")
            self.deck.say(f"Started {round(begun)} sec ago. SPACE = finish, U = it never started.")
            return
        if self._write(lambda: session.finish(step.id), f"{name} done {self._now(session)}."):
            self.last_step = step.id
            self.deck.wall.marked = None

    def _started_s(self, session: "Session", step: PlannedStep) -> float | None:
        """Seconds since the step was marked started; None when it was not."""
        marks = [e for e in session.events if e.kind == "started" and e.body.get("step") == step.id]
        return None if not marks else (session.clock.wall() - marks[-1].at).total_seconds()

    # L, T, B

    def late(self) -> None:
        """Ask how late the marked step runs."""
        ready = self._ready()
        if ready is None:
            return
        session, step = ready
        if step.state in ("done", "curing"):
            self.deck.say(f"{title(step)} is done. B changes its time.")
            return
        running = step.state == "hands"
        base = step.finish if running else step.start
        asks = f"{self._short(session, step)} {'done' if running else 'starts'} late by:"
        self.deck.ask(
            NumberLine(asks, "late", base, zone_of(self._plan(session)), lambda at: self._late(step, at - base))
        )

    def _late(self, step: PlannedStep, minutes: int) -> None:
        session = self.session
        if session is not None:
            said = f"Noted: {title(step)} {show_minutes(minutes)} late."
            self.deck.wall.late_step = step.id
            self._write(lambda: session.late(step.id, minutes), said)

    def tacky(self) -> None:
        """Look again in 30 min."""
        ready = self._ready()
        if ready is not None:
            session, step = ready
            self._write(lambda: session.tacky(step.id), f"{title(step)} tacky: look again in 30 min. U takes it back.")

    def really(self) -> None:
        """Ask when the last mark of the marked step really was."""
        wall = self.deck.wall
        ready = self._ready()
        if ready is None:
            return
        session, step = ready
        if step.state not in ("hands", "done", "curing"):
            last = wall.step(self.last_step)
            if last is None:
                self.deck.say(f"{title(step)} is not started yet, so there is no time to change.")
                return
            step = last
        what = "started" if step.state == "hands" else "ended"
        asks = f"{self._short(session, step)} really {what}:"
        zone = zone_of(self._plan(session))
        self.deck.ask(NumberLine(asks, "ago", session.now(), zone, lambda at: self._really(step, at)))

    def _really(self, step: PlannedStep, at: Instant) -> None:
        session = self.session
        if session is None:
            return
        when = clock(self._plan(session), at, session.now())
        try:
            self._write(lambda: session.really_at(step.id, at), f"{title(step)}: time put right to {when}.")
        except KeyError:
            self.deck.say(f"{title(step)} has no mark to change.")

    # U, H, N

    def undo(self) -> None:
        """Take back the last thing."""
        self._back(lambda session: session.undo(), "Undone: {}. H = have it back", "Nothing of today is left to undo.")

    def redo(self) -> None:
        """Have the undone thing back."""
        self._back(lambda session: session.redo(), "Have it back: {}.", "Nothing undone that could come back.")

    def _back(self, call: "Callable[[Session], str | None]", yes: str, no: str) -> None:
        session = self.session
        if session is None or session.job is None:
            self.deck.say(self.deck.wall.not_read())
            return
        try:
            said = call(session)
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED, nothing was noted. {wrong.reason}")
            return
        self._asked = None
        self.deck.wall.marked = None
        self.deck.say(no if said is None else yes.format(said))
        if said is not None:
            self.noted(True)

    def note(self) -> None:
        """Ask for a note on the marked step."""
        ready = self._ready()
        if ready is None:
            return
        session, step = ready
        asks = f"Note on {short_title(step, 18)} (a photo: its name.jpg):"
        zone = zone_of(self._plan(session))
        self.deck.ask(
            NumberLine(asks, "text", session.now(), zone, lambda at: None, lambda text: self._note(step, text))
        )

    def _note(self, step: PlannedStep, text: str) -> None:
        session = self.session
        if session is not None:
            kind = "photo" if text.lower().endswith(PHOTO_ENDS) else "note"
            self._write(lambda: session.note(kind, {"step": step.id, "value": text}), f"Noted with {title(step)}.")

    def report(self, kind: str, body: dict[str, object], said: str, at: Instant | None = None) -> bool:
        """Note something else; False when it is not on disk."""
        session = self.session
        if session is None or session.job is None:
            self.deck.say(self.deck.wall.not_read())
            return False
        return self._write(lambda: session.note(kind, body, at), said)

    # Inside

    def _plan(self, session: "Session") -> Plan:
        assert session.plan is not None
        return session.plan

    def _short(self, session: "Session", step: PlannedStep) -> str:
        """The step and its room, short enough to leave room for an answer."""
        return f"{short_title(step, 18)}, {room_name(self._plan(session), step.room)},"

    def _now(self, session: "Session") -> str:
        return clock(self._plan(session), session.now(), session.now())
