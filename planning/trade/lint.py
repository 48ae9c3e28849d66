"""A linter for methods: what a method as data may not say, found before anybody plans with it."""

from collections.abc import Callable, Iterable, Iterator, Mapping

from planning.job.measures import CLASS_KEYS, MEASUREMENTS
from planning.job.problem import UnreadableError
from planning.job.words import SKILLS, WINDOW_NAMES
from planning.quantities import units
from planning.quantities.measure_words import read_measure
from planning.trade.cautions import cautions
from planning.trade.materials import MaterialClass, common_classes
from planning.trade.methods import ROOM_PLACE, UNCUT, AmountRow, LinkRow, Method, Row, Until
from planning.trade.rates import rates
from planning.trade.recoveries import recoveries
from planning.trade.references import slug
from planning.trade.rows import FLOOD_HOLD

KEEPS_OFF: frozenset[str] = frozenset(("prime", "pour", "float", "coat", "set", "grout"))
"""Kinds that leave a floor nobody may walk on, wherever they are done on a floor."""
TITLE_MOST = 18
PIECES = " 4 of 4"
"""What a piece adds to the title of its step: at most four pieces."""
FLAGS: frozenset[str] = frozenset(("toilet", "parts", "large", "seal"))


def lint(method: Method) -> list[str]:
    """What is wrong in a method, one sentence each; [] for a sound one."""
    found = [f"{method.key}: {each}" for check in _WHOLE for each in check(method)]
    for row in method.row:
        found += [f"{method.key}/{row.key}: {each}" for check in _ROWS for each in check(method, row)]
    return found


def shared(one: Method, other: Method) -> float:
    """The share of rows that two methods have in common, of the smaller one: 0 to 1. Rows are told by their key."""
    first, second = {row.key for row in one.row}, {row.key for row in other.row}
    return len(first & second) / min(len(first), len(second))


def _choices(method: Method, name: str | None) -> list[MaterialClass]:
    """Every class that may lie in a slot, or the class of that name."""
    known = common_classes()
    usual = known.get(method.classes.get(name or "", name or ""))
    if usual is None:
        return []
    return [each for each in known.values() if each.family == usual.family] if name in method.classes else [usual]


def _whole_keys(method: Method) -> Iterator[str]:
    keys = [row.key for row in method.row]
    for key in sorted({key for key in keys if keys.count(key) > 1}):
        yield f"two rows are called {key}"
    if not any(row.after for row in method.row if row.after and any(link.wait for link in row.after)):
        yield "no row waits for a window"
    if not any(row.cautions for row in method.row):
        yield "no caution"
    if not any(row.small_items for row in method.row):
        yield "no small item"
    if not method.source:
        yield "no source"


def _whole_titles(method: Method) -> Iterator[str]:
    """A title must fit the screens, pieces counted in, and name one row only."""
    titles = [row.title for row in method.row]
    for row in method.row:
        shown = f"{row.title}{PIECES if row.divisible else ''}"
        if len(shown) > TITLE_MOST:
            yield f"{row.key} is shown as {shown!r}, {len(shown)} characters; {TITLE_MOST} fit"
        if titles.count(row.title) > 1:
            yield f"two rows have the title {row.title!r}"
        if any(slug(row.title) == slug(other.key) for other in method.row if other is not row):
            yield f"the title {row.title!r} of {row.key} is the key of another row"


def _whole_measures(method: Method) -> Iterator[str]:
    for key, value in method.measures.items():
        try:
            read_measure(key, value)
        except (UnreadableError, KeyError) as wrong:
            yield f"measure {key} cannot be read: {wrong}"
    for key in (*method.takes, *method.classes):
        if key not in MEASUREMENTS:
            yield f"{key} is no measure"
    for slot, usual in method.classes.items():
        if usual not in common_classes():
            yield f"slot {slot} has no class {usual}"


