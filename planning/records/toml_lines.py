"""Which line of a TOML text says what: the path of every key and list item, because the parser keeps no lines.

It reads any text, also one the parser refuses, and never raises. Keys inside inline tables have their parent's line.
"""

import re
import tomllib
from collections.abc import Sequence

Path = tuple[str | int, ...]

MOST_DEEP = 12
"""Tables in tables: a job file needs five."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t\r]*")
_WORD = re.compile(r"[A-Za-z0-9_.:+-]+")
_STRINGS = {
    '"': re.compile(r'"(?:[^"\\\n]|\\[^\n])*"?'),
    "'": re.compile(r"'[^'\n]*'?"),
    '"""': re.compile(r'"""(?:[^"\\]|\\.|"{1,2}(?!"))*"{3,5}', re.DOTALL),
    "'''": re.compile(r"'''(?:[^']|'{1,2}(?!'))*'{3,5}"),
}
_CLOSERS = {"[": "]", "{": "}"}


class Lines:
    """Path -> line, 1 for the first. `table_at` gives the lines a table's own keys stand in."""

    def __init__(self, text: str) -> None:
        self.count = text.count("\n") + 1
        self.unclosed: int | None = None
        """The line where a value begins that never ends, if there is one."""
        self.too_deep: int | None = None
        """A line with a key of more than MOST_DEEP parts: the parser would take minutes over it."""
        self._of: dict[Path, int] = {}
        self._tables: list[tuple[int, Path]] = [(0, ())]
        _Scan(text, self).run()

    def of(self, path: Sequence[str | int]) -> int:
        """The line of this path, or of the nearest thing around it; 1 when nothing is known."""
        for length in range(len(path), 0, -1):
            line = self._of.get(tuple(path[:length]))
            if line is not None:
                return line
        return 1

    def table_at(self, line: int) -> Path:
        """The path of the table whose header is the last one at or before this line."""
        return next(path for start, path in reversed(self._tables) if start <= line)

    def block(self, path: Path) -> tuple[int, int]:
        """First and last line of a table with the tables inside it, up to the next other header. (0, 0): not there."""
        begin = next((line for line, table in self._tables if table == path and line), 0)
        if not begin:
            return 0, 0
        later = (line for line, table in self._tables if line > begin and table[: len(path)] != path)
        return begin, min(later, default=self.count + 1) - 1

    def note(self, path: Path, line: int) -> None:
        """Remember where a path is said first."""
        self._of.setdefault(path, line)

    def begin(self, path: Path, line: int) -> None:
        """Remember that a table's header stands here."""
        self._tables.append((line, path))
        self.note(path, line)


class _Scan:
    """One pass over the text, statement by statement."""

    def __init__(self, text: str, lines: Lines) -> None:
        self.text = text
        self.lines = lines
        self.at = 0
        self.line = 1
        self.table: Path = ()
        self.last: dict[Path, int] = {}

    def run(self) -> None:
        while self.at < len(self.text):
            self._blank()
            if self._here() == "[":
                self._header()
            elif self._here() not in ("\n", "#", "\r", ""):
                self._statement()
            self._to_next_line()

    def _here(self) -> str:
        return self.text[self.at : self.at + 1]

    def _blank(self) -> None:
        found = _BLANK.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def _line_end(self) -> int:
        """Where the line ends: its newline, or the end of the text."""
        end = self.text.find("\n", self.at)
        return len(self.text) if end < 0 else end

    def _to_next_line(self) -> None:
        self.at = self._line_end() + 1
        self.line += 1

    def _key(self) -> list[str]:
        parts: list[str] = []
        while True:
            self._blank()
            if self._here() in ('"', "'"):
                start = self.at
                self._string(one_line=True)
                parts.append(_unquoted(self.text[start : self.at]))
            else:
                found = _BARE.match(self.text, self.at)
                if not found:
                    return parts[:MOST_DEEP]
                self.at = found.end()
                parts.append(found[0])
            self._blank()
            if self._here() != ".":
                if len(parts) > MOST_DEEP:
                    self.lines.too_deep = self.line
                return parts[:MOST_DEEP]
            self.at += 1

    def _header(self) -> None:
        double = self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        path: Path = ()
        key = self._key()
        for n, part in enumerate(key):
            path += (part,)
            if double and n == len(key) - 1:
                self.last[path] = self.last.get(path, -1) + 1
                self.lines.note(path, self.line)
            if path in self.last:
                path += (self.last[path],)
        self.table = path
        self.lines.begin(path, self.line)

    def _statement(self) -> None:
        key = self._key()
        for n in range(1, len(key) + 1):
            self.lines.note((*self.table, *key[:n]), self.line)
        if self._here() == "=":
            self.at += 1
            self._value((*self.table, *key))

    def _value(self, path: Path) -> None:
        """Skip one value; note the line of each item of a list."""
        start, item, fresh = self.line, 0, True
        open_marks: list[str] = []
        while self.at < len(self.text):
            self._blank()
            mark = self._here()
            if mark == "\n":
                if not open_marks:
                    return
                self.line += 1
                self.at += 1
                continue
            if mark == "#":
                self.at = self._line_end()
                continue
            if fresh and open_marks == ["["] and mark not in ",]":
                self.lines.note((*path, item), self.line)
                fresh = False
            if mark == "," and open_marks == ["["]:
                item, fresh = item + 1, True
            self._skip(mark, open_marks)
        if open_marks:
            self.lines.unclosed = start

    def _skip(self, mark: str, open_marks: list[str]) -> None:
        """Skip one string, bracket, comma or word."""
        if mark in _CLOSERS:
            open_marks.append(mark)
        elif open_marks and mark == _CLOSERS[open_marks[-1]]:
            open_marks.pop()
        elif mark and mark in "\"'":
            self._string()
            return
        found = _WORD.match(self.text, self.at)
        self.at = found.end() if found else self.at + 1

    def _string(self, one_line: bool = False) -> None:
        """Skip a string. A one-line string that is not closed ends at its line's end."""
        quote = self._here()
        if not one_line and self.text.startswith(quote * 3, self.at):
            self._long_string(quote * 3)
            return
        found = _STRINGS[quote].match(self.text, self.at)
        self.at = found.end() if found else self.at + 1

    def _long_string(self, quotes: str) -> None:
        found = _STRINGS[quotes].match(self.text, self.at)
        begin = self.line
        if found is None:
            self.lines.unclosed = begin
        end = found.end() if found else len(self.text)
        self.line += self.text.count("\n", self.at, end)
        self.at = end


def _unquoted(token: str) -> str:
    try:
        return next(iter(tomllib.loads(f"{token} = 0")))
    except (ValueError, StopIteration):
        return token[1:-1]
