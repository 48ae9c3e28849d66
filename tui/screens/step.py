"""Step: why then, how late can it go, what if it is missed."""

import re
from collections.abc import Sequence

from planning.job.plan import Plan, PlannedLink, PlannedStep
from planning.job.progress import read_progress
from planning.job.words import Instant
from planning.quantities.show import show_longer, show_minutes
from tui.screens.number_line import text_line
from tui.screens.page import Page
from tui.widgets.lines import Line, both_ends, line, texts
from tui.words import STATE_WORDS, room_name, short_title, spare, title, wall, when, where, who, wrap

LABEL = 13


class StepPage(Page):
    """The page of the step that SPACE acts on."""

    name = "step"
    fills = ("step",)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Every answer the plan has about this step."""
        plan, step = self.wall.plan, self.wall.target()
        if plan is None or step is None:
            return texts(["", "No step is marked."])
        order = sorted(plan.steps, key=lambda s: (s.start, s.finish, s.id))
        place = next(n for n, each in enumerate(order, 1) if each.id == step.id)
        right = f"{STATE_WORDS[step.state]}   step {place} of {len(order)}"
        head = line((f"{title(step)}, {where(plan, step)}", "bold"))
        made = [(), both_ends(head, line(right), width), ()]
        for label, said in answers(plan, step, self.wall.now(), self._filled(step)):
            rows = wrap(said, width - LABEL)
            made += [line((f"{label if n == 0 else '':<{LABEL}}", "head"), row) for n, row in enumerate(rows)]
        return made[:height]

    def _filled(self, step: PlannedStep) -> dict[str, list[str]]:
        filled = self.wall.pages.get("step", {})
        found = filled.get(step.piece.of if step.piece else step.id, {})
        return found if isinstance(found, dict) else {}

    def enter(self) -> None:
        """Back: there is nothing closer."""
        self.deck.back()

    def on_wrong(self) -> None:
        """K: what was found wrong here."""
        if self.wall.target() is not None:
            self.deck.go("found")

    def on_hold(self) -> None:
        """X: hold it till told, or go on."""
        step, session = self.wall.target(), self.wall.session
        if step is None or session is None or session.job is None:
            return
        held = step.id in read_progress(session.job, session.events).held
        body: dict[str, object] = {"step": step.id, "value": "off" if held else "on"}
        self.deck.report("held", body, f"{title(step)} {'goes on' if held else 'is on HOLD till you say so: X again'}.")

    def on_gauge(self) -> None:
        """V: a film gauge reading."""
        self._ask("gauge", "film gauge reads (26 mil):", "Gauge reading noted.")

    def on_extra(self) -> None:
        """I: extra work the owner said yes to."""
        self._ask("extra_work", "extra work (2 h second niche):", "Extra work noted. A new plan follows.")

    def _ask(self, kind: str, asks: str, said: str) -> None:
        step = self.wall.target()
        if step is None:
            return
        about = {"room": step.room} if kind == "extra_work" else {"step": step.id}

        def take(text: str) -> None:
            value: dict[str, object] = {**about, **(work_words(text) if kind == "extra_work" else {"value": text})}
            self.deck.report(kind, value, said)

        self.deck.ask(text_line(f"{short_title(step, 18)}, {asks}", take))

    def on_label(self) -> None:
        """G: what the label of the stuff it waits for says."""
        step = self.wall.target()
        labels = self.deck.page_of("labels")
        labels.of = None if step is None else step.piece.of if step.piece else step.id
        self.deck.go("labels")

    def turn(self, right: int) -> None:
        """The step before or after, in order of start."""
        plan, step = self.wall.plan, self.wall.target()
        if plan is None or step is None:
            return
        order = [each.id for each in sorted(plan.steps, key=lambda s: (s.start, s.finish, s.id))]
        place = order.index(step.id) + right
        if 0 <= place < len(order):
            self.wall.marked = order[place]

    def move(self, down: int) -> None:
        """Up and down do what left and right do."""
        self.turn(down)


Answers = list[tuple[str, str]]


def answers(plan: Plan, step: PlannedStep, now: Instant, filled: dict[str, list[str]]) -> Answers:
    """(label, sentence) for each thing a setter asks of a step. What the plan does not know is left out."""
    long = show_minutes(step.finish - step.start)
    pause = "may pause for lunch." if step.pause else "may not stop half way."
    if step.state == "hold":
        return [("HOLD", step.reason), *((label.upper(), each) for label, lines in filled.items() for each in lines)]
    filled = dict(filled)
    says = filled.pop("says", [])
    made: Answers = [
        *[("DO", each) for each in says if each.upper() != title(step)],
        ("WHEN", f"{when(plan, step.start, now)} to {wall(plan, step.finish)}, {who(plan, step)}. {long}, {pause}"),
        *[("AFTER", _link_words(plan, link)) for link in step.after],
    ]
    if step.window.opens is not None:
        made.append(("OPENS", f"{when(plan, step.window.opens, now)}"))
    if step.window.shuts is not None:
        made.append(("SHUTS", f"{when(plan, step.window.shuts, now)}"))
    if step.reason:
        made.append(("NOT SOONER", step.reason.removeprefix("Not sooner: ")))
    made.append(("START BY", _start_by(plan, step, now)))
    if step.recovery:
        made.append(("IF IT SHUTS", step.recovery))
    made.append(("FEET", _feet(plan, step, now)))
    made += [("INSIDE", f"{act.title}: {wall(plan, act.opens)} to {wall(plan, act.shuts)}") for act in step.acts]
    if step.gear:
        made.append(("GEAR", ", ".join(f"{count} {name}" for name, count in step.gear.items())))
    made += [(label.upper(), each) for label, lines in filled.items() for each in lines]
    return made


def _start_by(plan: Plan, step: PlannedStep, now: Instant) -> str:
    room = spare(step)
    if room is None:
        return "loose: nothing is lost however late it starts."
    lost = f"Then {step.lost_then}." if step.lost_then else ""
    free = "No time to spare." if room <= 0 else f"{show_minutes(room)} to spare."
    return f"{when(plan, step.start + room, now)}. {free} {lost}".strip()


def _feet(plan: Plan, step: PlannedStep, now: Instant) -> str:
    offs = [off for off in plan.stay_off if off.step == step.id and off.what == "walk"]
    if not offs:
        return "nothing to stay off."
    until = max(off.until for off in offs)
    rooms = ", ".join(dict.fromkeys(room_name(plan, off.room, off.part) for off in offs))
    return f"stay off {rooms} till {when(plan, until, now)} ({show_minutes(until - step.finish)} after)."


def _link_words(plan: Plan, link: PlannedLink) -> str:
    before = next((each for each in plan.steps if each.id == link.id), None)
    name = title(before) if before is not None else link.id
    wait = ""
    if link.wait_min:
        wait = f", then {show_minutes(link.wait_min)}"
        if abs(link.factor - 1) >= 0.05:
            wait += f" ({show_minutes(link.label_min)} by the label; this air: {show_longer(link.factor)})"
    within = f", within {show_minutes(link.within_min)}" if link.within_min is not None else ""
    return f"{name}{wait}{within}."


_LONG = re.compile(r"(?:(\d+)\s*h)?\s*(?:(\d+)\s*min)?\s+(.+)")


def work_words(text: str) -> dict[str, object]:
    """Extra work as it is noted: `2 h 30 min second niche` has its minutes apart, other words have none."""
    read = _LONG.fullmatch(text.strip())
    if read is None or not (read[1] or read[2]):
        return {"value": text}
    return {"minutes": 60 * int(read[1] or 0) + int(read[2] or 0), "value": read[3]}
