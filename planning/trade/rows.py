"""One row of a method turned into one step of a room: crew, labour, links, stay-offs, amounts, acts."""

from collections.abc import Sequence
from itertools import permutations

from planning.job.people import Person
from planning.job.step import Band, InnerAct, KeepOff, Link, Step, Wait
from planning.job.words import WINDOW_NAMES, Barrier, Minutes
from planning.quantities import units
from planning.quantities.metric_words import in_units
from planning.quantities.pour import load_kg_m2, too_heavy
from planning.trade.amounts import amounts
from planning.trade.materials import ActRow, MaterialClass, Window
from planning.trade.measures_of_room import Measured, holds, is_long
from planning.trade.methods import LabourRow, Row, Until
from planning.trade.quantity_of import quantity
from planning.trade.rates import Rate, labour, rate_from, rates
from planning.trade.tables import TableProblem

FLOOD_HOLD = "flood_hold"
FIXED = "fixed"


def step_id(measured: Measured, row: Row) -> str:
    """The id of a row's step: `room[.part]/method/key`."""
    part = measured.places[row.place].part
    room = measured.room.id if part is None else f"{measured.room.id}.{part}"
    return f"{room}/{measured.method.key}/{row.key}"


def step_of(measured: Measured, row: Row) -> Step:
    """The row as a step. Links name steps of the same scope, whether they stay in it or not (see `leave_out`).

    Raises TableProblem or UnreadableError for a row of the setter's own that cannot be read.
    """
    where = measured.places[row.place]
    material = measured.material(row.lays)
    skills, minutes = _crew(measured, row)
    return Step(
        id=step_id(measured, row),
        job=measured.job.name,
        room=measured.room.id,
        part=where.part,
        method=measured.method.key,
        key=row.key,
        title=row.title,
        says=in_units(row.says, measured.job.units),
        kind=row.kind,
        crew=skills,
        labour=minutes,
        pause=row.pause,
        divisible=row.divisible,
        gear=dict(row.gear),
        amounts=amounts(measured, row),
        after=tuple(_links(measured, row)),
        stands_on=_stands_on(measured, row),
        works_on=where.floors,
        keeps_off=tuple(_keep_off(measured, row, what, until) for what, until in row.keeps_off.items()),
        house={str(service): way for service, way in row.house.items()},
        sees=row.sees,
        evidence=tuple(in_units(each, measured.job.units) for each in row.evidence),
        cautions=_cautions(measured, row),
        small_items=_small_items(measured, row),
        recovery=row.recovery,
        sources=_sources(row, material),
        acts=inner_acts(material, measured.room.id) if row.kind in ("pour", "float") else (),
    )


def manned(people: Sequence[Person], skills: Sequence[str]) -> bool:
    """Are there people at the job who together have these skills, one person a skill?"""
    return any(
        all(person.has(skill) for person, skill in zip(group, skills, strict=True))
        for group in permutations(people, len(skills))
    )


def inner_acts(material: MaterialClass | None, room: str) -> tuple[InnerAct, ...]:
    """The inner acts of a poured or floated class, in order, each with its offset from the first water-in."""
    if material is None:
        return ()
    found: dict[str, InnerAct] = {}
    for act in material.acts:
        base = found[act.counts_from].opens_min if act.counts_from in found else 0
        found[act.key] = _act(material, act, base, room)
    return tuple(found.values())


def _act(material: MaterialClass, act: ActRow, base: Minutes, room: str) -> InnerAct:
    opens = act.opens.minimum if act.opens else None
    shuts = act.shuts.maximum if act.shuts else None
    opens_min = base + (opens.typical if opens else 0)
    ends = shuts.typical if shuts else opens.high if opens else 0
    first, last = _act_wait(material, act.opens, opens, room), _act_wait(material, act.shuts, shuts, room)
    return InnerAct(act.key, act.title, opens_min, max(opens_min, base + ends), act.counts_from, first, last)


def _act_wait(material: MaterialClass, window: Window | None, label: Band | None, room: str) -> Wait | None:
    if window is None or label is None:
        return None
    return Wait(window.name, label, window.law, material.key, room, window.source, window.own_label)


def _crew(measured: Measured, row: Row) -> tuple[tuple[str, ...], Band]:
    """The crew and its minutes: the row's, or the first of them alone when the job has nobody else for it."""
    people = measured.job.people
    alone = row.skills[:1]
    if row.alone is not None and not manned(people, row.skills) and manned(people, alone):
        return alone, _labour(measured, row, row.alone)
    return row.skills, _labour(measured, row, row.labour)


def _labour(measured: Measured, row: Row, parts: Sequence[LabourRow]) -> Band:
    return labour(labour_parts(measured, row, parts))


