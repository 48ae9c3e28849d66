"""How likely a plan is to hold: shares of many drawn days, as plain values that travel with the plan."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from planning.job.words import Instant, Minutes

DemandKind = Literal["promise", "visit", "night"]


@dataclass(frozen=True, slots=True)
class DayChance:
    """One working day of the plan, begun as planned.

    `holds`: the share of drawn days on which everything planned to begin that day is done within its windows and its
    people's hours, labour and air drawn, materials as quick as the plan takes them. `any_label`: the same when each
    material class may be any product of its kind: what reading the labels is worth. `weakest`: the step that is the
    first to fail most often; None when none ever does. `buffer_min`: so many minutes more at that step (begun sooner,
    or a later end of the day) let it hold nine times in ten, 0: no such minutes help; `lifted`: what `holds` becomes.
    """

    day: date
    holds: float
    any_label: float
    weakest: str | None = None
    buffer_min: Minutes = 0
    lifted: float = 1.0


@dataclass(frozen=True, slots=True)
class DemandChance:
    """A demand on the plan and the share of draws in which it is kept.

    `what`: "ROOM WHAT" of a promise, the id of a visit, the day on whose evening a night with a toilet begins.
    """

    kind: DemandKind
    what: str
    kept: float


@dataclass(frozen=True, slots=True)
class Chance:
    """What so many draws of a plan in its own order of work came to. Nobody plans anew in a draw.

    `finish`: the planned end of the job, a sealer's later visit left out; `finish_holds`: the share of draws done by
    the end of that day. `finish_likely`: eight draws in ten are done by then (`finish_any_label`: whatever products
    the materials are). `steps`: for each step to come, the share in which it keeps its windows and its day, begun as
    planned. `demands`: from now on, days not begun anew. Not a promise: the spreads are as good as the methods' low and
    high numbers, and people who do not come, wrong deliveries and other events are not drawn.
    """

    draws: int
    finish: Instant
    finish_holds: float
    finish_likely: Instant
    finish_any_label: Instant
    days: tuple[DayChance, ...] = ()
    steps: Mapping[str, float] = field(default_factory=dict)
    demands: tuple[DemandChance, ...] = ()
