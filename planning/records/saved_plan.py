"""The plan kept from the last time, so that the first picture needs no solver. A cache: losing it costs nothing."""

import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from planning.job.plan import Plan
from planning.job.plan_json import PlanFileError, from_dict, to_dict
from planning.records.atomic import write_text
from planning.records.not_saved import NotSaved

VERSION = 1
MAX_BYTES = 32_000_000

_HEAD = '{"crc": "%08x",\n'
_HEAD_LENGTH = len(_HEAD % 0)

_DEFECTS = (OSError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError, RecursionError, PlanFileError)


@dataclass(frozen=True, slots=True)
class SavedPlan:
    """A plan read back. `inputs` is the hash of what it was made from; `extra` is whatever the writer wanted kept;
    `noted` is how many events the record held then.
    """

    inputs: str
    plan: Plan
    extra: Mapping[str, Any] = field(default_factory=dict)
    noted: int = 0


def saved_path(job_path: Path) -> Path:
    """Where a job's saved plan lies: beside the job file."""
    return job_path.with_suffix(".plan.json")


def write_saved(
    job_path: Path, plan: Plan, inputs_hash: str, extra: Mapping[str, Any] | None = None, noted: int = 0
) -> bool:
    """Keep a plan. `noted`: how many events the record holds, for when somebody empties it.

    False when it could not be kept, which costs nothing but time at the next start.
    """
    try:
        write_text(saved_path(Path(job_path)), saved_text(plan, inputs_hash, extra or {}, noted))
    except (NotSaved, ValueError, TypeError, RecursionError):
        return False
    return True


def saved_text(plan: Plan, inputs_hash: str, extra: Mapping[str, Any], noted: int = 0) -> str:
    """The file: one JSON table whose first key is the CRC-32 of the text after the first line."""
    table = {
        "version": VERSION,
        "inputs": inputs_hash,
        "noted": noted,
        "zone": plan.zone,
        "notes": dict(plan.notes),
        "extra": dict(extra),
        "plan": to_dict(plan),
    }
    rest = json.dumps(table, ensure_ascii=False, allow_nan=False, indent=None)[1:] + "\n"
    return _HEAD % zlib.crc32(rest.encode("utf-8")) + rest


def read_saved(job_path: Path) -> SavedPlan | None:
    """The plan kept from the last time; None when there is none or the file has any defect. Never raises."""
    try:
        table = _table(saved_path(Path(job_path)))
        return None if table is None else _saved(table)
    except _DEFECTS:
        return None


def noted_when_saved(path: Path) -> int:
    """How many events the record held when the plan in this file was saved; 0 when nobody knows. Never raises."""
    try:
        table = _table(path)
        return 0 if table is None else int(table["noted"])
    except _DEFECTS:
        return 0


def _table(path: Path) -> dict[str, Any] | None:
    if path.stat().st_size > MAX_BYTES:
        return None
    text = path.read_bytes().decode("utf-8")
    head, rest = text[:_HEAD_LENGTH], text[_HEAD_LENGTH:]
    if head != _HEAD % zlib.crc32(rest.encode("utf-8")):
        return None
    table = json.loads(text)
    return table if table["version"] == VERSION and isinstance(table["extra"], dict) else None


def _saved(table: dict[str, Any]) -> SavedPlan:
    notes = {str(topic): str(line) for topic, line in table["notes"].items()}
    plan = from_dict(table["plan"], str(table["zone"]), notes)
    return SavedPlan(str(table["inputs"]), plan, table["extra"], int(table.get("noted", 0)))
