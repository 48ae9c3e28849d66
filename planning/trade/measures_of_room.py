"""What a method measures in a room: the setter's numbers over the method's own, the classes chosen, the flags."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from planning.job.job import Job
from planning.job.measures import MEASUREMENTS
from planning.job.place import Room
from planning.job.problem import UnreadableError
from planning.job.scope import Measure, Scope
from planning.quantities.measure_words import read_measure
from planning.quantities.plain_words import listed, nearest
from planning.quantities.si import INCH_M
from planning.quantities.tile import LARGE_SIDE_M
from planning.trade.materials import MaterialClass
from planning.trade.methods import Method
from planning.trade.places import Where, lay_places

LONG_TILE_M = 12 * INCH_M
SMALL_TILE_M = 8 * INCH_M
"""Wall tile under this edge takes more minutes a square foot (common practice, no source)."""


@dataclass(frozen=True)
class Measured:
    """A method measured in a room. `values` are SI, `classes` the class in each slot, `flags` what rows ask `when`."""

    job: Job
    room: Room
    method: Method
    scope: Scope
    places: Mapping[str, Where]
    values: Mapping[str, Measure]
    classes: Mapping[str, MaterialClass]
    known: Mapping[str, MaterialClass]
    flags: frozenset[str]

    def number(self, key: str) -> float | None:
        """A measure that is one number in SI, or None if neither the setter nor the method gives it."""
        value = self.values.get(key)
        return float(value) if isinstance(value, int | float) else None

    def tile(self, key: str = "tile") -> tuple[float, float, float] | None:
        """Length, width and thickness in meters of the tile in that measure, or None."""
        value = self.values.get(key)
        if not isinstance(value, tuple) or len(value) != 3:
            return None
        length, width, thickness = value
        if isinstance(length, tuple) or isinstance(width, tuple) or isinstance(thickness, tuple):
            return None
        return length, width, thickness

    def material(self, slot_or_class: str | None) -> MaterialClass | None:
        """The class in a slot, or the class of that name."""
        if slot_or_class is None:
            return None
        return self.classes.get(slot_or_class) or self.known.get(slot_or_class)


def measure(
    job: Job, room: Room, method: Method, scope: Scope, known: Mapping[str, MaterialClass], toilet: bool
) -> tuple[Measured, list[UnreadableError]]:
    """The method measured in this room, and what could not be read or cannot be chosen.

    `toilet`: does this scope take the room's toilet out? (Only one scope of a room does.)
    """
    wrong: list[UnreadableError] = []
    values: dict[str, Measure] = {}
    for key, given in {**method.measures, **scope.measures}.items():
        try:
            values.update(_read(key, given))
        except UnreadableError as unread:
            wrong.append(unread)
    classes = _classes(method, values, known, wrong)
    flags = _flags(room, scope, values, classes, toilet)
    return Measured(job, room, method, scope, lay_places(method, scope, room), values, classes, known, flags), wrong


def holds(when: Iterable[str], flags: frozenset[str]) -> bool:
    """Do all the flags hold? "not parts" holds when "parts" does not."""
    return all((flag[4:] not in flags) if flag.startswith("not ") else flag in flags for flag in when)


def how_to_write(word: str, right: Iterable[str]) -> str:
    """The nearest right spelling, else all that there is."""
    choices = list(dict.fromkeys(right))
    close = nearest(word, choices)
    if close is not None:
        return f'write "{close}"'
    return f"write one of {listed(choices)}" if choices else "there is nothing to name here yet"


def wrong_class(
    slot: str, asked: str, ours: MaterialClass, known: Mapping[str, MaterialClass]
) -> tuple[str, str] | None:  # fmt: skip
    """What is wrong with a class in this slot and which ones there are, or None."""
    if asked in known and known[asked].family == ours.family:
        return None
    right = [key for key, each in known.items() if each.family == ours.family]
    is_what = f"is {known[asked].title}" if asked in known else "is no material class"
    return f'{slot} = "{asked}" {is_what}', how_to_write(asked, right)


def is_long(tile: tuple[float, float, float] | None) -> bool:
    """Is it a tile of 12 in or more, under which mortar dries slowly on a sealed base?"""
    return tile is not None and max(tile[0], tile[1]) >= LONG_TILE_M - 1e-6


def _flags(
    room: Room, scope: Scope, values: Mapping[str, Measure], classes: Mapping[str, MaterialClass], toilet: bool
) -> frozenset[str]:  # fmt: skip
    """Counts above 0, words and classes chosen, "own-SLOT" for a class that the setter named, small and large tile."""
    found = {key for key, value in values.items() if isinstance(value, int | float) and value > 0}
    found |= {value for key, value in values.items() if isinstance(value, str) and key in ("base", "drain_wall")}
    found |= {chosen.key for chosen in classes.values()}
    found |= {f"own-{slot}" for slot in classes if slot in scope.measures}
    if any((_edge(value) or 0.0) >= LARGE_SIDE_M for value in values.values()):
        found.add("large")
    tiles = [key for key, value in values.items() if _edge(value) is not None]
    found |= {f"small-{key}" for key in tiles if (_edge(values[key]) or 0.0) < SMALL_TILE_M}
    if "grout" in classes and classes["grout"].needs_seal:
        found.add("seal")
    if toilet:
        found.add("toilet")
    if room.parts:
        found.add("parts")
    return frozenset(found)


def _edge(value: Measure) -> float | None:
    """The longest edge of a measure that is a tile, or None."""
    if not isinstance(value, tuple) or len(value) != 3:
        return None
    return max((float(side) for side in value if isinstance(side, int | float)), default=None)


def _classes(
    method: Method, values: Mapping[str, Measure], known: Mapping[str, MaterialClass], wrong: list[UnreadableError]
) -> dict[str, MaterialClass]:
    found: dict[str, MaterialClass] = {}
    for slot, common in method.classes.items():
        ours = known.get(common)
        if ours is None:
            wrong.append(UnreadableError(f'{method.key}: there is no class "{common}"', how_to_write(common, known)))
            continue
        found[slot] = ours
        asked = values.get(slot)
        if asked is None:
            found[slot] = _by_pipe(ours, values, known)
        else:
            told = wrong_class(slot, str(asked), ours, known)
            if told is None:
                found[slot] = known[str(asked)]
            else:
                wrong.append(UnreadableError(*told))
    return found


def _by_pipe(ours: MaterialClass, values: Mapping[str, Measure], known: Mapping[str, MaterialClass]) -> MaterialClass:
    """The solvent cement that is made for the pipe; ours where none is, or nothing is said of a pipe."""
    pipe = str(values.get("pipe", "")).split(" ")[0]
    fits = (each for each in known.values() if each.pipe == pipe and each.family == ours.family)
    return next(fits, ours) if ours.pipe is not None else ours


@lru_cache(maxsize=512)
def _words(key: str, text: str) -> Measure:
    return read_measure(key, text)[key]


def _read(key: str, given: object) -> Mapping[str, Measure]:
    """A measure in SI: numbers and tuples of them are SI already, people's words are read by the key's kind."""
    if isinstance(given, int | float | tuple) and not isinstance(given, bool):
        return {key: given}
    if key not in MEASUREMENTS:
        raise UnreadableError(f"there is no measure {key!r}", how_to_write(key, MEASUREMENTS))
    if isinstance(given, str):
        return {key: _words(key, given)}
    return read_measure(key, given)
