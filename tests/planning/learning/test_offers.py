"""What is offered: only what was seen often enough and differs, only steps to come, never a shorter wait."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.job.step import Step
from planning.learning.observed import Observation
from planning.learning.offers import learned, offers
from planning.records.job_file import read_job
from planning.records.learned_edit import with_learned, write_learned
from planning.trade.expand import expand

DEMO = Path(__file__).parents[3] / "demo_jobs" / "guest-house.toml"
JOB, PROBLEMS = read_job(DEMO)
assert JOB is not None, PROBLEMS
STEPS = expand(JOB).steps
AT = int(datetime(2026, 6, 3, tzinfo=UTC).timestamp() // 60)


def seen(key: str, times: float, count: int) -> list[Observation]:
    return [Observation(key, f"step {n}", 100, round(100 * times) + n % 3, AT + n) for n in range(count)]


def minutes(steps: tuple[Step, ...], kind: str) -> int:
    return sum(step.labour.typical for step in steps if step.kind == kind)


def test_a_slower_pace_is_offered_with_what_it_changes_and_how_often_it_was_seen() -> None:
    assert JOB is not None
    (offer,) = offers(JOB, STEPS, frozenset(), learned(seen("set", 1.2, 12)))
    assert offer.path == ("pace", "set")
    assert offer.value == pytest.approx(1.2)
    assert offer.pace.seen == 12
    assert offer.steps == sum(step.kind == "set" for step in STEPS)
    assert str(minutes(STEPS, "set")) in offer.was


@pytest.mark.parametrize(("times", "count"), [(1.5, 3), (1.5, 7), (1.0, 40), (1.03, 40)])
def test_too_few_marks_or_too_small_a_difference_offer_nothing(times: float, count: int) -> None:
    assert JOB is not None
    assert offers(JOB, STEPS, frozenset(), learned(seen("set", times, count))) == ()


def test_what_is_written_already_is_not_offered_again() -> None:
    assert JOB is not None
    written = replace(JOB, pace={"set": 1.2})
    assert offers(written, STEPS, frozenset(), learned(seen("set", 1.2, 20))) == ()


def test_steps_that_are_begun_are_not_counted_among_those_it_would_change() -> None:
    assert JOB is not None
    begun = frozenset(step.id for step in STEPS if step.kind == "set")
    (offer,) = offers(JOB, STEPS, begun, learned(seen("set", 1.2, 12)))
    assert offer.steps == 0


def test_a_longer_wait_is_offered_and_a_shorter_one_never() -> None:
    assert JOB is not None
    (offer,) = offers(JOB, STEPS, frozenset(), learned(seen("membrane-liquid/next_layer", 1.5, 10)))
    assert offer.path == ("material", "membrane-liquid", "next_layer")
    assert int(str(offer.value).split()[0]) % 5 == 0
    assert int(offer.now.split()[0]) > int(offer.was.split()[0])
    assert offers(JOB, STEPS, frozenset(), learned(seen("membrane-liquid/next_layer", 0.6, 30))) == ()
    assert offers(JOB, STEPS, frozenset(), learned(seen("no-such-class/walk", 1.6, 30))) == ()


def test_what_is_taken_is_written_where_the_job_reads_it_and_remarks_stay(tmp_path: Path) -> None:
    assert JOB is not None
    path = tmp_path / "job.toml"
    path.write_bytes(DEMO.read_bytes())
    found = learned([*seen("set", 1.2, 12), *seen("membrane-liquid/next_layer", 1.5, 10)])
    made = offers(JOB, STEPS, frozenset(), found)
    assert write_learned(path, [(each.path, each.value) for each in made]) == []
    job, problems = read_job(path)
    assert job is not None
    assert problems == []
    assert job.pace == {"set": 1.2}
    after = expand(job).steps
    assert minutes(after, "set") == pytest.approx(1.2 * minutes(STEPS, "set"), abs=len(STEPS))
    assert minutes(after, "grout") == minutes(STEPS, "grout")
    assert "# A guest house behind a main house" in path.read_text(encoding="utf-8")
    wait = job.materials["membrane-liquid"].windows["next_layer"][0].typical
    assert f"{wait} min" == next(each.now for each in made if each.key.startswith("membrane"))


def test_a_class_that_has_numbers_of_his_own_keeps_them_beside_what_was_learned() -> None:
    text = '[[material]]\nclass = "thin-set"  # from the bag\nwalk = "18 h"\n'
    made = with_learned(text, [(("material", "thin-set", "grout"), "30 h"), (("pace", "set"), 1.1)])
    assert 'class = "thin-set"  # from the bag' in made
    assert 'walk = "18 h"' in made
    assert 'grout = "30 h"' in made
    assert made.count("[[material]]") == 1
    assert "set = 1.1" in made


@pytest.mark.parametrize(("line", "said"), [("set = 0", "no such pace"), ("set = true", "no such pace"),
                                            ('set = "slow"', "no such pace"), ("sett = 1.2", "set")])  # fmt: skip
def test_a_pace_that_cannot_be_is_named_with_its_line(tmp_path: Path, line: str, said: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(DEMO.read_text(encoding="utf-8") + f"\n[pace]\n{line}\n", encoding="utf-8")
    _, problems = read_job(path)
    assert len(problems) == 1
    assert said in f"{problems[0].what} {problems[0].how}"
    assert problems[0].line > 100
