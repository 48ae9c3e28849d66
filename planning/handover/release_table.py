"""From when each floor may be walked on, worked in by others, wetted and loaded: usual and safe, and whom to book."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from planning.handover.as_page import block, page, safe, table
from planning.handover.bookings import Booking, bookings
from planning.handover.evening import Evening
from planning.handover.private import screened
from planning.handover.release import Release
from planning.handover.wording import owner_time, quarter_up, room_name
from planning.job.plan import PlannedStep
from planning.job.words import Barrier, Instant
from planning.quantities.show import show_day
from planning.trade.air import opens_at, site_air
from planning.trade.materials import material_classes

Use = Literal["walk", "trades", "water", "furniture"]
USE_WORDS: Mapping[Use, str] = {
    "walk": "walk on it", "trades": "other trades", "water": "water", "furniture": "furniture",
}  # fmt: skip
HEAVY: Barrier = "heavy"
PROMISE = "Usual is the plan. Safe counts slow days in: promise only that."


@dataclass(frozen=True, slots=True)
class UseDate:
    """From when a floor is free for a use: `usual` by the plan, `safe` in the slow case, never before it.

    None: no time can be told. `after`: the title of the step it comes after.
    """

    use: Use
    usual: Instant | None
    safe: Instant | None
    after: str


@dataclass(frozen=True, slots=True)
class FloorRow:
    """One floor of the table."""

    room: str
    part: str | None
    uses: tuple[UseDate, ...]


def floor_rows(facts: Evening) -> tuple[FloorRow, ...]:
    """Every floor on which something of ours is laid, rooms in the job's order."""
    maker = _Maker(facts)
    rows = []
    for room in facts.job.rooms:
        for floor in room.floors:
            uses = maker.uses(room.id, floor)
            if uses:
                rows.append(FloorRow(room.id, floor.partition(".")[2] or None, uses))
    return tuple(rows)


class _Maker:
    def __init__(self, facts: Evening) -> None:
        self.facts = facts
        self.air = site_air(facts.job, facts.events)
        self.classes = material_classes(facts.job)
        self.last_day = {step.id for visit in facts.last.returns for step in visit.steps}

    def uses(self, room: str, floor: str) -> tuple[UseDate, ...]:
        """The four uses of a floor; none when nothing is laid on it."""
        part = floor.partition(".")[2] or None
        offs = [each for each in self.facts.releases if each.room == room and each.part in (part, None)]
        offs = [each for each in offs if each.step not in self.last_day]
        if not offs:
            return ()
        walk = self._last("walk", "walk", offs) or UseDate("walk", self.facts.plan.made_at, self.facts.plan.made_at, "")
        trades = self._trades(room, walk)
        water = self._last("wet", "water", offs) or UseDate("water", trades.usual, trades.safe, trades.after)
        return walk, trades, water, self._furniture(floor, trades, offs)

    def _last(self, what: Barrier, use: Use, offs: Sequence[Release]) -> UseDate | None:
        """After the stay-off that ends last."""
        mine = [each for each in offs if each.what == what]
        if not mine:
            return None
        last = max(mine, key=lambda each: (each.until is None, each.until or 0))
        usual = [off.until for off in self.facts.plan.stay_off
                 if off.what == what and (off.room, off.part) in {(e.room, e.part) for e in mine}
                 and off.step not in self.last_day]  # fmt: skip
        return UseDate(use, max(usual, default=None), last.until, last.title)

    def _trades(self, room: str, walk: UseDate) -> UseDate:
        """When our own work in the room is over, and the floor bears feet."""
        work = [s for s in self.facts.plan.steps if s.room == room and s.id not in self.last_day]
        if not work:
            return UseDate("trades", walk.usual, walk.safe, walk.after)
        last: PlannedStep = max(work, key=lambda step: (self.facts.times[step.id][1], step.id))
        safe = None if walk.safe is None else max(walk.safe, self.facts.times[last.id][1])
        usual = max(step.finish for step in work)
        return UseDate("trades", usual if walk.usual is None else max(usual, walk.usual), safe, last.title)

    def _furniture(self, floor: str, trades: UseDate, offs: Sequence[Release]) -> UseDate:
        """When every layer of this floor bears weight; by its class where no stay-off says so."""
        said = self._last(HEAVY, "furniture", [each for each in offs if each.told])
        ends: list[tuple[Instant, Instant, str]] = []
        for planned in self.facts.plan.steps:
            step = self.facts.step_of(planned)
            if planned.id in self.last_day or step is None or not any(floor in k.floors for k in step.keeps_off):
                continue
            for amount in step.amounts:
                known = self.classes.get(amount.material)
                wait = known.wait(HEAVY, step.room) if known is not None else None
                if wait is not None:
                    usual = opens_at(wait, self.air, planned.finish)
                    safe = opens_at(wait, self.air, self.facts.times[planned.id][1], "high")
                    ends.append((safe, max(usual, 0), planned.title))
        if said is not None and said.safe is not None:
            ends.append((said.safe, said.usual or 0, said.after))
        if not ends or trades.safe is None:
            return UseDate("furniture", None, None, trades.after)
        safe, _, after = max(ends)
        usual = max(each for _, each, _ in ends)
        late = trades.safe > safe
        return UseDate(
            "furniture", max(usual, trades.usual or 0), max(safe, trades.safe), trades.after if late else after
        )


