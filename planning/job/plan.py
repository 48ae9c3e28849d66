"""The plan: when each step happens, who does it, how long its floor is off, and why it is not sooner.

Plain data. All times are instants (minutes since 1970 UTC); `plan_json` writes them as ISO text.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from planning.job.chance import Chance
from planning.job.words import Barrier, Instant, Kind, LinkEnd, Minutes, Service, StepState, WindowState

PLAN_VERSION = 1


@dataclass(frozen=True, slots=True)
class Proof:
    """How good the plan is proved to be. `at_most_min_sooner` None: not known. `cut_short`: wall clock stopped it."""

    best: bool
    at_most_min_sooner: Minutes | None = None
    cut_short: bool = False


NOT_PROVED = Proof(best=False)


@dataclass(frozen=True, slots=True)
class PlannedPart:
    """A part of a room as the plan names it."""

    id: str
    in_from: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedRoom:
    """A room as the plan names it."""

    id: str
    name: str
    in_from: tuple[str, ...]
    parts: tuple[PlannedPart, ...] = ()


@dataclass(frozen=True, slots=True)
class PlannedPerson:
    """A person and the stretches in which attended work may lie (set-up, clean-up, absences taken off; meals in)."""

    name: str
    skills: tuple[str, ...]
    hours: tuple[tuple[Instant, Instant], ...]


@dataclass(frozen=True, slots=True)
class HouseOut:
    """A service of the house that is out from one instant until it is back (None: not given back by any step)."""

    what: Service
    room: str
    out_from: Instant
    back_at: Instant | None


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """A visit and when it is. `booked` False: nobody has called yet."""

    id: str
    who: str
    room: str
    sees: str | None
    start: Instant
    finish: Instant
    booked: bool = True


@dataclass(frozen=True, slots=True)
class PlannedLink:
    """One wait as it really is for this plan: label minutes times the air's factor, on the 5-minute axis."""

    id: str
    on: LinkEnd
    wait_min: Minutes
    within_min: Minutes | None
    law: str
    label_min: Minutes
    factor: float


@dataclass(frozen=True, slots=True)
class StepWindow:
    """When a step's window opens and shuts (None: no such end), and how it stands at the time the plan was made."""

    opens: Instant | None
    shuts: Instant | None
    state: WindowState | None


@dataclass(frozen=True, slots=True)
class Piece:
    """This planned step is piece `n` (from 1) of a divisible step, with `share` of its labour."""

    of: str
    n: int
    share: float


@dataclass(frozen=True, slots=True)
class Act:
    """An inner act of a pour or float (a batch, an edge, a lift) with its own window."""

    title: str
    opens: Instant
    shuts: Instant


@dataclass(frozen=True, slots=True)
class PlannedBatch:
    """One batch of a pour or float: its number, its mixer (from 1), its bags, and when its powder meets water, when it
    is in place, and by when it must be (None: not known)."""

    n: int
    mixer: int
    bags: float
    begins: Instant
    lands: Instant
    use_by: Instant | None = None


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """One step (or one piece of a divisible step) with its time, its people and the answers to "why then?"."""

    id: str
    job: str
    room: str
    part: str | None
    title: str
    kind: Kind
    state: StepState
    start: Instant
    finish: Instant
    people: tuple[str, ...]
    gear: Mapping[str, int] = field(default_factory=dict)
    foot_ready: Instant | None = None
    window: StepWindow = StepWindow(None, None, None)
    latest_start: Instant | None = None
    """Latest safe start in this order of work; None: nothing is lost however late (loose)."""
    lost_then: str | None = None
    reason: str = ""
    recovery: str | None = None
    after: tuple[PlannedLink, ...] = ()
    stands_on: tuple[str | None, ...] = ()
    """Parts of the room the crew stands on, None for the whole floor of a room without parts; empty: work outside."""
    pause: bool = False
    piece: Piece | None = None
    acts: tuple[Act, ...] = ()
    batches: tuple[PlannedBatch, ...] = ()
    """The batches of a pour or float in the order they are mixed; empty for all others."""


@dataclass(frozen=True, slots=True)
class StayOff:
    """Nobody walks there (or works wet, or stands heavy things) from `start` until `until`; its own crew may."""

    room: str
    part: str | None
    what: Barrier
    start: Instant
    until: Instant
    step: str


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that a plan breaks (by its number in schedule/rules), the steps, and a sentence for the setter."""

    rule: int
    steps: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Moved:
    """A step that is no longer where the accepted plan had it."""

    id: str
    was: Instant
    now: Instant
    why: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole plan. `zone` is the site's zone name; `finish` is the end of the last step."""

    job: str
    zone: str
    made_at: Instant
    finish: Instant
    proof: Proof
    rooms: tuple[PlannedRoom, ...]
    people: tuple[PlannedPerson, ...]
    gear: Mapping[str, int]
    house: tuple[HouseOut, ...]
    visits: tuple[PlannedVisit, ...]
    steps: tuple[PlannedStep, ...]
    stay_off: tuple[StayOff, ...]
    broken: tuple[Broken, ...] = ()
    moved: tuple[Moved, ...] = ()
    chance: Chance | None = None
    """How likely it holds; None for an instant plan, which is not drawn."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """Lines that belong to the plan as a whole ("air": "not read, taken as 73 F, 50 %"), by topic."""

    def step(self, step_id: str) -> PlannedStep:
        """The planned step of that id. Raises KeyError if there is none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)