READ_BY_QUANTITIES: frozenset[str] = frozenset((
    "bays", "caulk", "coat", "corners", "depth", "drain", "drain_wall", "drains", "floor", "floor_finish", "heights",
    "joint", "joists", "linear_drain", "movement_joint", "mud_at_drain", "niches", "outline", "pattern", "perimeter",
    "pipe", "points", "recess", "run", "sheets", "slope", "trowel", "walls", "waste", "water_up",
))  # fmt: skip
"""Measures that the quantities of any row read by themselves."""


def _whole_used(method: Method) -> Iterator[str]:
    """Every measure that a job may give is read by some row: else the setter measures for nothing."""
    tiles = {key for key in method.asks if key in MEASUREMENTS and MEASUREMENTS[key].kind == "tile"}
    parts = [part for row in method.row for part in (*row.labour, *(row.alone or ()))]
    counted = [part for row in method.row for listed in row.amounts.values() for part in listed]
    used = {part.measure for part in parts} | {part.measure for part in counted} | {part.deep for part in counted}
    used |= {row.lays for row in method.row} | {name for row in method.row for name in row.amounts}
    used |= {row.tile for row in method.row} | {part.tile for part in counted}
    flags = {flag.removeprefix("not ") for row in method.row for flag in row.when}
    flags |= {flag.removeprefix("not ") for part in parts for flag in part.when}
    words = {key for key in method.asks if key in MEASUREMENTS and set(MEASUREMENTS[key].words) & flags}
    for key in sorted(method.asks - READ_BY_QUANTITIES - used - flags - words - tiles):
        yield f"nothing reads the measure {key}"
    for key in sorted(tiles - used):
        yield f"no row lays the tile {key}"


def _whole_house(method: Method) -> Iterator[str]:
    for service in ("toilet", "water", "power"):
        ways = [way for row in method.row for what, way in row.house.items() if what == service]
        if ways and (ways[0] != "out" or ways[-1] != "back"):
            yield f"{service} is not taken out and given back"


def _whole_order(method: Method) -> Iterator[str]:
    seen: set[str] = set()
    for n, row in enumerate(method.row):
        for link in row.after:
            if link.step not in seen:
                yield f"{row.key} comes after {link.step}, which does not stand before it"
        if not row.after and n > 0:
            yield f"{row.key} is not reached from the first row"
        seen.add(row.key)
    followed = {link.step for row in method.row for link in row.after}
    for row in method.row:
        if row.sees and row.key not in followed:
            yield f"{row.key} must be seen, but nothing comes after it"


def _row_words(method: Method, row: Row) -> Iterator[str]:
    places = {ROOM_PLACE, *method.places}
    parts = [part.place for part in (*row.labour, *(row.alone or ()))]
    parts += [part.place for listed in row.amounts.values() for part in listed]
    counted = [part.measure for part in (*row.labour, *(row.alone or ()))]
    counted += [part.measure for listed in row.amounts.values() for part in listed]
    yield from (f"{key} is no measure of the method" for key in counted if key and key not in method.asks)
    for place in (row.place, *(row.stands_on or ()), *parts):
        if place is not None and place not in places:
            yield f"{place} is no place"
    for skill in row.skills:
        if skill not in SKILLS:
            yield f"{skill} is no skill"
    for flag in (*row.when, *(flag for part in row.labour for flag in part.when)):
        if flag.removeprefix("not ") not in _flags():
            yield f"{flag} is no flag"
    yield from (f"{key} is no caution" for key in row.cautions if key not in cautions())
    if row.recovery is not None and row.recovery not in recoveries():
        yield f"{row.recovery} is no recovery"
    if not row.source or not row.title:
        yield "no source or no title"


def _flags() -> frozenset[str]:
    words = {word for each in MEASUREMENTS.values() for word in each.words}
    small = {f"small-{key}" for key, each in MEASUREMENTS.items() if each.kind == "tile"}
    own = {f"own-{slot}" for slot in CLASS_KEYS}
    return FLAGS | small | own | set(MEASUREMENTS) | words | set(common_classes())


