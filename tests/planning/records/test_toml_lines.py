"""Lines of a TOML text by path, judged by the standard parser: a marked value is found where its line says."""

import re
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.records.toml_lines import Lines, Path
from tests.planning.records.cabin import CABIN

MARK = "here it is"


def path_of(value: Any, path: Path = ()) -> Path | None:
    """Where the marked value stands in a parsed document."""
    if value == MARK:
        return path
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return next((found for key, each in inside if (found := path_of(each, (*path, key))) is not None), None)


def test_every_plain_key_of_a_whole_job_has_its_line() -> None:
    lines = CABIN.split("\n")
    checked = 0
    for n, line in enumerate(lines):
        if re.match(r"\s*[a-z_-]+ = [^\[]", line):
            marked = "\n".join([*lines[:n], re.sub(r"= .*", f'= "{MARK}"', line), *lines[n + 1 :]])
            path = path_of(tomllib.loads(marked))
            assert path is not None
            assert Lines(CABIN).of(path) == n + 1, path
            checked += 1
    assert checked > 80


ODD = "\n".join(
    [
        'a."b.c".d = 1                       # dotted, quoted',
        '\'e f\' = "# [no] table = \\" here"',
        'g = """',
        "[not] = a table",
        'x = 1 \\""" and "more"',
        '"""',
        "h = [ # a list",
        "  1, [2, 3],",
        "",
        '  "four", # after a blank',
        "  { five = 5 },",
        "]",
        "i = { j = 1, k = { l = 2 } }",
        "[ m . n ]",
        "o = '''x",
        "y = 2'''",
        "p = 2026-06-01 07:00:00",
        "[[q]]",
        "[[q]]",
        "r = 1",
        "[q.s]",
        "t = 2",
        "[[q.u]]",
        "[[q.u]]",
        "v = 3",
        "",
    ]
)


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("a",), 1),
        (("a", "b.c", "d"), 1),
        (("e f",), 2),
        (("g",), 3),
        (("h",), 7),
        (("h", 0), 8),
        (("h", 1), 8),
        (("h", 1, 1), 8),
        (("h", 2), 10),
        (("h", 3, "five"), 11),
        (("i", "k", "l"), 13),
        (("m", "n"), 14),
        (("m", "n", "o"), 15),
        (("m", "n", "p"), 17),
        (("q", 0), 18),
        (("q", 1), 19),
        (("q", 1, "r"), 20),
        (("q", 1, "s", "t"), 22),
        (("q", 1, "u", 1), 24),
        (("q", 1, "u", 1, "v"), 25),
        (("nowhere",), 1),
    ],
)
def test_odd_writing_keeps_its_lines(path: Path, line: int) -> None:
    tomllib.loads(ODD)
    assert Lines(ODD).of(path) == line


def test_a_value_that_never_ends_is_known_by_its_first_line() -> None:
    assert Lines("a = 1\nb = [\n1,\n").unclosed == 2
    assert Lines('a = """\nx\n').unclosed == 1
    assert Lines("a = [1]\n").unclosed is None


BITS = [*"[]{}='\"#\\.,\n ab", '"""', "'''", "[[a]]\n", "b = 1\n"]


@given(
    st.one_of(
        st.text(max_size=80),
        st.lists(st.sampled_from(BITS), max_size=40).map("".join),
    )
)
def test_any_text_has_lines_and_none_is_beyond_its_end(text: str) -> None:
    lines = Lines(text)
    for path in ((), ("a",), ("a", 0), ("a", 0, "b"), ("b",)):
        assert 1 <= lines.of(path) <= text.count("\n") + 1
    assert lines.unclosed is None or 1 <= lines.unclosed <= text.count("\n") + 1