def release_rows(facts: Evening) -> list[tuple[str, str, str, str, str]]:
    """The table in words: room, use, usual, safe, after. Times that are over read "now"."""
    rows = []
    for row in floor_rows(facts):
        name = room_name(facts.plan, row.room, row.part)
        for each in row.uses:
            rows.append(
                (name, USE_WORDS[each.use], _when(facts, each.usual), _when(facts, each.safe), screened(each.after))
            )
    return rows


def booking_rows(facts: Evening, booked: Iterable[Booking]) -> list[str]:
    """`inspector, wash room, flood: usual Mon 15 Jun 7:45 am, safe from Tue 16 Jun 9 am, NOT BOOKED`."""
    lines = []
    for each in booked:
        room = facts.job.room(each.room).name
        what = next((s.title for s in facts.steps if s.room == each.room and s.key == each.what), each.what)
        said = f"{each.who}, {room}{f', {screened(what)}' if what else ''}: usual {_when(facts, each.usual)}, "
        said += f"safe from {_when(facts, each.safe)}"
        if each.booked is not None:
            said += ". BOOKED" + (", and a slow day breaks it" if each.late else "")
        lines.append(f"{said}.")
    return lines


def _when(facts: Evening, at: Instant | None) -> str:
    if at is None:
        return "we tell you"
    return "now" if quarter_up(at) <= facts.now else owner_time(at, facts.job.zone, facts.now)


def release_table(facts: Evening) -> str:
    """The table for the general contractor as text: every floor and use, then whom to book from when."""
    lines = [f"{facts.job.name.upper()}: FROM WHEN EACH FLOOR MAY BE USED    {show_day(facts.today)}", PROMISE, ""]
    lines.append(f"{'ROOM':<20} {'FOR':<12} {'USUAL':<20} {'SAFE':<20} AFTER")
    before = ""
    for name, use, usual, sure, after in release_rows(facts):
        lines.append(f"{name if name != before else '':<20} {use:<12} {usual:<20} {sure:<20} {after}".rstrip())
        before = name
    booked = booking_rows(facts, bookings(facts.plan, facts.job, facts.steps, facts.times, facts.progress))
    if booked:
        lines += ["", "BOOK", *(f"  {row}" for row in booked)]
    return "\n".join(lines) + "\n"


def release_page(facts: Evening) -> str:
    """The same table as a page: a small table a floor, so that it reads on a phone."""
    title = f"{facts.job.name}: from when each floor may be used"
    body = [f"<h1>{safe(title)}</h1>", f"<p>{show_day(facts.today)}. {safe(PROMISE)}</p>"]
    floors: dict[str, list[tuple[str, str, str, str]]] = {}
    for name, *cells in release_rows(facts):
        floors.setdefault(name, []).append((cells[0], cells[1], cells[2], cells[3]))
    for name, rows in floors.items():
        body += ["<section>", f"<h2>{safe(name)}</h2>", *table(("For", "Usual", "Safe", "After"), rows), "</section>"]
    booked = booking_rows(facts, bookings(facts.plan, facts.job, facts.steps, facts.times, facts.progress))
    return page(title, [*body, *(block("Book", booked) if booked else [])])
