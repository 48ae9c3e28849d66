"""The job file as plain tables, for pages that copy, change or drop a room; what it means is the helper's to say."""

import tomllib
from pathlib import Path
from typing import Any


def rooms_of(path: Path | None) -> list[dict[str, Any]]:
    """The [[room]] tables that have an id, in the order of the file; none for a file that cannot be read."""
    found = _tables(path).get("room", [])
    return [each for each in found if isinstance(each, dict) and each.get("id")] if isinstance(found, list) else []


def job_value(path: Path | None, table: str, key: str, otherwise: str) -> str:
    """One value of a table of the file as text, or what holds when it is not there."""
    found = _tables(path).get(table, {})
    value = found.get(key, otherwise) if isinstance(found, dict) else otherwise
    return str(value).lower() if isinstance(value, bool) else str(value)


def _tables(path: Path | None) -> dict[str, Any]:
    try:
        return {} if path is None else tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return {}
