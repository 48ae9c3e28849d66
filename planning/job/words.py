"""The closed word lists of the trade and of scheduling, each a `Literal` so that a misspelling is a type error."""

from typing import Literal, get_args

Instant = int
"""Minutes since 1970-01-01T00:00Z. Elapsed time is counted here only: cures run through nights and clock changes."""

Minutes = int
"""A length of elapsed time in whole minutes."""

AXIS_MIN: Minutes = 5
"""The planning axis: openings round up to it, shuttings round down."""

Kind = Literal[
    "prep", "tear-out", "prime", "pour", "float", "coat", "set", "grout", "caulk", "seal", "test", "fit", "finish"
]
KINDS: tuple[Kind, ...] = get_args(Kind)
WET_KINDS: frozenset[Kind] = frozenset(("prime", "pour", "float", "coat", "set", "grout", "caulk", "seal"))

SKILLS: tuple[str, ...] = (*KINDS, "carry", "mix", "plumb", "all")

WindowName = Literal[
    "pot", "work", "heal", "walk", "next_layer", "tile", "grout", "caulk", "flood", "water", "heavy", "seal"
]
WINDOW_NAMES: tuple[WindowName, ...] = get_args(WindowName)

Quantity = Literal[
    "once",
    "floor_area",
    "wall_area",
    "perimeter",
    "pour_volume",
    "mud_volume",
    "bags",
    "points",
    "drains",
    "niches",
    "corners",
    "sheets",
    "joints",
    "tiles",
]
QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)

Law = Literal["maturity", "drying", "maturity_then_drying", "solvent", "resin", "fixed"]
"""How a window moves with the air: cement maturity, drying by vapor pressure, the slower of both, or not at all."""
LAWS: tuple[Law, ...] = get_args(Law)

LinkEnd = Literal["finish", "start"]
Barrier = Literal["walk", "wet", "heavy"]
Service = Literal["toilet", "water", "power"]
StepState = Literal["wait", "ready", "hands", "curing", "done", "hold", "missed"]
WindowState = Literal["not_yet", "soon", "open", "closing", "shut"]
Aim = Literal["finish", "visits", "margin"]
Units = Literal["imperial", "metric"]
