"""What a room comes to, beside the lines that describe it: hands, days, bags, steps, and what is wrong."""

from collections.abc import Mapping, Sequence
from typing import Any

from planning.quantities.show import show_minutes
from tui.wall import Wall
from tui.widgets.lines import Line, line, texts
from tui.words import day, shorten, wrap

MOST_BAGS = 5


def comes_to(tried: Mapping[str, Any], wall: Wall, width: int, height: int) -> list[Line]:
    """The lines, as many as fit: what is wrong first, then hands and days, then what to buy, then the steps."""
    made: list[Line] = [line(("WHAT IT COMES TO", "head")), ()]
    if not tried:
        return [*made, line(("being worked out", "dim"))]
    wrong = [*map(str, tried.get("problems", ())), *map(str, tried.get("no_plan", ()))]
    for each in wrong[:3]:
        made += [line((row, "alarm")) for row in wrap(each, width)]
    steps = list(tried.get("steps", ()))
    if not steps:
        return made
    total = show_minutes(sum(int(each[1]) for each in steps))
    days = f"   DAYS about {tried['days']}" if tried.get("days") else ""
    made.append(line((f"HANDS {total}{days}", "bold")))
    plan, finish = wall.plan, tried.get("finish")
    if plan is not None and isinstance(finish, int):
        made.append(line(f"job done {day(plan, finish)}, now {day(plan, plan.finish)}"))
    takes = list(tried.get("takes", ()))
    bags = takes if height > 30 else takes[:MOST_BAGS]
    names = width - 1 - max((len(str(many)) for _, many in bags), default=0)
    made += [(), *(line(f"{shorten(str(name), names):<{names}} {many}") for name, many in bags)]
    if len(bags) < len(takes):
        made.append(line((f"and {len(takes) - len(bags)} more", "dim")))
    made.append(())
    if len(made) + len(steps) <= height:
        made += [line(f"{shorten(str(each[0]).upper(), width - 10):<{width - 10}} {show_minutes(int(each[1]))}")
                 for each in steps]  # fmt: skip
        return made
    return [*made, *texts(_run_on(steps, width, height - len(made)))]


def _run_on(steps: Sequence[Sequence[Any]], width: int, room: int) -> list[str]:
    """The steps one behind the other, as many whole ones as fit in so many rows, and how many more there are."""
    said = [f"{str(each[0]).upper()} {show_minutes(int(each[1]))}" for each in steps]
    rows: list[str] = []
    for shown in range(len(said), 0, -1):
        more = f" and {len(said) - shown} more" if shown < len(said) else ""
        rows = wrap(", ".join(said[:shown]) + more, width)
        if len(rows) <= room:
            break
    return rows
