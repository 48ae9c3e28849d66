"""A supply run: a drive of our own that brings what is short, fitted into a wait before the step that needs it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planning.job.plan import Plan
from planning.job.words import Minutes
from planning.quantities.show import show_minutes
from tui.screens.number_line import text_line
from tui.screens.page import Deck

USUAL_MIN: Minutes = 60
CARRIES = "carry"


@dataclass(frozen=True, slots=True)
class Missing:
    """What is short: class -> packages, said in words, and the step that needs it first."""

    brings: Mapping[str, float]
    words: str
    step: str


def missing(days: Sequence[Mapping[str, Any]]) -> Missing | None:
    """Everything that is short on the first of these pull-list days on which anything is."""
    for day in days:
        found = [(step, item) for room in day["rooms"] for step in room["steps"] for item in step["items"]
                 if item["short"]]  # fmt: skip
        if found:
            brings: dict[str, float] = {}
            for _, item in found:
                brings[item["class"]] = brings.get(item["class"], 0.0) + float(item["short"])
            first = found[0][1]
            words = f"{first['short']} {first['package']} {first['title']}"
            words += f" and {len(found) - 1} more" if len(found) > 1 else ""
            return Missing(brings, words, str(found[0][0]["id"]))
    return None


def driver(plan: Plan) -> str:
    """Who drives: the first other person who carries, else the first person."""
    others = [each.name for each in plan.people[1:] if CARRIES in each.skills or "all" in each.skills]
    return others[0] if others else plan.people[0].name


def ask_supply_run(deck: Deck, days: Sequence[Mapping[str, Any]]) -> None:
    """Ask how long the drive takes, then note it as agreed: the plan finds a wait for it."""
    plan, lacks = deck.wall.plan, missing(days)
    if plan is None:
        return
    if lacks is None:
        deck.say("Nothing is short. V counts what the van has.")
        return
    who = driver(plan)
    asks = f"{who} fetches {lacks.words}; takes ({USUAL_MIN} min):"
    deck.ask(text_line(asks, lambda text: _noted(deck, plan, lacks, who, text), filled=str(USUAL_MIN)))


def _noted(deck: Deck, plan: Plan, lacks: Missing, who: str, text: str) -> None:
    digits = text.removesuffix("min").strip()
    if not digits.isdigit():
        deck.say(f'"{text}" is not clear. Write how many minutes the drive takes, such as 60.')
        return
    known = {step.id: step.piece.of for step in plan.steps if step.piece is not None}
    body: dict[str, object] = {
        "what": "errand", "id": f"supply run for {lacks.words}", "say": "supply run", "who": who, "takes": int(digits),
        "brings": dict(lacks.brings), "before": known.get(lacks.step, lacks.step), "instead": None,
    }  # fmt: skip
    deck.report("agreed", body, f"Supply run, {show_minutes(int(digits))}, {who}: the plan finds a wait for it.")
