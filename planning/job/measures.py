"""The measurements a room's work may ask for: each key known to the whole trade, what it means and how to write it.

One table for the reader of job files, the methods and the screens. A method says which of these keys it takes; it
may not bring keys of its own, so that a key means one thing everywhere. Values are SI (see `Kind` for the form).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

MeasureKind = Literal[
    "length",  # float, meters
    "area",  # float, square meters
    "count",  # int, 0 or more
    "tile",  # (length, width, thickness) in meters
    "size",  # (first, second) in meters
    "point",  # (from the left wall, from the far wall) in meters, or the word "center"
    "outline",  # corners ((x, y), ...) in meters, at least three
    "grid",  # rows of depths ((d, d, ...), ...) in meters; its spacing is the measure KEY_every, a "size"
    "slope",  # float, rise over run (1/4 in per ft is 0.0208)
    "share",  # float, 0 to 1
    "class",  # str, a material class such as "leveler-rapid"
    "word",  # str, one of `words`
    "pipe",  # str, pipe material and nominal size such as "pvc 2 in"
]


@dataclass(frozen=True, slots=True)
class Measurement:
    """One key of a `[[room.do]]` table: the form of its value, an example as people write it, and what it says."""

    kind: MeasureKind
    example: str
    says: str
    words: tuple[str, ...] = ()


def _lengths() -> dict[str, Measurement]:
    return {
        "depth": Measurement("length", '"1/4 in"', "average depth of the pour"),
        "joint": Measurement("length", '"1/8 in"', "width of the grout joint"),
        "mud_at_drain": Measurement("length", '"1-1/4 in"', "thickness of the bed at the drain"),
        "recess": Measurement("length", '"2 in"', "how far the subfloor lies below the room's floor"),
        "floor_finish": Measurement("length", '"1/2 in"', "thickness of the room's finished floor, tile and bed"),
        "perimeter": Measurement("length", '"32 ft"', "the outline of the floor, when the size does not give it"),
        "caulk": Measurement("length", '"60 ft"', "length of the caulked corners"),
        "edge": Measurement("length", '"12 ft"', "length of the edge trim"),
        "curb": Measurement("length", '"3 ft"', "length of the curb"),
        "curb_height": Measurement("length", '"4 in"', "height of the curb above the subfloor"),
        "linear_drain": Measurement("length", '"32 in"', "length of the linear drain"),
        "coat": Measurement("length", '"25 mil"', "wet thickness of one coat"),
        "water_up": Measurement("length", '"6 ft"', "how high the membrane runs up the walls"),
        "joists": Measurement("length", '"16 in"', "spacing of the joists"),
        "movement_joint": Measurement("length", '"20 ft"', "largest distance between movement joints"),
    }


def _areas_and_counts() -> dict[str, Measurement]:
    return {
        "walls": Measurement("area", '"88 sq ft"', "wall area to be worked"),
        "floor": Measurement("area", '"40 sq ft"', "floor area, when it is not the whole place"),
        "heat": Measurement("area", '"30 sq ft"', "heated area of the floor"),
        "niches": Measurement("count", "1", "niches in the walls"),
        "corners": Measurement("count", "4", "inside corners and seams to be banded"),
        "drains": Measurement("count", "1", "floor drains"),
        "points": Measurement("count", "12", "height points to be read"),
        "sheets": Measurement("count", "6", "sheets of board or underlayment"),
        "outlets": Measurement("count", "4", "outlets in the tiled wall"),
        "machines": Measurement("count", "2", "machines or appliances to move out and back"),
        "tests": Measurement("count", "3", "moisture tests in the slab"),
        "bays": Measurement("count", "2", "bays that a pour or float is dammed into; 1: all in one"),
    }


def _forms() -> dict[str, Measurement]:
    return {
        "tile": Measurement("tile", '"12 x 24 x 3/8 in"', "length, width and thickness of the tile"),
        "wall_tile": Measurement("tile", '"3 x 6 x 5/16 in"', "the tile on the walls"),
        "shower_tile": Measurement("tile", '"2 x 2 x 1/4 in"', "the tile on the shower floor"),
        "drain": Measurement("point", '"2\'-6\\", 1\'-6\\""', "drain center from the part's left and far wall"),
        "outline": Measurement(
            "outline", '["0, 0", "5 ft, 0", "5 ft, 3 ft", "0, 3 ft"]', "corners of a floor that is no rectangle"
        ),
        "heights": Measurement(
            "grid", '{ every = "3 ft", depth = ["1/4 3/8 1/2 in", "1/8 1/4 3/8 in"] }', "depths of a pour by point"
        ),
        "slope": Measurement("slope", '"1/4 in per ft"', "fall of the floor to the drain"),
        "trowel": Measurement("size", '"1/4 x 3/8 in"', "width and depth of the trowel's notch"),
        "waste": Measurement("share", '"10 %"', "tile cut off and broken"),
        "pipe": Measurement("pipe", '"pvc 2 in"', "material and size of the drain pipe"),
        "pattern": Measurement(
            "word", '"straight"', "how the tile is laid", ("straight", "third", "half", "diagonal", "herringbone")
        ),
        "base": Measurement("word", '"wood"', "what the floor is laid on", ("wood", "slab", "tile")),
        "drain_wall": Measurement(
            "word", '"far"', "the wall a linear drain lies at", ("left", "right", "near", "far", "middle")
        ),
        "run": Measurement("word", '"corner"', "the run that sets the fall", ("corner", "wall")),
    }


CLASS_KEYS: tuple[str, ...] = (
    "primer",
    "leveler",
    "patch",
    "thin_set",
    "mud",
    "float",
    "membrane",
    "underlayment",
    "board",
    "lath",
    "liner",
    "cement",
    "grout",
    "sealant",
    "sealer",
    "heat_cable",
)
"""Keys whose value is a material class: what is used for the leveler, for the grout and so on."""


def _classes() -> dict[str, Measurement]:
    examples = {"leveler": "leveler-rapid", "thin_set": "thin-set-rapid", "grout": "grout-epoxy"}
    return {
        key: Measurement("class", f'"{examples.get(key, key.replace("_", "-"))}"', f"material class of the {word}")
        for key, word in ((key, key.replace("_", " ")) for key in CLASS_KEYS)
    }


MEASUREMENTS: Mapping[str, Measurement] = MappingProxyType(
    {**_lengths(), **_areas_and_counts(), **_forms(), **_classes()}
)


def every_key(grid_key: str) -> str:
    """The measure that holds the spacing of a grid's points: "heights" -> "heights_every"."""
    return f"{grid_key}_every"
