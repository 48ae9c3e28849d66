"""What a room comes to, beside the lines that describe it: hands, days, bags, steps, and what is wrong."""

from collections.abc import Mapping
from typing import Any

from planning.quantities.show import show_minutes
from tui.wall import Wall
from tui.widgets.lines import Line, line
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
    made += [(), *(line(f"{shorten(str(name), width - 18):<{width - 18}} {many}") for name, many in bags)]
    if len(bags) < len(takes):
        made.append(line((f"and {len(takes) - len(bags)} more", "dim")))
    made.append(())
    if len(made) + len(steps) <= height:
        made += [line(f"{shorten(str(each[0]).upper(), width - 10):<{width - 10}} {show_minutes(int(each[1]))}")
                 for each in steps]  # fmt: skip
        return made
    run_on = ", ".join(f"{str(each[0]).upper()} {show_minutes(int(each[1]))}" for each in steps)
    return [*made, *(line(row) for row in wrap(run_on, width))]
