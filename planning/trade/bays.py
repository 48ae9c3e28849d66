"""Pours and floats that do not fit in one go, dammed into bays: one row of a method becomes several steps.

    prime -> pour -> check flat          bay dams -> prime -> pour-1 -> prime-2 -> pour-2 -> check flat
                                                              pour-1 ------------------------> check flat

Each bay has its own primer right before it, so its window holds whatever day the bay falls on. The next bay begins when
the last one can be walked on: then the dam comes out and the joint's edge is cleaned and primed (common practice, no
source). What came after the pour comes after every bay.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from planning.job.step import Amount, Band, KeepOff, Link, Step, Wait
from planning.quantities.crew import Site, pour_crew, say_bags, say_way_out
from planning.trade.leave_out import merged
from planning.trade.measures_of_room import Measured
from planning.trade.methods import LOCKED, Row
from planning.trade.pour_plan import MIXERS, PourPlan, pour_plan
from planning.trade.rates import Rate, labour, rates, scaled
from planning.trade.rows import labour_parts, manned
from planning.trade.tables import NO_SOURCE

Note = tuple[str, str]
"""What is odd, and what would mend it."""

MOST_LETTERS = 16
"""Of a step's title (screens have 18 for it)."""
SET_DAMS, STRIP_DAMS = "dams", "strip-dams"
"""Rates of the work along a joint, by its length."""
DAM_ITEMS = ("dam boards", "tape and sealant for the dams")
EDGE_ITEMS = ("scraper", "stiff brush", "vacuum")


def bayed(measured: Measured, steps: Sequence[Step]) -> tuple[list[Step], list[Note]]:
    """The steps with each pour and float as it is brought in, dammed into bays where it must be; and notes on them."""
    found, notes = list(steps), list[Note]()
    for row in measured.method.row:
        step = next((each for each in found if row.kind in LOCKED and _is(each, row, measured)), None)
        if step is None:
            continue
        opener = _opener(step, found)
        plan = pour_plan(measured, row, step, opener)
        if plan is None:
            continue
        found = _brought_in(measured, plan, opener, found)
        notes += _notes(measured, plan)
    return found, notes


def _is(step: Step, row: Row, measured: Measured) -> bool:
    return step.key == row.key and step.method == measured.method.key and not step.bay_of


def _brought_in(measured: Measured, plan: PourPlan, opener: Step | None, steps: list[Step]) -> list[Step]:
    if len(plan.bays) == 1:
        return [_bay(measured, plan, 0) if step.id == plan.step.id else step for step in steps]
    bays = [_bay(measured, plan, n) for n in range(len(plan.bays))]
    dams = _dams(measured, plan, opener or plan.step)
    first = None if opener is None else _first_prime(measured, plan, opener, steps, dams)
    made: list[Step] = []
    for n, bay in enumerate(bays):
        if n:
            edge = _edge(measured, plan, opener, n, bays[n - 1].id)
            made += [edge, replace(bay, after=_later_links(plan.step, opener, edge, bays[n - 1].id))]
        elif opener is None:
            made += [dams, replace(bay, after=(*bay.after, Link(dams.id)))]
        else:
            made.append(bay)
    found: list[Step] = []
    for step in steps:
        if step.id == plan.step.id:
            found += made
        elif first is not None and opener is not None and step.id == opener.id:
            found += [dams, first]
        else:
            found.append(_behind_all(step, plan.step.id, [bay.id for bay in bays]))
    return found


def _bay(measured: Measured, plan: PourPlan, n: int) -> Step:
    """Bay n (from 0): its bags, labour and batches; the whole of it when there is only one."""
    step, count, bags = plan.step, len(plan.bays), plan.bays[n]
    hours = plan.labour_of(measured, bags)
    bay = replace(
        step,
        crew=plan.hands.crew,
        gear={**step.gear, MIXERS: plan.hands.mixers} if MIXERS in step.gear else step.gear,
        labour=hours,
        batches=plan.batches(bags, hours.typical),
    )
    if count == 1:
        return bay
    return replace(
        _nth(bay, n + 1, count),
        says=f"{step.says or step.title}, bay {n + 1} of {count}: {say_bags((bags,))}",
        amounts=tuple(replace(each, quantity=each.quantity * bags / plan.bags) for each in step.amounts),
        house={what: way for what, way in step.house.items() if n == (0 if way == "out" else count - 1)},
        sees=step.sees if n == count - 1 else None,
    )


def _nth(step: Step, n: int, count: int) -> Step:
    """A step as that of the n-th bay (from 1): its id, key and title."""
    title = bay_title(step.title, n, count)
    return replace(step, id=f"{step.id}-{n}", key=f"{step.key}-{n}", bay_of=step.key, title=title)


