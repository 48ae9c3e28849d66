"""What is to be done in a room: a method with its measurements, and the setter's own changes to its steps."""

from collections.abc import Mapping
from dataclasses import dataclass, field

Measure = float | int | str | tuple[float, ...] | tuple[tuple[float, ...], ...]
"""A measurement in SI (m, m2, count), a word (a material class, a pipe), a point or a grid of depths."""


@dataclass(frozen=True, slots=True)
class StepChange:
    """The setter's own numbers for one step of a method. None keeps the method's value."""

    step: str
    labor_min: int | None = None
    wait_min: int | None = None
    within_min: int | None = None
    crew: tuple[str, ...] | None = None
    title: str | None = None
    line: int = 0


@dataclass(frozen=True, slots=True)
class Scope:
    """One `[[room.do]]`: a method applied to a room.

    `on` maps the method's places to parts of the room. `measures` holds what the method asks for, in SI; material
    classes chosen by the setter (`leveler = "leveler-rapid"`) are words in it. `after` names steps of the job that
    must be finished before this method's first step.
    """

    method: str
    on: Mapping[str, str] = field(default_factory=dict)
    measures: Mapping[str, Measure] = field(default_factory=dict)
    skip: tuple[str, ...] = ()
    change: tuple[StepChange, ...] = ()
    add: tuple[Mapping[str, object], ...] = ()
    after: tuple[str, ...] = ()
    line: int = 0
    filed: Mapping[str, Measure] | None = None
    """The measures as the job file has them, where a class was swapped since; None: `measures` are."""
