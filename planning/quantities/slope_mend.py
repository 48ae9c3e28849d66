"""What to change when a sloped floor comes out too steep or too flat: the ways setters have, each worked out."""

from dataclasses import dataclass
from typing import Literal

from planning.job.words import Units
from planning.quantities.outline import Outline, Point
from planning.quantities.show import show_inches, show_length
from planning.quantities.si import FALL_PER_INCH_IN_FOOT, INCH_M
from planning.quantities.slope import (
    LEAST_SLOPE,
    MOST_SLOPE,
    Pan,
    Run,
    point_pan,
    slants,
    wall_drain_pan,
)

Change = Literal["center", "wall run", "linear", "drop", "raise"]


@dataclass(frozen=True, slots=True)
class Mend:
    """One change that makes the slopes right. `pan` is the floor then, `height_m` the new height of the walls."""

    change: Change
    pan: Pan | None = None
    height_m: float = 0.0


def mends(
    shape: Outline, drain: Point, at_drain_m: float, slope: float = LEAST_SLOPE, run: Run = "corner",
    rise_m: float | None = None,
) -> tuple[Mend, ...]:  # fmt: skip
    """The changes that mend this floor, best first; empty when its slopes are right as they are.

    "center": the drain in the middle. "wall run": keep the slope to the farthest wall, not the corner. "linear": a
    drain along the nearest wall. "drop": the near wall lower than the others. "raise": the walls higher (too flat).
    """
    pan = point_pan(shape, drain, at_drain_m, slope, run, rise_m)
    wrong = slants(pan, least=_least_asked(slope, run))
    if not wrong:
        return ()
    if wrong == ("too flat",):
        least_rise = LEAST_SLOPE * point_pan(shape, drain, at_drain_m).longest_run_m
        return (Mend("raise", point_pan(shape, drain, at_drain_m, rise_m=least_rise), at_drain_m + least_rise),)
    return tuple(_steep_mends(shape, drain, at_drain_m, run))


def _least_asked(slope: float, run: Run) -> float:
    """By the wall run the corners are flatter on purpose."""
    return 0.0 if run == "wall" and slope >= LEAST_SLOPE * (1 - 1e-9) else LEAST_SLOPE


def _steep_mends(shape: Outline, drain: Point, at_drain_m: float, run: Run) -> list[Mend]:
    found = []
    middle = shape.middle
    if shape.sees_all(middle):
        centered = point_pan(shape, middle, at_drain_m)
        if not slants(centered):
            found.append(Mend("center", centered, centered.perimeter_height_m))
    by_wall = point_pan(shape, drain, at_drain_m, run="wall")
    if run == "corner" and "too steep" not in slants(by_wall):
        found.append(Mend("wall run", by_wall, by_wall.perimeter_height_m))
    nearest = min(range(len(shape.edges)), key=lambda n: shape.wall_distance_m(n, drain))
    linear = wall_drain_pan(shape, nearest, at_drain_m)
    found.append(Mend("linear", linear, linear.perimeter_height_m))
    found.append(Mend("drop", None, at_drain_m + MOST_SLOPE * shape.wall_distance_m(nearest, drain)))
    return found


def show_slope(slope: float, units: Units = "imperial") -> str:
    """1/4 in per ft (nearest 1/16; finer ones as a decimal), or 2.1 %."""
    if units == "metric":
        return f"{slope * 100:.1f} %"
    inches = slope / FALL_PER_INCH_IN_FOOT
    sixteenths = inches * 16
    near = abs(sixteenths - round(sixteenths)) < 0.05
    return f"{show_inches(inches) if near else f'{inches:.2f} in'} per ft"


def say_slants(pan: Pan, units: Units = "imperial") -> str | None:
    """One sentence about slopes that are not right, or None."""
    wrong = slants(pan)
    said = []
    if "too steep" in wrong:
        said.append(f"steepest side {show_slope(pan.steepest, units)}, most is {show_slope(MOST_SLOPE, units)}")
    if "too flat" in wrong:
        said.append(f"flattest run {show_slope(pan.flattest, units)}, least is {show_slope(LEAST_SLOPE, units)}")
    return "; ".join(said) or None


def say_mend(mend: Mend, units: Units = "imperial") -> str:
    """One change in the setter's words, with the height it leads to."""
    height = show_inches(mend.height_m / INCH_M) if units == "imperial" else show_length(mend.height_m, units)
    return {
        "center": f"put the drain in the middle: walls {height} high",
        "wall run": f"keep the fall to the farthest wall: walls {height} high, corners flatter",
        "linear": f"use a linear drain at the near wall: far wall {height} high",
        "drop": f"drop the near wall to {height}",
        "raise": f"raise the walls to {height}",
    }[mend.change]
