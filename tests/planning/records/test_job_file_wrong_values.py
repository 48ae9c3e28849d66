"""Every key of the job file with several wrong values, each on the right line; 5,000 spoiled files, never a crash."""

import re
import time
from collections.abc import Iterator

import pytest

from planning.job.problem import Problem
from planning.records.job_file import read_job_bytes, read_job_text
from planning.records.job_problems import keys_of
from planning.records.job_schema import TABLES
from tests.planning.records.cabin import CABIN, methods

LINES = CABIN.split("\n")
VALUES = ('"?!"', "-1", "1979-05-27", "[[1]]", '""', "nan", "true", "{ a = 1 }")
FREE_WORDS = frozenset(("name", "title", "what", "owed_by", "who"))
RIGHT = {
    *((key, '"?!"') for key in FREE_WORDS),
    ("toilet", "true"),
    ("warm_opens_early", "true"),
    ("brings", "{ a = 1 }"),
}
"""What is right after all: names may be any visible words."""


def plain_keys() -> Iterator[tuple[int, str, str]]:
    """Line number, key and table of every `key = value` on one line."""
    table = ""
    for n, line in enumerate(LINES, 1):
        header = re.match(r"\s*\[+([a-z_.]+)\]+$", line)
        table = header[1] if header else table
        found = re.match(r"\s*([a-z_-]+) = ", line)
        if found and not line.rstrip().endswith("["):
            yield n, found[1], table


KEYS = [(n, key, table) for n, key, table in plain_keys() if table not in ("method", "room.do.add")]


def spoiled(n: int, value: str) -> str:
    lines = list(LINES)
    lines[n - 1] = re.sub(r"= .*", lambda _: f"= {value}", lines[n - 1], count=1)
    return "\n".join(lines)


def test_the_cabin_has_every_key_of_every_table() -> None:
    written = {(table, key) for _, key, table in plain_keys()} | {("person", "hours")}
    headers = set(re.findall(r"^\s*\[+([a-z_.]+)\]+$", CABIN, re.MULTILINE))
    for path, model in TABLES.items():
        for key in keys_of(model):
            table = ".".join(path)
            assert (table, key) in written or ".".join((*path, key)) in headers, (table, key)


@pytest.mark.parametrize("value", VALUES)
def test_a_wrong_value_is_reported_on_its_line(value: str) -> None:
    checked = 0
    for n, key, _ in KEYS:
        if (key, value) in RIGHT:
            continue
        job, problems = read_job_text(spoiled(n, value), "cabin.toml", methods)
        assert job is None, (n, key, value)
        assert n in {problem.line for problem in problems}, (n, key, value, list(map(str, problems)))
        check_words(problems)
        checked += 1
    assert checked > 80


def check_words(problems: list[Problem]) -> None:
    assert problems
    for problem in problems:
        text = str(problem)
        assert re.match(r"cabin\.toml:[1-9]\d*: \S.*; \S", text), text
        assert text.isprintable()
        assert len(text) < 1500


START = '[job]\nzone = "UTC"\nstart = 2026-06-01\n'
MONSTERS = {
    "keys without end": "".join(f"k{n} = 1\n" for n in range(90_000)),
    "as many keys as may be": "".join(f"k{n} = 1\n" for n in range(9_990)),
    "rooms without end": START + '[[room]]\nid = "a"\nsize = "5x5"\nin_from = ["a"]\n' * 15_000,
    "one long line": "x" * 990_000,
    "quotes": '"' * 990_000,
    "brackets": "[" * 19_000,
    "tables in tables": "a={" * 6_000,
    "a dotted key": "a." * 9_000 + "a = 1",
    "a dotted header": "[" + ".".join("a" * 9_000) + "]",
    "a long number": "a = " + "9" * 19_000,
    "blank lines": "\n" * 990_000,
    "nothing but mistakes": "= x\n" * 9_000,
    "a crowded van": START + "[van]\n" + "".join(f'c{n} = "2 bxgs"\n' for n in range(9_000)),
    "many ways in": START + '[[room]]\nid = "a"\nsize = "5x5"\nin_from = [\n' + '"zz",\n' * 9_000 + "]\n",
    "blanks": START + '[[room]]\nid = "a"\nsize = "' + "1 " * 9_000 + '"\n',
}


@pytest.mark.parametrize("text", MONSTERS.values(), ids=MONSTERS)
def test_a_monster_of_a_file_is_refused_at_once(text: str) -> None:
    begun = time.process_time()
    job, problems = read_job_bytes(text.encode()[:1_000_000], "cabin.toml", methods)
    assert job is None
    check_words(problems)
    assert len(problems) <= 101
    assert time.process_time() - begun < 2.0
