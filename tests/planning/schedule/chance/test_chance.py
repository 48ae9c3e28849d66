"""Chances against closed forms, against a second simulation written by hand, and across processes."""

import subprocess
import sys
from dataclasses import replace
from datetime import date
from itertools import count, islice
from pathlib import Path
from random import Random
from statistics import NormalDist

import numpy as np
import pytest

from planning.schedule.chance.draws import Draws, between
from planning.schedule.chance.outcome import day_chances, likely
from planning.schedule.chance.runs import GRACE_MIN, Runs, run
from planning.schedule.chance.scene import AT_ONCE, After, Band, Scene, Spans, Work
from tests.planning.schedule.chance.days_by_hand import Z90, cure, one_day, random_day, value

DAY = date(2026, 6, 1)
ALWAYS = Spans.of([(0.0, 1e6)])
HOME = Path(__file__).parents[4]


def work(n: int, band: Band, *after: After, **more: object) -> Work:
    return Work(f"w{n}", f"labour {n}", band, 0.0, band.typical, ALWAYS, after, **more)  # type: ignore[arg-type]  # fields by name


def chain(first: Band, second: Band, wait: object = AT_ONCE) -> Scene:
    """One work after another."""
    return Scene([work(0, first), work(1, second, After(0, wait))], 0.0)  # type: ignore[arg-type]  # any length


def of_day(scene: Scene, draws: Draws) -> tuple[Runs, float, str | None, int, float]:
    runs = run(scene, draws, by_day=True)
    (day,) = day_chances(scene, runs, runs, dict.fromkeys(range(len(scene.work)), DAY))
    return runs, day.holds, day.weakest, day.buffer_min, day.lifted


def held(scene: Scene, lived: list[tuple[float, float, float]]) -> bool:
    """Did a day lived by hand keep its windows and its hours?"""
    ends = [finish <= (each.day_end or 0) + GRACE_MIN for (_, finish, _), each in zip(lived, scene.work, strict=True)]
    return all(ends) and all(missed <= 0 for _, _, missed in lived)


@pytest.mark.parametrize("over", [-60, -25, -10, 0, 15, 30, 70])
def test_two_steps_in_a_row_end_as_the_sum_of_two_normal_times(over: int) -> None:
    a, b = Band(90, 120, 150), Band(30, 50, 70)
    ends = run(chain(a, b), Draws(2000, 3)).finish[1]
    spread = np.hypot(30 / Z90, 20 / Z90)
    assert np.mean(ends <= 170 + over) == pytest.approx(NormalDist(170, spread).cdf(170 + over), abs=0.02)


@pytest.mark.parametrize("limit", [180, 200, 230, 260])
def test_a_step_and_its_wait_end_as_their_distributions_fold(limit: int) -> None:
    labour, label = Band(40, 60, 110), Band(60, 100, 160)
    scene = chain(labour, Band(10, 10, 10), cure(label, "label"))
    ends = run(scene, Draws(2000, 5, labels_known=False)).finish[1]
    steps = [NormalDist().inv_cdf((n + 0.5) / 1000) for n in range(1000)]
    waits = sorted(max(100.0, value((60, 100, 160), z)) for z in steps)
    share = [np.searchsorted(waits, limit - 10 - value((40, 60, 110), z), "right") / 1000 for z in steps]
    assert np.mean(ends <= limit) == pytest.approx(np.mean(share), abs=0.02)


def test_a_band_is_met_at_its_10_50_and_90_percent_values() -> None:
    drawn = between(30.0, 60.0, 150.0, Draws(2000, 1).normal("any"))
    assert np.quantile(drawn, [0.1, 0.5, 0.9]) == pytest.approx([30, 60, 150], abs=0.5)


def given_eight_in_ten(seed: int) -> tuple[Scene, float] | None:
    """A random day whose hours end when eight days in ten are over, and what is said of it; None if it is not that."""
    scene = random_day(seed)
    ends = run(scene, Draws(1000, seed)).finish
    close = likely(np.max(np.stack(ends), axis=0)) - GRACE_MIN
    scene = replace(scene, work=[replace(each, day_end=close) for each in scene.work])
    _, holds, _, _, _ = of_day(scene, Draws(1000, seed))
    return (scene, holds) if 0.78 <= holds <= 0.82 else None


def test_of_500_days_given_eight_in_ten_about_four_hundred_hold() -> None:
    days = islice(filter(None, map(given_eight_in_ten, count())), 500)
    lived = [(scene, one_day(scene, Random(f"another {n}"))) for n, (scene, _) in enumerate(days)]
    assert 380 <= sum(held(scene, day) for scene, day in lived) <= 420


