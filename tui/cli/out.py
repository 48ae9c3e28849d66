"""Data on stdout: JSON as every command writes it."""

import json
from typing import Any


def print_json(value: Any) -> None:
    """One JSON value, readable, letters as they are. What JSON does not know is written as text."""
    print(json.dumps(value, indent=1, ensure_ascii=False, default=str))
