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
    """A plan read back. `inputs` is the hash of what it was made from; `extra` is whatever the writer wanted kept."""

    inputs: str
    plan: Plan
    extra: Mapping[str, Any] = field(default_factory=dict)


def saved_path(job_path: Path) -> Path:
    """Where a job's saved plan lies: beside the job file."""
    return job_path.with_suffix(".plan.json")


def write_saved(job_path: Path, plan: Plan, inputs_hash: str, extra: Mapping[str, Any] | None = None) -> bool:
    """Keep a plan. False when it could not be kept, which costs nothing but time at the next start."""
    try:
        write_text(saved_path(Path(job_path)), saved_text(plan, inputs_hash, extra or {}))
    except (NotSaved, ValueError, TypeError, RecursionError):
        return False
    return True


def saved_text(plan: Plan, inputs_hash: str, extra: Mapping[str, Any]) -> str:
    """The file: one JSON table whose first key is the CRC-32 of the text after the first line."""
    table = {
        "version": VERSION,
        "inputs": inputs_hash,
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
        path = saved_path(Path(job_path))
        if path.stat().st_size > MAX_BYTES:
            return None
        return _saved(path.read_bytes().decode("utf-8"))
    except _DEFECTS:
        return None


def _saved(text: str) -> SavedPlan | None:
    head, rest = text[:_HEAD_LENGTH], text[_HEAD_LENGTH:]
    if head != _HEAD % zlib.crc32(rest.encode("utf-8")):
        return None
    table = json.loads(text)
    if table["version"] != VERSION or not isinstance(table["extra"], dict):
        return None
    notes = {str(topic): str(line) for topic, line in table["notes"].items()}
    return SavedPlan(str(table["inputs"]), from_dict(table["plan"], str(table["zone"]), notes), table["extra"])
