"""Step: why then, how late can it go, what if it is missed."""

from collections.abc import Sequence

from planning.job.plan import Plan, PlannedLink, PlannedStep
from planning.job.words import Instant
from planning.quantities.show import show_minutes, show_times
from tui.screens.page import Page
from tui.widgets.lines import Line, both_ends, line, texts
from tui.words import STATE_WORDS, room_name, spare, title, wall, when, where, who, wrap

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
    made: Answers = [
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
    return f"{when(plan, step.start + room, now)}   {free} {lost}".strip()


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
        if abs(link.factor - 1) >= 0.005:
            wait += f" ({show_minutes(link.label_min)} on the label, {show_times(link.factor)} for this air)"
    within = f", within {show_minutes(link.within_min)}" if link.within_min is not None else ""
    return f"{name}{wait}{within}."
