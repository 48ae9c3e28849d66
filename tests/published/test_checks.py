"""Every value of checks.csv against our functions, counted by where the value comes from."""

import csv
import json
from collections import Counter
from pathlib import Path

import pytest

from tests.published.our_numbers import OURS

TABLE = Path(__file__).with_name("checks.csv")


def rows() -> list[dict[str, str]]:
    with TABLE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['origin']}-{row['id']}")
def test_our_number_agrees(row: dict[str, str], tally: Counter[tuple[str, bool]]) -> None:
    ours = OURS[row["what"]](json.loads(row["given"]))
    says = float(row["says"])
    agrees = ours == pytest.approx(says, rel=float(row["within"]), abs=1e-12)
    tally[row["origin"], agrees] += 1
    assert agrees, (
        f"{row['id']}: ours {ours:.6g}, {row['origin']} {says:.6g} within {row['within']}: {row['reference']}"
    )


def test_the_table_holds_all_its_checks_each_once() -> None:
    ids = [row["id"] for row in rows()]
    assert len(ids) >= 130
    assert len(ids) == len(set(ids))


def test_a_calculated_value_is_never_called_published() -> None:
    for row in rows():
        assert row["origin"] in ("published", "memory", "calculated", "practice")
        if row["origin"] == "published":
            assert any(word in row["reference"] for word in ("book", "table", "exam", "example", "magazine", "ASHRAE"))
            assert "memory" not in row["reference"]
        if row["origin"] == "memory":
            assert "from memory" in row["reference"]
        if row["origin"] == "practice":
            assert "common practice, no source" in row["reference"]


def test_every_question_is_asked() -> None:
    assert {row["what"] for row in rows()} == set(OURS)