def _row_labour(_: Method, row: Row) -> Iterator[str]:
    for part in (*row.labour, *(row.alone or ())):
        if part.rate is not None and part.rate not in rates():
            yield f"{part.rate} is no rate"
        if part.rate is None and part.of == 0:
            yield "labour of nothing"
    if not row.labour:
        yield "no labour"
    if len(row.skills) > 1 and row.alone is None:
        yield "nobody alone can do it: say how long it takes one"
    if row.kind in UNCUT and (row.pause or row.divisible):
        yield f"{row.kind} work may not be paused or cut"


def _row_materials(method: Method, row: Row) -> Iterator[str]:
    for name in ([row.lays] if row.lays else []) + list(row.amounts):
        if not _choices(method, name):
            yield f"{name} is no slot and no class"
    tiles = [row.tile, *(part.tile for listed in row.amounts.values() for part in listed if part.tile)]
    notched = any(each.spread in ("notch", "joint", "tile") for name in row.amounts for each in _choices(method, name))
    for part in (part for listed in row.amounts.values() for part in listed):
        yield from _lengths(method, part)
    if notched and any(tile not in method.measures for tile in tiles):
        yield f"no size of {', '.join(tiles)}"


def _lengths(method: Method, part: AmountRow) -> Iterator[str]:
    for said in (part.deep, part.at_drain):
        if said is None or said in method.measures:
            continue
        try:
            units.length_m(said, None)
        except UnreadableError:
            yield f"{said} is no measure of the method and no length"


def _row_stay_off(method: Method, row: Row) -> Iterator[str]:
    place = method.places.get(row.place)
    on_floor = place is None or place.floor is None
    if row.kind in KEEPS_OFF and on_floor and "walk" not in row.keeps_off:
        yield f"{row.kind} on a floor keeps nobody off it"
    keys = {each.key for each in method.row}
    for what, until in row.keeps_off.items():
        if isinstance(until, Until):
            if until.until not in keys:
                yield f"keeps {what} off until {until.until}, which is no row"
        else:
            yield from _said(method, row, until, "min")


def _row_windows(method: Method, row: Row) -> Iterator[str]:
    for link in row.after:
        earlier = method.by_key(link.step)
        if earlier is None:
            continue
        yield from _said(method, earlier, link.wait, "min")
        yield from _said(method, earlier, link.within, "max")
        yield from _crossed(method, earlier, link)


def _said(method: Method, laid_by: Row, said: str | None, end: str) -> Iterator[str]:
    if said is None or said == FLOOD_HOLD:
        return
    if said not in WINDOW_NAMES:
        try:
            units.band(said)
        except UnreadableError as wrong:
            yield f"{said} is no window and no time: {wrong}"
        return
    if laid_by.lays is None:
        yield f"{laid_by.key} lays nothing that has a window {said}"
    for material in _choices(method, laid_by.lays):
        wait = material.wait(said) if end == "min" else material.within(said)
        if wait is None:
            yield f"{material.key} has no {end} of {said}"


def _crossed(method: Method, earlier: Row, link: LinkRow) -> Iterator[str]:
    for material in _choices(method, earlier.lays):
        wait = material.wait(link.wait) if link.wait else None
        within = material.within(link.within) if link.within else None
        if wait and within and within.label.typical < wait.label.typical:
            yield f"{material.key} shuts before it opens after {earlier.key}"


_WHOLE: tuple[Callable[[Method], Iterable[str]], ...] = (
    _whole_keys,
    _whole_titles,
    _whole_measures,
    _whole_used,
    _whole_house,
    _whole_order,
)
_ROWS: tuple[Callable[[Method, Row], Iterable[str]], ...] = (
    _row_words,
    _row_labour,
    _row_materials,
    _row_stay_off,
    _row_windows,
)


def lint_all(methods: Mapping[str, Method]) -> list[str]:
    """What is wrong in any of these methods, and which two have over 60 % of their rows in common."""
    found = [each for method in methods.values() for each in lint(method)]
    every = list(methods.values())
    for n, one in enumerate(every):
        for other in every[n + 1 :]:
            share = shared(one, other)
            if share > 0.6:
                found.append(f"{one.key} and {other.key} have {share:.0%} of their rows in common")
    return found
