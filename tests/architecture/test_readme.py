"""What the README says is true: its key table, its commands, its first job."""

import re
import shlex
from datetime import time
from pathlib import Path

from planning import make_plan, read_job
from planning.job.hours import instant
from tui.cli.parser import COMMANDS
from tui.commands import markdown

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_key_table_is_the_one_the_program_makes() -> None:
    assert markdown().strip() in README


def test_every_command_it_names_is_one_of_the_programs() -> None:
    named = {shlex.split(words)[0] for words in re.findall(r"mudday ([a-z-]+) (?:JOB|powder\.toml)", README)}
    assert named
    assert named <= set(COMMANDS)


def test_its_test_command_is_the_one_that_checks_every_change() -> None:
    command = re.search(r"&& (\.venv/bin/python -m pytest.*)$", README, re.MULTILINE)
    assert command
    assert command.group(1) in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_its_first_job_has_a_plan_that_the_judge_passes(tmp_path: Path) -> None:
    blocks = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    path = tmp_path / "powder.toml"
    path.write_text("\n".join(blocks), encoding="utf-8")
    job, problems = read_job(path)
    assert job is not None, problems
    assert problems == []
    assert make_plan(job, (), instant(job.zone, job.start, time(6, 58)), improve=False).broken == ()