def bay_title(title: str, n: int, count: int) -> str:
    """`pour bay 2 of 3`, shorter where it would be too long for a screen."""
    ways = (
        f"{title} bay {n} of {count}",
        f"{title} bay {n}/{count}",
        f"{title} {n} of {count}",
        f"{title} {n}/{count}",
    )
    return next((each for each in ways if len(each) <= MOST_LETTERS), ways[-1])


def _opener(step: Step, steps: Sequence[Step]) -> Step | None:
    """The primer right before it, whose window would shut before the later bays."""
    before = {link.step for link in step.after if link.within is not None}
    return next((each for each in steps if each.id in before and each.kind == "prime"), None)


def _later_links(step: Step, opener: Step | None, edge: Step, last_bay: str) -> tuple[Link, ...]:
    """What a later bay waits for: its own primer (or edge) as the first waits for its, and every window on the pour."""
    links = [replace(link, step=edge.id) for link in step.after if opener is not None and link.step == opener.id]
    links += [link for link in step.after if link.within is not None and (opener is None or link.step != opener.id)]
    return merged([*(links or [Link(edge.id)]), Link(edge.id), Link(last_bay)])


def _first_prime(
    measured: Measured, plan: PourPlan, opener: Step, steps: Sequence[Step], dams: Step
) -> Step:  # fmt: skip
    """The primer of the first bay, after the dams; of the whole floor when other work stands on it."""
    after = (*opener.after, Link(dams.id))
    shared = any(link.step == opener.id for step in steps if step.id != plan.step.id for link in step.after)
    if shared:
        return replace(opener, after=after)
    share = plan.bays[0] / plan.bags
    return replace(
        opener,
        after=after,
        title=bay_title(opener.title, 1, len(plan.bays)),
        says=f"{opener.says or opener.title}, bay 1 of {len(plan.bays)}",
        labour=_prime_labour(measured, opener, share, first=True),
        amounts=_primer(measured, opener, share, first=True),
        bay_of=opener.key,
    )


def _edge(measured: Measured, plan: PourPlan, opener: Step | None, n: int, last_bay: str) -> Step:
    """Between two bays: the dam comes out, the joint's edge is cleaned, and the next bay is primed, edge and all."""
    step, count = plan.step, len(plan.bays)
    after = (Link(last_bay, wait=_walkable(measured, plan)),)
    strip = {rates()[STRIP_DAMS]: joint_m(measured, plan.row)}
    if opener is None:
        joint = "damp it and bond it" if plan.row.kind == "float" else "clean it"
        return replace(
            _plain(step), id=f"{step.id}-edge-{n + 1}", key=f"{step.key}-edge-{n + 1}", title=f"edge of bay {n + 1}",
            kind="prep", crew=_preps(measured), labour=labour(strip), after=after, bay_of=f"{step.key}-edge",
            says=f"take the dam out, scrape the edge of bay {n} square, {joint}", small_items=EDGE_ITEMS,
        )  # fmt: skip
    share = plan.bays[n] / plan.bags
    return replace(
        _nth(opener, n + 1, count),
        says=f"take the dam out, scrape and prime the edge of bay {n}, prime bay {n + 1} of {count}",
        labour=_sum(_prime_labour(measured, opener, share, first=False), labour(strip)),
        amounts=_primer(measured, opener, share, first=False),
        after=after,
        house={},
        sees=None,
        evidence=(),
        small_items=tuple(dict.fromkeys((*opener.small_items, *EDGE_ITEMS))),
    )


def _dams(measured: Measured, plan: PourPlan, first: Step) -> Step:
    """The dams between the bays, set before the first bay is primed (or poured)."""
    step, joints = plan.step, len(plan.bays) - 1
    return replace(
        _plain(step),
        id=f"{step.id}-dams",
        key=f"{step.key}-dams",
        title="bay dams",
        says=f"set {joints} dam{'' if joints == 1 else 's'} across the floor, for bays of {say_bags(plan.bays)}",
        kind="prep",
        crew=_preps(measured),
        labour=labour({rates()[SET_DAMS]: joints * joint_m(measured, plan.row)}),
        pause=True,
        divisible=True,
        after=tuple(replace(link, within=None) for link in first.after),
        small_items=DAM_ITEMS,
    )


def _plain(step: Step) -> Step:
    """The place of a pour, and nothing of its work."""
    return replace(
        step, gear={}, amounts=(), keeps_off=(), house={}, sees=None, evidence=(), cautions=(), recovery=None,
        acts=(), batches=(), sources=(NO_SOURCE,),
    )  # fmt: skip


