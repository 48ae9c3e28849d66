"""The saved plan: exact when whole, None for any defect, and quick to import."""

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from planning.job.plan import HouseOut, Plan, PlannedPerson, PlannedRoom, PlannedStep, Proof, StepWindow
from planning.records.saved_plan import read_saved, saved_path, write_saved

START = 29_700_000


def a_plan() -> Plan:
    step = PlannedStep(
        id="powder/level/pour", job="café", room="powder", part=None, title="pour | ünï", kind="pour", state="wait",
        start=START, finish=START + 35, people=("you",), window=StepWindow(START, None, "open"), reason="first",
    )  # fmt: skip
    return Plan(
        job="café", zone="America/Denver", made_at=START - 60, finish=START + 35, proof=Proof(True, 0),
        rooms=(PlannedRoom("powder", "powder room", ("outside",)),),
        people=(PlannedPerson("you", ("all",), ((START - 20, START + 400),)),), gear={"mixers": 1},
        house=(HouseOut("toilet", "powder", START, None),), visits=(), steps=(step,), stay_off=(),
        notes={"air": "not read, taken as 73 F"},
    )  # fmt: skip


def test_a_plan_comes_back_as_it_was(tmp_path: Path) -> None:
    job = tmp_path / "house.toml"
    assert write_saved(job, a_plan(), "hash-1", {"seq": 7, "words": ["é"]})
    saved = read_saved(job)
    assert saved is not None
    assert (saved.plan, saved.inputs, saved.extra) == (a_plan(), "hash-1", {"seq": 7, "words": ["é"]})
    assert saved_path(job).name == "house.plan.json"


def test_no_file_is_no_plan(tmp_path: Path) -> None:
    assert read_saved(tmp_path / "house.toml") is None
    assert read_saved(tmp_path / "no" / "house.toml") is None


def test_a_plan_that_cannot_be_kept_is_no_error(tmp_path: Path) -> None:
    assert not write_saved(tmp_path / "gone" / "house.toml", a_plan(), "x", {})
    assert not write_saved(tmp_path / "house.toml", a_plan(), "x", {"bad": object()})
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"null",
        b"[]",
        b"{}",
        b'{"crc": "00000000",\n}',
        b"[" * 100_000,
        b"\xff\xfe",
        b'{"version": 1}',
        b"9" * 5000,
    ],
)
def test_any_other_content_is_no_plan(tmp_path: Path, data: bytes) -> None:
    job = tmp_path / "house.toml"
    saved_path(job).write_bytes(data)
    assert read_saved(job) is None


def test_a_folder_in_its_place_is_no_plan(tmp_path: Path) -> None:
    job = tmp_path / "house.toml"
    saved_path(job).mkdir()
    assert read_saved(job) is None


def test_every_flipped_bit_and_every_cut_is_noticed(tmp_path: Path) -> None:
    job = tmp_path / "house.toml"
    write_saved(job, a_plan(), "hash-1", {})
    whole = saved_path(job).read_bytes()
    chance = random.Random(5)
    for _ in range(300):
        at = chance.randrange(len(whole))
        flipped = whole[:at] + bytes([whole[at] ^ 1 << chance.randrange(8)]) + whole[at + 1 :]
        saved_path(job).write_bytes(flipped)
        assert read_saved(job) is None, at
        saved_path(job).write_bytes(whole[:at])
        assert read_saved(job) is None, at


def test_reading_it_imports_nothing_heavy() -> None:
    heavy = ("pydantic", "dateutil", "sqlite3", "textual", "pint", "ortools", "secrets", "subprocess")
    code = f"import sys, planning.records.saved_plan; print([m for m in {heavy!r} if m in sys.modules])"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
