"""A choice the setter has when the day breaks: a plan with its cost, and the events that taking it would write."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from planning.job.plan import Plan
from planning.job.words import Instant, Minutes


@dataclass(frozen=True, slots=True)
class EventDraft:
    """An event that taking a choice would write."""

    kind: str
    body: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Cost:
    """What a choice costs beside the plan as it was taken (without one: beside the job as it was written).

    `overtime_min`: minutes before or after the usual hours, all people together. `person_days`: days on which somebody
    is on site more (fewer: negative). `days_later`: calendar days by which the job ends later; None when nobody
    counted on a day yet. `late_min`: minutes by which promises are missed, all together. `drives`: supply runs.
    `packages`: bags and pails to buy, by class. `asks`: who must say yes. Money is not known here.
    """

    overtime_min: Minutes = 0
    person_days: int = 0
    days_later: int | None = None
    late_min: Minutes = 0
    drives: int = 0
    packages: Mapping[str, int] = field(default_factory=dict)
    asks: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """The same as plain values, for JSON."""
        return {**asdict(self), "packages": dict(self.packages), "asks": list(self.asks)}


def cost_from(values: Mapping[str, Any]) -> Cost:
    """A cost read back from its plain values."""
    return Cost(**{**values, "packages": dict(values["packages"]), "asks": tuple(values["asks"])})


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to go on: what it is, what it costs, the plan it gives, the events it takes, and what it breaks.

    `costs` says `cost` in words. `kind` is the sort of way, such as "stay" or "ask".
    """

    title: str
    costs: str
    finish: Instant
    plan: Plan
    events: tuple[EventDraft, ...] = ()
    broke: tuple[str, ...] = ()
    cost: Cost = Cost()
    kind: str = ""
