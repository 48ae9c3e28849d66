"""TOML syntax: the parser's errors in plain words, and how to go on after one so that the rest is checked too."""

import re
import tomllib
from typing import Any

from planning.records.job_problems import Findings

MOST_MENDED = 20
MOST_LINES = 10_000
MOST_TABLES = 3_000
LONGEST_LINE = 20_000
LONGEST_MENDED = 60_000
"""A longer text is not parsed again after an error: that would take seconds."""

_ENDLESS = "lists or tables stand in each other without end"
_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_QUOTES = """put words in double quotes; inside them write an inch mark as \\" or write "5 ft 6 in\""""

_WORDS: tuple[tuple[str, str, str], ...] = (
    ("Cannot overwrite a value", "this key stands twice in its table", "keep one of the two"),
    ("Duplicate inline table key", "a key stands twice between { and }", "keep one of the two"),
    ("Cannot declare", "this table stands twice", "keep one, or write two brackets [[...]] on every one"),
    ("Cannot mutate", "this adds to a table that is closed already", "write all its keys in one place"),
    ("Expected '='", "there is no = after the key", 'write key = "value"'),
    (
        "Invalid statement",
        "this is no key, no table and no comment",
        "write key = value, [table] or # and a remark",
    ),
    ("Expected newline or end of document", "something stands after the value", _QUOTES),
    ("Invalid value", "the value cannot be read", _QUOTES),
    ("Illegal character", "a text is not closed on its line", _QUOTES),
    ("Found invalid character", "a text is not closed on its line", _QUOTES),
    ("Unterminated string", "a text is never closed", _QUOTES),
    ('Expected \'"""\'', "a text is never closed", 'write """ at its end'),
    ("Expected \"'''\"", "a text is never closed", "write ''' at its end"),
    (
        "Unescaped '\\' in a string",
        "a backslash stands in a text",
        'write \\\\ for it, and \\" for an inch mark',
    ),
    ("Unclosed array", "a list is never closed", "write ] at its end"),
    ("Unclosed inline table", "a table between { and } is not closed on its line", "write } at its end"),
    ("Expected ']'", "the table's name is not closed", "write [name]"),
    ("Expected ']]'", "the table's name is not closed", "write [[name]]"),
    ("Invalid initial character for a key", "the key cannot be read", "write it with letters, digits, - and _"),
    ("Invalid date or datetime", "there is no such date", 'write it as 2026-06-03 or "2026-06-03 8:00"'),
)


def too_much(text: str) -> tuple[int, str] | None:
    """Line and words of what no parser should be given, because it would take minutes; None for any real job."""
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        return MOST_LINES, f"the file has {len(lines)} lines, a job at most {MOST_LINES}"
    long = next((n for n, line in enumerate(lines, 1) if len(line) > LONGEST_LINE), None)
    if long is not None:
        return long, f"the line is longer than {LONGEST_LINE} signs"
    tables = sum(line.lstrip().startswith("[") for line in lines)
    return (1, f"the file has {tables} tables, a job at most {MOST_TABLES}") if tables > MOST_TABLES else None


def parse(text: str, findings: Findings) -> dict[str, Any] | None:
    """The parsed document, or None when nothing sure can be made of it; every error is reported.

    A statement that cannot be read is left out and the rest is parsed, so that all problems show at once.
    """
    if findings.lines.too_deep is not None:
        findings.add_at(findings.lines.too_deep, _ENDLESS, "nest at most a few deep")
        return None
    lines = text.split("\n")
    for _ in range(MOST_MENDED):
        try:
            raw = tomllib.loads("\n".join(lines))
        except RecursionError:
            line = findings.lines.unclosed or 1
            findings.add_at(line, _ENDLESS, "nest at most a few deep")
            return None
        except (tomllib.TOMLDecodeError, ValueError) as wrong:
            line = _report(str(wrong), findings, lines)
            if len(text) > LONGEST_MENDED or line == findings.lines.unclosed or not _is_statement(lines[line - 1]):
                return None
            findings.broken_in(line)
            lines[line - 1] = "#"
        else:
            return raw
    return None


def _report(message: str, findings: Findings, lines: list[str]) -> int:
    """Report a syntax error; returns its line."""
    found = _AT.search(message)
    line = _line(found, findings, lines)
    plain = message[: found.start()] if found else message
    if line == findings.lines.unclosed:
        findings.add_at(
            line, "a list, a table or a text is never closed", "write ], } or the closing quotes at its end"
        )
        return line
    told = _bare_yes(lines[line - 1])
    if told is not None and plain.startswith("Invalid value"):
        findings.add_at(line, *told)
        return line
    for begin, what, how in _WORDS:
        if plain.startswith(begin):
            findings.add_at(line, what, how)
            return line
    if "4300" in plain or "integer string conversion" in plain:
        line = next((n for n, each in enumerate(lines, 1) if re.search(r"[\d_]{1000}", each)), line)
        findings.add_at(line, "a number is far too long", "write the number you mean")
    else:
        findings.add_at(line, f"this is not TOML ({plain[:80]})", 'write key = "value"')
    return line


def _bare_yes(line: str) -> tuple[str, str] | None:
    """A bare yes or no where TOML wants true or false: what is wrong and how to write it, or None."""
    found = re.fullmatch(r"\s*([\w-]+)\s*=\s*(yes|no|on|off|true|false)\s*(?:#.*)?", line, re.IGNORECASE)
    if found is None:
        return None
    right = "true" if found[2].lower() in ("yes", "on", "true") else "false"
    return f"{found[1]}: {found[2]} is not true or false", f"write {found[1]} = {right}"


def _line(found: re.Match[str] | None, findings: Findings, lines: list[str]) -> int:
    if found and found[1]:
        return min(max(int(found[1]), 1), len(lines))
    if findings.lines.unclosed is not None:
        return findings.lines.unclosed
    return max((n for n, line in enumerate(lines, 1) if line.strip()), default=1)


def _is_statement(line: str) -> bool:
    return re.match(r"\s*[^\s#\[\]]", line) is not None
