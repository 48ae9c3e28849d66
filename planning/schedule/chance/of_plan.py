"""The chance of a plan: its order of work drawn many times, seeded, in well under half a second."""

from collections.abc import Iterator
from datetime import time, timedelta
from math import ceil

import numpy as np

from planning.job.chance import Chance, DemandChance
from planning.job.hours import instant, local
from planning.job.plan import Plan
from planning.job.words import AXIS_MIN, Instant
from planning.schedule.availability import is_visit
from planning.schedule.build.network_of import Built
from planning.schedule.chance.draws import Draws
from planning.schedule.chance.from_plan import PlanScene
from planning.schedule.chance.outcome import Fails, day_chances, last_of, likely, share
from planning.schedule.chance.runs import Runs, run
from planning.schedule.network import Solution

DRAWS = 2000
SEED = 7


def chance_of(built: Built, solution: Solution, plan: Plan) -> Chance | None:
    """How likely the plan is to hold; None when there is nothing left to do or all of it is on hold.

    `plan` is the assembled plan of the solution: what is on hold in it has no clock time and is told no chance. The
    same plan gives the same numbers in every process. Labour, materials and the rooms' air are drawn; people who do
    not come, wrong deliveries and other events are not.
    """
    reader = PlanScene(built, solution)
    held = frozenset(step.id for step in plan.steps if step.state == "hold")
    scene = reader.scene(held)
    ends = _ends(reader, held)
    if not ends:
        return None
    known, unknown = Draws(DRAWS, SEED), Draws(DRAWS, SEED, labels_known=False)
    runs, by_day = run(scene, known), run(scene, known, by_day=True)
    order = reader.order
    open_work = {
        reader.place[n]: reader.day(n)
        for n in order.sequence
        if not scene.work[reader.place[n]].fixed and scene.work[reader.place[n]].known
    }
    finish = last_of(runs, ends)
    planned = max(scene.work[n].finish for n in ends)
    midnight = _next_midnight(built, built.site.origin + round(planned))
    return Chance(
        draws=DRAWS,
        finish=built.site.origin + round(planned),
        finish_holds=share(finish < midnight - built.site.origin),
        finish_likely=_on_axis(built, likely(finish)),
        finish_any_label=_on_axis(built, likely(last_of(run(scene, unknown), ends))),
        days=day_chances(scene, by_day, run(scene, unknown, by_day=True), open_work),
        steps={scene.work[n].id: share(by_day.late[n] <= 0) for n in sorted(open_work) if not scene.work[n].is_visit},
        demands=tuple(_demands(reader, runs, known, held)),
    )


def _on_axis(built: Built, minute: float) -> Instant:
    return built.site.origin + ceil(minute / AXIS_MIN) * AXIS_MIN


def _next_midnight(built: Built, at: Instant) -> Instant:
    zone = built.site.job.zone
    return instant(zone, local(zone, at).date() + timedelta(days=1), time())


def _ends(reader: PlanScene, held: frozenset[str]) -> list[int]:
    """What the job lasts until, by place in the scene: all its work but a sealer's later visit and what is on hold."""
    counting = [n for n, task in enumerate(reader.tasks) if task.counts and task.id not in held]
    open_ones = [n for n in counting if reader.tasks[n].fixed is None or reader.site.now_tick < reader.order.finish[n]]
    chosen = [n for n in counting if not reader.is_seal(n)] or counting
    return [reader.place[n] for n in chosen] if open_ones else []


def _demands(reader: PlanScene, runs: Runs, draws: Draws, held: frozenset[str]) -> Iterator[DemandChance]:
    yield from _promises(reader, runs, draws, held)
    for n, task in enumerate(reader.tasks):
        if task.fixed is None and is_visit(task):
            yield DemandChance("visit", task.id, share(runs.late[reader.place[n]] <= 0))
    yield from _nights(reader, runs)


def _promises(reader: PlanScene, runs: Runs, draws: Draws, held: frozenset[str]) -> Iterator[DemandChance]:
    index = reader.order.shape.index
    for due in reader.built.network.dues:
        ends = [(index[name], curve) for name, curve in due.ends if name in index]
        if ends and not any(reader.tasks[n].id in held for n, _ in ends):
            over = [reader.length_of(n, curve).opens(runs.finish[reader.place[n]], draws) for n, curve in ends]
            kept = np.max(np.stack(over), axis=0) <= due.tick * AXIS_MIN
            yield DemandChance("promise", due.what, share(kept))


def _nights(reader: PlanScene, runs: Runs) -> Iterator[DemandChance]:
    """Nights whose toilet hangs on work that must be over by then."""
    ends: dict[int, list[Fails]] = {}
    for limit in reader.order.limits:
        if limit.root[0] == "night":
            kept = runs.finish[reader.place[limit.task]] <= limit.tick * AXIS_MIN
            ends.setdefault(int(limit.root[1]), []).append(kept)
    for start, each in sorted(ends.items()):
        evening = local(reader.site.job.zone, reader.built.network.instant(start)).date()
        yield DemandChance("night", evening.isoformat(), share(np.stack(each).all(axis=0)))
