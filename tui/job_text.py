"""The job file as plain tables, for pages that copy, change or drop a room; what it means is the helper's to say."""

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any


def rooms_of(path: Path | None) -> list[dict[str, Any]]:
    """The [[room]] tables that have an id, in the order of the file; none for a file that cannot be read.

    They are shared with whoever asks next: copy what is to be changed.
    """
    found = _tables(path).get("room", [])
    return [each for each in found if isinstance(each, dict) and each.get("id")] if isinstance(found, list) else []


def job_value(path: Path | None, table: str, key: str, otherwise: str) -> str:
    """One value of a table of the file as text, or what holds when it is not there."""
    found = _tables(path).get(table, {})
    value = found.get(key, otherwise) if isinstance(found, dict) else otherwise
    return str(value).lower() if isinstance(value, bool) else str(value)


def why_not_written(tried: Mapping[str, Any]) -> str:
    """The first reason why the helper did not write a changed job file."""
    return str((tried.get("problems") or ["it could not be written"])[0])


def _tables(path: Path | None) -> dict[str, Any]:
    try:
        if path is None:
            return {}
        found = path.stat()
        return _parsed(path, found.st_mtime_ns, found.st_size)
    except (OSError, ValueError, RecursionError):
        return {}


@lru_cache(maxsize=1)
def _parsed(path: Path, changed_ns: int, size: int) -> dict[str, Any]:
    """The tables of a file as it was when it had that mark: a page asks for them with every line it paints."""
    return tomllib.loads(path.read_text(encoding="utf-8-sig"))
