"""Trouble as typed on the command line: what was found, how a visit went, what came wrong, what is out."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from planning.job.events import Event
from planning.job.job import Job
from planning.job.progress import visit_word
from planning.job.step import Step
from planning.quantities.show import show_minutes
from planning.trade.mending.asked import answer_id, is_trouble
from tui.cli.wrong import WrongUse

SERVICES = ("power", "water", "heat")
RESULTS = "passed, failed (and why) or no-show"


def found(text: str) -> dict[str, Any]:
    """What was found, and the trouble it is, as the trade knows it."""
    from planning.trade.troubles import trouble_named

    return {"value": text, "trouble": trouble_named(text).key}


def work(text: str) -> dict[str, Any]:
    """Extra work: how long it takes, if that comes first, and what it is."""
    from planning.quantities.units import UnitProblem, minutes

    words = text.split()
    for size in (2, 1):
        try:
            return {"minutes": minutes(" ".join(words[:size])), "value": " ".join(words[size:]) or text}
        except UnitProblem:
            continue
    return {"value": text}


def result(text: str) -> dict[str, Any]:
    """How a visit went. Raises WrongUse for words that say neither."""
    said = text.casefold().replace("-", " ").replace("_", " ")
    if visit_word(text) == "passed" and not said.startswith(("pass", "ok", "good")):
        raise WrongUse(f"{text!r} does not say how it went; write {RESULTS}")
    return {"value": text}


def arrived(text: str) -> dict[str, Any]:
    """A delivery that is here: how many packages, or that it is the wrong thing."""
    if text.casefold().startswith("wrong"):
        return {"value": text}
    try:
        return {"value": float(text.split()[0])}
    except ValueError:
        how = "write how many came as 2, or wrong if it is not the right thing"
        raise WrongUse(f"{text!r} is not a number; {how}") from None


def service(text: str) -> str:
    """What is out or back. Raises WrongUse."""
    if text.casefold() not in SERVICES:
        raise WrongUse(f"{text!r} is nothing that can be out; write one of {', '.join(SERVICES)}")
    return text.casefold()


NOTHING: Mapping[str, str] = {
    "found": "It puts no step in: nothing laid there is hurt by it.",
    "short": "No pour of it runs now: mudday pull shows what is short, mudday choices shows drives.",
}
"""What is said of a report that puts no step in."""


def put_in_lines(job: Job, event: Event, put_in: Sequence[Step]) -> list[str]:
    """The steps that a report put into the job, and what is asked of whom first."""
    if not is_trouble(event):
        return []
    if not put_in:
        return [NOTHING[event.kind]] if event.kind in NOTHING else []
    made = [f"{step.title.upper()} ({show_minutes(step.labour.typical)})" for step in put_in]
    lines = [f"Puts in: {', '.join(made)}.", put_in[0].says]
    asked = [answer for answer in job.answers if answer.id == answer_id(event)]
    lines += [f"The {each.owed_by} must say yes first: mudday note JOB answered '{each.what}' yes" for each in asked]
    return [line for line in lines if line]


VALUES: Mapping[str, Callable[[str], dict[str, Any]]] = {
    "found": found,
    "work": work,
    "result": result,
    "arrived": arrived,
}
"""How the value of a form is read -> its reader."""