def labour_parts(measured: Measured, row: Row, parts: Sequence[LabourRow]) -> dict[Rate, float]:
    """The rates that make up a row's labour, each with how much of its quantity there is."""
    laid = measured.material(row.lays)
    summed: dict[Rate, float] = {}
    for n, part in enumerate(parts):
        if holds(part.when, measured.flags):
            rate = _rate(row, n, part)
            summed[rate] = summed.get(rate, 0.0) + quantity(
                measured, rate.per, part.place or row.place, laid, part.measure
            )
    return summed


def _rate(row: Row, n: int, part: LabourRow) -> Rate:
    if part.rate is None:
        return rate_from(f"{row.key}/{n}", part.model_dump(include={"per", "of", "unit", "source"}))
    if part.rate not in rates():
        raise TableProblem(f"{row.key}: there is no rate {part.rate!r}", "write { per, of, unit } with your minutes")
    return rates()[part.rate]


def _links(measured: Measured, row: Row) -> list[Link]:
    found = []
    for link in row.after:
        earlier = measured.method.by_key(link.step)
        if earlier is None:
            raise TableProblem(f"{row.key} comes after {link.step!r}, which is no row", "write the key of a row")
        found.append(
            Link(step_id(measured, earlier), link.on, wait_of(measured, earlier, link.wait),
                 within_of(measured, earlier, link.within))
        )  # fmt: skip
    return found


def wait_of(measured: Measured, laid_by: Row, said: str | None) -> Wait | None:
    """A minimum: a window of what that row lays, the job's flood hold, or a length of time."""
    material = measured.material(laid_by.lays)
    if said in WINDOW_NAMES:
        return None if material is None else material.wait(said, measured.room.id, _sealed(measured, laid_by))
    return _fixed(measured, laid_by, said)


def within_of(measured: Measured, laid_by: Row, said: str | None) -> Wait | None:
    """A maximum: a window of what that row lays, or a length of time."""
    material = measured.material(laid_by.lays)
    if said in WINDOW_NAMES:
        return None if material is None else material.within(said, measured.room.id, _sealed(measured, laid_by))
    return _fixed(measured, laid_by, said)


def _fixed(measured: Measured, row: Row, said: str | None) -> Wait | None:
    if said is None:
        return None
    if said == FLOOD_HOLD:
        hold = measured.job.flood_hold_min
        return Wait(FLOOD_HOLD, Band(hold, hold, hold), room=measured.room.id, source="the job's flood_hold")
    label = units.band(said)
    return Wait(FIXED, label, room=measured.room.id, source=row.source)


def _sealed(measured: Measured, row: Row) -> bool:
    return row.over == "sealed" and is_long(measured.tile(row.tile))


def _keep_off(measured: Measured, row: Row, what: Barrier, until: str | Until) -> KeepOff:
    floors = measured.places[row.place].floors
    if isinstance(until, Until):
        last = measured.method.by_key(until.until)
        if last is None:
            raise TableProblem(f"{row.key} keeps off until {until.until!r}, which is no row", "write the key of a row")
        return KeepOff(what, floors, step_id(measured, last))
    wait = wait_of(measured, row, until)
    return KeepOff(what, floors, wait or Wait(FIXED, Band(0, 0, 0), room=measured.room.id, source=row.source))


def _stands_on(measured: Measured, row: Row) -> tuple[str, ...]:
    places = (row.place,) if row.stands_on is None else row.stands_on
    floors: list[str] = []
    for place in places:
        if place not in measured.places:
            raise TableProblem(f"{row.key} stands on {place!r}, which is no place", "write a place of the method")
        floors += measured.places[place].floors
    return tuple(dict.fromkeys(floors))


def _cautions(measured: Measured, row: Row) -> tuple[str, ...]:
    found = list(row.cautions)
    for name in _materials(row):
        material = measured.material(name)
        if material is not None:
            heavy = _heavy(measured, row, material)
            found += [key for key in material.cautions if key != "load" or heavy]
    return tuple(dict.fromkeys(found))


def _heavy(measured: Measured, row: Row, material: MaterialClass) -> bool:
    """Does this bed alone weigh more than floors are usually designed for?"""
    area = measured.places[row.place].area_m2
    if material.spread != "volume" or material.density_kg_m3 is None or area <= 0:
        return False
    laid = row.amounts.get(row.lays or "", ())
    volume = sum(quantity(measured, part.per, part.place or row.place, material) for part in laid)
    return too_heavy(load_kg_m2(volume / area, material.density_kg_m3.typical))


def _small_items(measured: Measured, row: Row) -> tuple[str, ...]:
    found = list(row.small_items)
    for name in _materials(row):
        material = measured.material(name)
        found += material.small_items if material is not None else ()
    return tuple(dict.fromkeys(in_units(each, measured.job.units) for each in found))


def _materials(row: Row) -> list[str]:
    return list(dict.fromkeys([*([row.lays] if row.lays else []), *row.amounts]))


def _sources(row: Row, material: MaterialClass | None) -> tuple[str, ...]:
    found = [row.source, *(part.source for part in row.labour)]
    if material is not None:
        found.append(material.source)
    return tuple(dict.fromkeys(found))
