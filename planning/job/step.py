"""Steps and the links between them: what the trade says must be done, before anybody says when."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from planning.job.words import Barrier, Instant, Kind, Law, LinkEnd, Minutes, Quantity


@dataclass(frozen=True, slots=True)
class Band:
    """A low, typical and high value in minutes (10, 50 and 90 % of cases). Plans use typical, clients are told high."""

    low: Minutes
    typical: Minutes
    high: Minutes


@dataclass(frozen=True, slots=True)
class Wait:
    """A label time at 23 C and 50 % RH and the law by which the room's air moves it.

    It is a minimum (`Link.wait`), a maximum (`Link.within`) or a stay-off time (`KeepOff.until`); which of them
    decides how air moves it, so that is not said here. `room` is the room whose air counts.
    """

    window: str
    label: Band
    law: Law = "fixed"
    material: str | None = None
    room: str = ""
    source: str = ""
    own_label: bool = False
    """Is the number the setter's own (from his bag or his job file), not our default?"""


@dataclass(frozen=True, slots=True)
class Link:
    """This step starts no earlier than `wait` and no later than `within` after the finish (or start) of `step`."""

    step: str
    on: LinkEnd = "finish"
    wait: Wait | None = None
    within: Wait | None = None


@dataclass(frozen=True, slots=True)
class KeepOff:
    """From this step's start nobody walks (or nobody works wet, or nothing heavy stands) on these floors.

    It ends `until` the wait after the finish is over, or, when `until` is a step id, when that step is finished.
    """

    what: Barrier
    floors: tuple[str, ...]
    until: Wait | str


@dataclass(frozen=True, slots=True)
class Amount:
    """So much of a material class. `quantity` is in the class's own SI unit: kg, m3, m2, m, liter or each."""

    material: str
    quantity: float
    unit: str
    per: Quantity = "once"


@dataclass(frozen=True, slots=True)
class InnerAct:
    """An act inside a locked pour or float (a batch, an edge, a lift), for the clocks; no plan moves it.

    `opens` and `shuts` count from `counts_from`: "water_in" (the noted moment when powder met water, of each batch or
    lift) or the key of an earlier act of the same step; None: no such end. `opens_min` and `shuts_min` are the
    same in label minutes after the step's first water-in, each earlier act taken to be done as soon as it may.
    """

    key: str
    title: str
    opens_min: Minutes
    shuts_min: Minutes
    counts_from: str = "water_in"
    opens: Wait | None = None
    shuts: Wait | None = None


@dataclass(frozen=True, slots=True)
class StepBatch:
    """One batch of a pour or float: which mixer (from 1), how many bags (a half one too), and when it is mixed.

    `begins_min` (powder meets water) and `lands_min` (it is in place) count from the step's start. `use`: by when
    after its own water-in it must be in place; None: nothing is known of that.
    """

    n: int
    mixer: int
    bags: float
    begins_min: Minutes
    lands_min: Minutes
    use: Wait | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """Attended labour in one place: one row of a method applied to a room.

    `id` is `room[.part]/method/key` and survives edits. `crew` lists one skill a person. `labour` is elapsed minutes
    with that crew. `stands_on` are floor keys the crew stands on (empty: the work is outside); ways in are added by
    the network. `sees` names who must pass it before anything covers it. `evidence` must be noted before it counts as
    done. Not a planned thing: it has no start.
    """

    id: str
    job: str
    room: str
    part: str | None
    method: str
    key: str
    title: str
    kind: Kind
    crew: tuple[str, ...]
    labour: Band
    pause: bool = False
    divisible: bool = False
    gear: Mapping[str, int] = field(default_factory=dict)
    amounts: tuple[Amount, ...] = ()
    after: tuple[Link, ...] = ()
    stands_on: tuple[str, ...] = ()
    works_on: tuple[str, ...] = ()
    """The floors the work itself belongs to: two wet trades may not share one, even from outside."""
    keeps_off: tuple[KeepOff, ...] = ()
    house: Mapping[str, str] = field(default_factory=dict)
    """Service -> "out" (this step takes it away) or "back" (this step gives it back)."""
    sees: str | None = None
    evidence: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    small_items: tuple[str, ...] = ()
    recovery: str | None = None
    sources: tuple[str, ...] = ()
    acts: tuple[InnerAct, ...] = ()
    """What happens inside a locked step, in order: empty for all others."""
    batches: tuple[StepBatch, ...] = ()
    """The batches of a pour or float in the order they are mixed: empty for all others."""
    bay_of: str = ""
    """The key of the method's row that this step does one bay of; empty for all that is not dammed into bays."""
    says: str = ""
    """What is done, in a sentence, where there is room for one; empty when the title says it all."""
    repeats: str = ""
    """The key of the step that this one does once more; empty for all others."""
    known_since: Instant | None = None
    """When it came to be known that it must be done; None: from the job file."""
