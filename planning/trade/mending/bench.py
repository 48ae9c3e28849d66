"""The steps while they are being mended: where each stands, and the one way to put new steps among them."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from planning.job.job import Job
from planning.job.progress import Progress
from planning.job.step import Amount, KeepOff, Link, Step, Wait
from planning.job.words import Instant
from planning.trade.mending.measured import band_of, batches_of, lays_of, share_of, window_of
from planning.trade.rates import scaled
from planning.trade.recoveries import AS_BEFORE, LAYER, OPENER, Recovery, RecoveryRow
from planning.trade.rows import FLOOD_HOLD


@dataclass
class Bench:
    """The steps of a job as mended so far, in the order of work, with what happened to them."""

    job: Job
    steps: list[Step]
    progress: Progress
    base: dict[str, str] = field(default_factory=dict)
    """Made step -> the step of the method whose room, place and material it shares."""
    made_for: dict[str, list[str]] = field(default_factory=dict)
    """Mended step -> what was made for it."""

    def step(self, step_id: str) -> Step | None:
        """The step of that id (a piece's names its step), or None."""
        whole = step_id.partition("#")[0]
        return next((step for step in self.steps if step.id == whole), None)

    def started(self, step: Step) -> Instant | None:
        """When the first of it began; None: it has not."""
        return min((at for name, at in self.progress.started.items() if _is(name, step)), default=None)

    def finished(self, step: Step) -> Instant | None:
        """When the last of it that is done was done; None: nothing is."""
        return max((at for name, at in self.progress.finished.items() if _is(name, step)), default=None)

    def begun(self, step: Step) -> bool:
        """Has any of it begun?"""
        return self.started(step) is not None

    def newest(self, step: Step) -> Step:
        """The last begun repeat of a step: what people mean when they name it."""
        again = [each for each in self.steps if each.repeats == step.key and _same_place(each, step)]
        return next((each for each in reversed(again) if self.begun(each)), step)

    def waits_for_mending(self, step: Step) -> bool:
        """Was something made for it that has not begun? That will mend a second trouble of it too."""
        made = [self.step(name) for name in self.made_for.get(step.id, ())]
        return any(each is not None and not self.begun(each) for each in made)

    def change(self, wanted: Callable[[Step], Step]) -> None:
        """Every step put through `wanted`."""
        self.steps = [wanted(step) for step in self.steps]

    def add(self, hit: Step | None, made: Sequence[Step]) -> None:
        """New steps at the end of the list; the order of work is put right when all is mended."""
        have = {step.id for step in self.steps}
        self.steps += [step for step in made if step.id not in have]
        if hit is not None:
            self.made_for.setdefault(hit.id, []).extend(step.id for step in made)
            for step in made:
                self.base[step.id] = self.base.get(hit.id, hit.id)


@dataclass(frozen=True)
class Repair:
    """A recovery to be done on one layer: `tag` ends its ids, `part` is the share of the layer that is done again."""

    bench: Bench
    hit: Step
    recovery: Recovery
    tag: str
    since: Instant
    part: float = 1.0

    def rows(self) -> list[Step]:
        """The rows of the recovery as steps, one after the other, the first after the layer."""
        made: list[Step] = []
        after: tuple[Link, ...] = (Link(self.hit.id),)
        for row in self.recovery.rows:
            made.append(self._row(row, after))
            after = (Link(made[-1].id, wait=self._wait(row)),)
        return made

    def again(self, rows: Sequence[Step]) -> list[Step]:
        """What is done once more after the rows: the layer, and before it the step that opens it."""
        opener = self.bench.step(opener_of(self.bench, self.hit)) if OPENER in self.recovery.again else None
        made: list[Step] = []
        if opener is not None:
            made.append(self._repeat(opener, self._first(opener, rows)))
        if LAYER in self.recovery.again:
            links = self._first(self.hit, rows) if opener is None else self._behind(opener, made[0])
            made.append(replace(self._repeat(self.hit, links), sees=self.hit.sees))
        return made

    def takes_place(self, step: Step) -> bool:
        """Does this made step stand in the lost layer's place, with its windows?"""
        return step.repeats == self.hit.key or (step.kind == self.hit.kind and self._lays_layer(step))

    def wait_after(self, last: Step) -> Wait | None:
        """What follows the last row waits for that."""
        row = self.recovery.rows[-1]
        return self._wait(row) if last.id.endswith(f"-{row.key}{self.tag}") else None

    def _lays_layer(self, step: Step) -> bool:
        return any(row.lays == LAYER and step.id == self._id(row.key) for row in self.recovery.rows)

    def _id(self, key: str) -> str:
        return f"{self.hit.id}-{key}{self.tag}"

    def _row(self, row: RecoveryRow, after: tuple[Link, ...]) -> Step:
        bench, hit = self.bench, self.hit
        floors = () if row.edge else (hit.stands_on if hit.kind != "test" else hit.works_on)
        off: tuple[KeepOff, ...] = ()
        if row.lays == LAYER:
            off = tuple(keep for keep in hit.keeps_off if isinstance(keep.until, Wait))
        elif row.off and (wait := self._wait(row)) is not None:
            off = (KeepOff("walk", hit.works_on, wait),)
        return Step(
            id=self._id(row.key), job=hit.job, room=hit.room, part=hit.part, method=hit.method,
            key=f"{hit.key}-{row.key}{self.tag}", title=row.title, kind=row.kind, crew=row.crew,
            labour=band_of(bench.job, self._measured_as(), row), pause=row.pause,
            gear=dict(hit.gear) if row.lays == LAYER else {}, amounts=self._amounts(row), after=after,
            stands_on=floors, works_on=hit.works_on, keeps_off=off, cautions=row.cautions,
            small_items=row.small_items, says=self.recovery.say, sources=(self.recovery.source,),
            recovery=hit.recovery if row.lays == LAYER else None, known_since=self.since,
        )  # fmt: skip

    def _measured_as(self) -> Step:
        """The step of the method that tells how large it all is."""
        return self.bench.step(self.bench.base.get(self.hit.id, self.hit.id)) or self.hit

    def _amounts(self, row: RecoveryRow) -> tuple[Amount, ...]:
        if row.lays == LAYER:
            return share_of(self.hit.amounts, row.use)
        return () if row.lays is None else lays_of(self.bench.job, self._measured_as(), row)

    def _wait(self, row: RecoveryRow) -> Wait | None:
        if row.wait != AS_BEFORE:
            return window_of(self.bench.job, self.hit.room, row)
        first = self.bench.step(opener_of(self.bench, self.hit)) or self.hit
        waits = [link.wait for link in first.after if link.wait is not None]
        return max(waits, key=lambda wait: wait.label.typical, default=None)

    def _first(self, step: Step, rows: Sequence[Step]) -> tuple[Link, ...]:
        """The links of the first repeated step: after the last row, for as long as that asks."""
        if not rows:
            return tuple(replace(link, within=None) for link in step.after)
        return (Link(rows[-1].id, wait=self._wait(self.recovery.rows[-1])),)

    def _behind(self, opener: Step, repeated: Step) -> tuple[Link, ...]:
        links = [link for link in self.hit.after if link.step == opener.id]
        return tuple(replace(link, step=repeated.id) for link in links)

    def _repeat(self, step: Step, after: tuple[Link, ...]) -> Step:
        called = self.recovery.called
        return replace(
            step, id=f"{step.id}-{called}{self.tag}", key=f"{step.key}-{called}{self.tag}",
            title=f"{step.title} {called}",
            after=after, labour=scaled(step.labour, self.part), amounts=share_of(step.amounts, self.part),
            batches=batches_of(step.batches, self.part), repeats=step.repeats or step.key, known_since=self.since,
        )  # fmt: skip


def mend(repair: Repair) -> list[Step]:
    """Put a repair among the steps of its bench: what waits for the lost layer waits for the mended one.

    The steps that came in; [] when they are there already.
    """
    bench, hit = repair.bench, repair.hit
    rows = repair.rows()
    made = [*rows, *repair.again(rows)]
    if bench.step(made[0].id) is not None:
        bench.add(hit, made)
        return []
    tail = made[-1]
    if hit.sees is not None and tail.sees is None:
        made[-1] = tail = replace(tail, sees=hit.sees)
    names = {step.id for step in made}
    replaced = repair.takes_place(tail)
    wait = repair.wait_after(tail)

    def follow(step: Step) -> Step:
        if step.id == hit.id:
            return replace(step, sees=None)
        if step.id in names or bench.begun(step) or all(link.step != hit.id for link in step.after):
            return step
        return replace(step, after=_followed(step.after, hit.id, tail.id, replaced, wait))

    bench.change(follow)
    bench.add(hit, made)
    _end_stay_offs(bench, repair, rows)
    return made


def _followed(
    links: Iterable[Link], hit: str, tail: str, replaced: bool, wait: Wait | None
) -> tuple[Link, ...]:  # fmt: skip
    found: list[Link] = []
    for link in links:
        if link.step != hit:
            found.append(link)
        elif replaced:
            found.append(replace(link, step=tail))
        else:
            found += [replace(link, within=None), Link(tail, wait=wait)]
    return tuple(dict.fromkeys(found))


def _end_stay_offs(bench: Bench, repair: Repair, rows: Sequence[Step]) -> None:
    """A stay-off that lasts until a step still to come ends with the row that ends it."""
    ends = [made.id for row, made in zip(repair.recovery.rows, rows, strict=True) if row.ends]
    if not ends:
        return

    def until(step: Step, keep: KeepOff) -> KeepOff:
        last = bench.step(keep.until) if isinstance(keep.until, str) else None
        if last is None or bench.begun(last) or not set(keep.floors) & set(repair.hit.works_on):
            return keep
        return replace(keep, until=ends[0])

    bench.change(
        lambda step: replace(step, keeps_off=tuple(until(step, keep) for keep in step.keeps_off))
        if step.keeps_off and bench.begun(step) else step
    )  # fmt: skip


def opener_of(bench: Bench, step: Step) -> str:
    """The step that must come right before this one: a primer with a window, a flood fill with its hold; "" if none."""
    for link in step.after:
        before = bench.step(link.step)
        holds = link.wait is not None and link.wait.window == FLOOD_HOLD
        if before is not None and (holds or (link.within is not None and before.kind == "prime")):
            return before.id
    return ""


def _is(name: str, step: Step) -> bool:
    return name.partition("#")[0] == step.id


def _same_place(one: Step, other: Step) -> bool:
    return (one.room, one.part, one.method) == (other.room, other.part, other.method)