def _preps(measured: Measured) -> tuple[str, ...]:
    return ("prep",) if manned(measured.job.people, ("prep",)) else ("pour",)


def joint_m(measured: Measured, row: Row) -> float:
    """The length of one joint between bays: they lie across the shorter side of the floor."""
    where = measured.places[row.place]
    return min(where.sides_m) if where.sides_m else where.area_m2**0.5


def _walkable(measured: Measured, plan: PourPlan) -> Wait | None:
    """The next bay may begin when the last can be walked on; if its class says nothing of it, laid on."""
    waits = (plan.material.wait(name, measured.room.id) for name in ("walk", "next_layer", "tile"))
    return next((wait for wait in waits if wait is not None), None)


def _prime_labour(measured: Measured, opener: Step, share: float, *, first: bool) -> Band:
    """The primer's labour for a share of the floor; of what is done once for the whole floor all with the first bay."""
    row = measured.method.by_key(opener.key)
    if row is None or any(change.step == row.key and change.labor_min for change in measured.scope.change):
        return opener.labour if first else scaled(opener.labour, share)
    found: dict[Rate, float] = {}
    for rate, much in labour_parts(measured, row, row.labour).items():
        if rate.per == "floor_area":
            found[rate] = much * share
        elif first:
            found[rate] = much
    return labour(found)


def _primer(measured: Measured, opener: Step, share: float, *, first: bool) -> tuple[Amount, ...]:
    """The primer of a share of the floor; other things of the primer's row are all used with the first bay."""
    primes = {key for key, material in measured.known.items() if material.family == "primer"}
    found = [replace(each, quantity=each.quantity * share) if each.material in primes else each
             for each in opener.amounts]  # fmt: skip
    return tuple(each for each in found if first or each.material in primes)


def _sum(one: Band, other: Band) -> Band:
    return Band(one.low + other.low, one.typical + other.typical, one.high + other.high)


def _behind_all(step: Step, pour: str, bays: Sequence[str]) -> Step:
    """What came after the pour comes after each bay; a stay-off until the pour ends with its last bay."""
    links = [replace(link, step=bay) for link in step.after for bay in (bays if link.step == pour else [link.step])]
    keeps = tuple(_until(keep, pour, bays[-1]) for keep in step.keeps_off)
    return replace(step, after=merged(links) if len(links) != len(step.after) else step.after, keeps_off=keeps)


def _until(keep: KeepOff, pour: str, last: str) -> KeepOff:
    return replace(keep, until=last) if keep.until == pour else keep


def _notes(measured: Measured, plan: PourPlan) -> list[Note]:
    """Why it is dammed, or that it does not fit, and what else would do."""
    if plan.row.kind != "pour":
        return []
    whole = pour_crew(plan.bags, plan.hands.site, plan.live_min, other_flow_min=_slower(measured, plan))
    if whole.fits:
        return []
    ways = [way for way in whole.ways_out if way.change != "bay"]
    said = ", or ".join([*map(say_way_out, ways), *_fewer(plan, [way.change for way in ways])])
    what = f"{plan.row.key}: {plan.bags} bags take {whole.lasts_min:.0f} min and flow {plan.live_min} min"
    if plan.fits and len(plan.bays) > 1:
        what += f", so it is dammed into {len(plan.bays)} bays of {say_bags(plan.bays)}"
        return [(what, f"for one pour, or fewer bays, {said}" if said else "it stays in bays")]
    bays = next((len(way.bags) for way in whole.ways_out if way.change == "bay"), 0)
    ways_in = [f"write bays = {bays}"] if bays else []
    return [(what, ", or ".join([*ways_in, *([said] if said else [])]) or "pour it in a cooler room")]


def _fewer(plan: PourPlan, ways: Sequence[str]) -> Iterator[str]:
    """What one more person with a mixer makes of the bays, where a whole crew would be too many."""
    site = plan.hands.site
    more = Site(site.people + 1, site.mixers if site.people == 1 else site.mixers + 1)
    most = more.at_once(plan.live_min)
    bays = -(-plan.bags // most) if most else 0
    if "hands" not in ways and 0 < bays < len(plan.bays):
        mixer = " and 1 more mixer" if more.mixers > site.mixers else ""
        yield f"bring 1 more person{mixer} for {bays} bays"


def _slower(measured: Measured, plan: PourPlan) -> float | None:
    slower = next((each for each in measured.known.values() if each.faster == plan.material.key), None)
    wait = None if slower is None else slower.within("work", measured.room.id)
    return None if wait is None else wait.label.typical