def test_days_drawn_by_hand_hold_as_often_as_was_said_windows_and_all() -> None:
    for seed in (3, 8, 21, 30):
        scene = random_day(seed)
        _, holds, _, _, _ = of_day(scene, Draws(2000, 1))
        lived = [one_day(scene, Random(f"{seed}/{n}")) for n in range(1500)]
        assert np.mean([held(scene, day) for day in lived]) == pytest.approx(holds, abs=0.035)


def test_the_buffer_makes_of_the_day_what_was_said() -> None:
    for seed in range(40):
        scene = random_day(seed)
        _, holds, weakest, buffer, lifted = of_day(scene, Draws(2000, 1))
        assert lifted >= holds
        if buffer and not any(each.windows for each in scene.work):
            longer = [replace(each, day_end=(each.day_end or 0) + buffer) for each in scene.work]
            _, again, _, _, _ = of_day(replace(scene, work=longer), Draws(2000, 1))
            assert again >= lifted, (seed, weakest)


def test_the_weakest_step_is_the_one_that_fails_first_not_those_it_pulls_along() -> None:
    wide, sure = Band(60, 100, 300), Band(30, 30, 30)
    scene = Scene([work(0, sure, day_end=500.0), work(1, wide, After(0), day_end=150.0),
                   work(2, sure, After(1), day_end=165.0)], 0.0)  # fmt: skip
    _, holds, weakest, _, _ = of_day(scene, Draws(2000, 1))
    assert 0.4 < holds < 0.75
    assert weakest == "w1"


def test_one_rooms_air_slows_all_that_cures_in_it_together() -> None:
    label = Band(200, 200, 200)
    works = [work(0, Band(10, 10, 10))]
    works += [work(n, Band(10, 10, 10), After(0, cure(label, f"m{n}", air, 0.3))) for n, air in
              ((1, "air bath"), (2, "air bath"), (3, "air hall"))]  # fmt: skip
    runs = run(Scene(works, 0.0), Draws(2000, 1))
    assert np.array_equal(runs.start[1], runs.start[2])
    assert abs(np.corrcoef(runs.start[1], runs.start[3])[0, 1]) < 0.1
    # A tenth of the days takes longer than the air's 90 % value says, and no wait is over before the label.
    assert np.quantile(runs.start[1], 0.9) == pytest.approx(10 + 200 * 1.3, abs=3)
    assert runs.start[1].min() == pytest.approx(210)


def test_what_runs_already_is_not_done_before_now_and_keeps_its_band_beyond() -> None:
    running = replace(work(0, Band(60, 100, 180)), begun=0.0)
    ends = run(Scene([running], 150.0), Draws(2000, 1)).finish[0]
    assert ends.min() >= 150
    # Of 100 such steps that have run 150 min, the share still at it at 180 is that of the band's own tail.
    tail = NormalDist()
    beyond = (1 - tail.cdf(Z90)) / (1 - tail.cdf((150 - 100) / 80 * Z90))
    assert np.mean(ends > 180) == pytest.approx(beyond, abs=0.02)


def test_without_any_spread_the_day_holds_or_does_not() -> None:
    flat = Band(60, 60, 60)
    for close, holds in ((130.0, 1.0), (100.0, 0.0)):
        scene = Scene([work(0, flat, day_end=close), work(1, flat, After(0), day_end=close)], 0.0)
        assert of_day(scene, Draws(100, 1))[1] == holds


CODE = """
from datetime import time
from pathlib import Path
from planning.job.hours import instant
from planning.records.job_file import read_job
from planning.schedule.build.network_of import build
from planning.schedule.chance.of_plan import chance_of
from planning.schedule.first_plan import first_plan
from planning.schedule.make_plan import Answer, Proof, finished_plan
from planning.schedule.propagate import tighten
from planning.trade.expand import expand
job = read_job(Path("demo_jobs/two-room-rush.toml"))[0]
steps = expand(job).steps
built = build(job, steps, (), instant(job.zone, job.start, time(6, 58)))
found = tighten(built.network, first_plan(built.network))
chance = chance_of(built, found, finished_plan(built, Answer(found, Proof(False)), job, steps, ()))
print(chance)
"""


def test_the_same_seed_gives_the_same_numbers_in_every_process() -> None:
    asked = [
        subprocess.Popen([sys.executable, "-c", CODE], cwd=HOME, stdout=subprocess.PIPE, text=True,
                         env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(HOME)})
        for seed in ("1", "2")
    ]  # fmt: skip
    said = [each.communicate(timeout=60)[0] for each in asked]
    assert said[0] == said[1]
    assert "holds=" in said[0]
