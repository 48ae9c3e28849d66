"""Any words and any files on the command line: an answer, or one clear line and exit code 2; never a traceback.

Most run in this process through `main`, some as the real command. A planner that answers at once stands in for the
solver: how good a plan is does not matter here.
"""

import random
import re
import shlex
import shutil
from collections.abc import Callable, Iterator, Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from planning.job.events import EVENT_KINDS
from planning.records.clock import FrozenClock
from planning.records.record import Record
from tests.command_line import SEVEN, AtOnce, Said, in_process, real
from tests.job_files import ONE_FLOOR
from tests.reliability.sizes import SIZES, SOAK
from tests.reliability.test_damaged import MUTATIONS
from tui.cli.note_kinds import FORMS
from tui.cli.parser import COMMANDS

Tell = Callable[[str], None]
WITHIN_S = 1.0 if SOAK else 5.0
"""The figure is 1 s. At every change the machine may be busy with other things, so there only a wide limit is held."""

NOW = "2026-06-01T06:58"
TYPED = (
    "", " ", "-", "--", "-1", "0", "1", "99999999999999999999", "1e400", "nan", "inf", "7:20", "25:61", "7:20 pm",
    "13:00", "2026-06-01", "2026-02-30", "0000-00-00", "9999-12-31 23:59", "2026-06-01T07:20-06:00",
    "2026-06-01T07:20+99:00", "all", "help", "on", "off", "laundry", "LAUNDRY", "laun", "coat", "set", "grout", "you",
    "inspector", "thin-set", "66 F 58 % floor 65 F", "-400 F 900 %", "walk 18 h", "walk 1e99 h", "26 mil", "40 min",
    "2 h", "1/0 h", "½", "--now", "--at", "--day", "--why", "--plan", "--format", "--format=json", "--long", "--help",
    "--to", "--name", "--replace", "--x", "\x1b[31mred\x1b[0m", "\x9b31m", "a\nb", "\u202eevil", "\udcff", "𝟙𝟚:𝟛𝟘",
    "é", "日本", "x" * 5000, "[bold]b[/bold]", "<script>", "%s%n", "{0}", "$(id)", "../floor.toml", "floor.toml",
    "none.toml", ".", "..", "floor.plan.json", "floor.record", "floor.mudday.txt", "plan.json", "empty.txt", "folder",
    "floor", *FORMS,
)  # fmt: skip
SCREEN = ([], ["none.toml"], ["folder"], ["--demo", "none"], ["--version"], ["-h"], ["--nothing"], ["floor.toml", "x"])
PROBLEM = re.compile(r".+:\d+: .+; .+")


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder with a job, its record, plan and export, all as they should be."""
    with pytest.MonkeyPatch.context() as patch:
        _no_solver_no_screen(patch)
        folder = tmp_path_factory.mktemp("good")
        patch.chdir(folder)
        (folder / "floor.toml").write_text(ONE_FLOOR)
        (folder / "empty.txt").write_text("")
        (folder / "folder").mkdir()
        (folder / "plan.json").write_text(in_process(["plan", "floor.toml", "--format", "json", "--now", NOW]).out)
        for words in (["note", "note", "first"], ["note", "late", "set", "10"], ["export"]):
            said = in_process([words[0], "floor.toml", *words[1:], *(["--now", NOW] if words[0] != "export" else [])])
            assert said.code == 0, said
        yield folder


@pytest.fixture
def folder(good: Path, memory_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A fresh copy of it to spoil, in which commands run."""
    _no_solver_no_screen(monkeypatch)
    there = memory_folder / "job"
    shutil.copytree(good, there)
    monkeypatch.chdir(there)
    return there


def _no_solver_no_screen(patch: pytest.MonkeyPatch) -> None:
    patch.setattr("tui.cli.opening.HerePlanner", AtOnce)
    patch.setattr("tui.app.run", lambda *_args, **_options: 0)


def faults(words: Sequence[str], said: Said) -> list[str]:
    """What is wrong with an answer."""
    found = []
    if said.code not in (0, 1, 2):
        found.append(f"exit code {said.code}")
    if "Traceback" in said.out + said.err or "went wrong inside" in said.err:
        found.append("it went wrong inside")
    lines = said.err.splitlines()
    if said.code == 2 and (not lines or not lines[-1].startswith("mudday: ")):
        found.append("it does not say why")
    shaped = ("mudday: ", "no plan: ", "NOT ", "The made-up job")
    if said.code == 2 and [line for line in lines if not line.startswith(shaped) and not PROBLEM.fullmatch(line)]:
        found.append("a line on stderr is neither a problem of the file nor a clear line")
    if any(not each.isprintable() for each in (said.out + said.err).replace("\r\n", "\n") if each != "\n"):
        found.append("a sign that a terminal obeys came out")
    if said.seconds > WITHIN_S:
        found.append(f"it took {said.seconds:.1f} s")
    return found


def words_of(chance: random.Random) -> list[str]:
    """A list of words as nobody sane types it, half of it near a real command."""
    if chance.random() < 0.05:
        return list(chance.choice(SCREEN))
    command = chance.choice(list(COMMANDS)) if chance.random() < 0.95 else chance.choice(TYPED)
    job = ["floor.toml"] if chance.random() < 0.8 else [chance.choice(TYPED)]
    some = [chance.choice(TYPED) for _ in range(chance.choice((0, 0, 0, 0, 1, 1, 2, 4)))]
    if command == "note" and chance.random() < 0.8:
        some = shlex.split(chance.choice(list(FORMS.values())).example)
    if some and chance.random() < 0.5:
        some[chance.randrange(len(some))] = chance.choice(TYPED)
    now = ["--now", NOW if chance.random() < 0.7 else chance.choice(TYPED)] if chance.random() < 0.8 else []
    return [command, *job, *some, *now]


def typable(words: Sequence[str]) -> bool:
    """Can these words stand on a real command line, and do they end by themselves?"""
    return bool(words) and words[0] in COMMANDS and not any("\udcff" in word for word in words)


def test_any_words_are_answered_or_refused_in_one_clear_line(folder: Path, tell: Tell) -> None:
    chance = random.Random(21)
    codes: dict[int, int] = {}
    for number in range(SIZES.word_lists):
        if number % 50 == 0:
            _fresh(folder)
        words = words_of(chance)
        said = in_process(words)
        assert faults(words, said) == [], (words, said)
        codes[said.code] = codes.get(said.code, 0) + 1
    told = ", ".join(f"{count} with exit code {code}" for code, count in sorted(codes.items()))
    tell(f"command line: {SIZES.word_lists} lists of words, {told}, 0 tracebacks, each within {WITHIN_S:.0f} s")
    assert codes[2] > SIZES.word_lists / 4
    assert codes.get(0, 0) > SIZES.word_lists / 20


def _fresh(folder: Path) -> None:
    """Nothing noted by earlier lists is left to stand in the way of later ones."""
    for path in folder.iterdir():
        if path.is_file():
            path.unlink()
    for path in GOOD_FILES[str(folder)].items():
        (folder / path[0]).write_bytes(path[1])


GOOD_FILES: dict[str, dict[str, bytes]] = {}


@pytest.fixture(autouse=True)
def _remember(folder: Path) -> None:
    GOOD_FILES[str(folder)] = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


SPOILED: dict[str, tuple[tuple[str, ...], ...]] = {
    "floor.toml": (("check", "floor.toml"), ("plan", "floor.toml"), ("note", "floor.toml", "note", "x")),
    "floor.record": (("record", "floor.toml"), ("note", "floor.toml", "note", "x"), ("plan", "floor.toml"),
                     ("export", "floor.toml"), ("rescue", "floor.toml")),
    "floor.plan.json": (("plan", "floor.toml"), ("clocks", "floor.toml"), ("pull", "floor.toml")),
    "floor.mudday.txt": (("import", "floor.mudday.txt"), ("import", "floor.mudday.txt", "--to", "folder")),
    "plan.json": (("check", "floor.toml", "--plan", "plan.json"),),
}  # fmt: skip


def lines_moved(data: bytes, chance: random.Random) -> bytes:
    """A line left out, doubled, or put elsewhere."""
    lines = data.split(b"\n")
    line = lines.pop(chance.randrange(len(lines)))
    for _ in range(chance.choice((0, 1, 2))):
        lines.insert(chance.randrange(len(lines) + 1), line)
    return b"\n".join(lines)


def word_changed(data: bytes, chance: random.Random) -> bytes:
    """A value of the file replaced by what nobody should write there."""
    values = list(re.finditer(rb'"[^"\n]*"|\b\d+\b|true|null', data))
    if not values:
        return data + b"\x00"
    other = chance.choice((b'""', b"1e400", b"-1", b"[]", b"{}", b'"\\u001b[2J"', b"9" * 30, b"null", b"[[[[[[[[",
                           b'"9999-12-31"', b"true", b'"' + b"x" * 3000 + b'"'))  # fmt: skip
    found = chance.choice(values)
    return data[: found.start()] + other + data[found.end() :]


SPOILING = (*MUTATIONS, lines_moved, word_changed, word_changed)


def test_any_spoiled_file_is_read_or_refused_in_one_clear_line(folder: Path, tell: Tell) -> None:
    chance = random.Random(22)
    codes: dict[int, int] = {}
    names = list(SPOILED)
    for number in range(SIZES.spoiled_files):
        name = names[number % len(names)]
        _fresh(folder)
        path = folder / name
        path.write_bytes(chance.choice(SPOILING)(path.read_bytes(), chance))
        words = [*chance.choice(SPOILED[name])]
        words += [] if words[0] in ("export", "import", "rescue") else ["--now", NOW]
        said = in_process(words)
        assert faults(words, said) == [], (words, said, path.read_bytes()[:3000])
        codes[said.code] = codes.get(said.code, 0) + 1
    told = ", ".join(f"{count} with exit code {code}" for code, count in sorted(codes.items()))
    tell(f"command line: {SIZES.spoiled_files} spoiled files, {told}, 0 tracebacks, each within {WITHIN_S:.0f} s")
    assert codes[2] > SIZES.spoiled_files / 10


SHOWING = ("plan", "record", "clocks", "snapshot", "stay-off", "release", "pull", "calendar", "check", "undo", "take")
KEYS = ("step", "room", "who", "class", "visit", "delivery", "answer", "errand", "value", "until", "from", "why",
        "steps", "finish", "choice", "proof", "event", "at", "with", "trust", "noted_at", "service")  # fmt: skip
ODD: tuple[Any, ...] = (
    None, True, 0, -1, 10**30, 1e300, "", "x", "laundry", "laundry/plain-tile-floor/set", "you", "thin-set", [], {},
    ["x"], {"x": []}, {"start": 1}, {"laundry/plain-tile-floor/set": {"start": "x", "finish": None, "people": 3}},
    {"air_c": "x"}, "\x1b[2J", "2026-06-01T07:20:00+00:00", "9999-12-31T23:59:59+00:00", "asked",
)  # fmt: skip


def odd_body(kind: str, chance: random.Random) -> dict[str, Any]:
    """What nobody's mudday would note, but a file made elsewhere may hold."""
    body = {key: chance.choice(ODD) for key in chance.sample(KEYS, chance.randrange(1, 6))}
    if kind in ("undone", "corrected"):
        body["event"] = "x"
    if kind == "corrected":
        body["at"] = "2026-06-01T07:20:00+00:00"
    return body


def test_any_events_of_any_kind_are_shown_or_passed_over(folder: Path, tell: Tell) -> None:
    chance = random.Random(25)
    for number in range(SIZES.odd_events):
        _fresh(folder)
        kind = EVENT_KINDS[number % len(EVENT_KINDS)]
        with Record.open(folder / "floor.toml", FrozenClock(SEVEN)) as record:
            body = odd_body(kind, chance)
            at = SEVEN + timedelta(days=chance.choice((0, 0, -400, 100_000)))
            record.append(kind, body, at)
        words = [chance.choice(SHOWING), "floor.toml", "--now", NOW]
        said = in_process(words)
        assert faults(words, said) == [], (words, kind, body, at, said)
    tell(f"command line: {SIZES.odd_events} events with any body, each shown or passed over, 0 tracebacks")


def test_the_real_command_says_the_same(folder: Path, tell: Tell) -> None:
    chance = random.Random(23)
    lists: list[list[str]] = []
    while len(lists) < SIZES.real_commands:
        words = words_of(chance)
        if typable(words):
            lists.append(words)
    slowest = 0.0
    for words in lists:
        _fresh(folder)
        expected = in_process(words)
        _fresh(folder)
        said = real(words, folder)
        found = [fault for fault in faults(words, said) if not fault.startswith("it took")]
        assert found == [], (words, said)
        assert said.code == expected.code, (words, said, expected)
        slowest = max(slowest, said.seconds if said.code == 2 else 0.0)
    tell(f"command line: {len(lists)} lists as the real command, 0 tracebacks, slowest refusal {slowest:.1f} s")


def test_nothing_is_written_outside_the_folder_whatever_a_file_says(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_text("mine")
    chance = random.Random(24)
    around = sorted(str(path) for path in folder.parent.rglob("*"))
    for name in ("../outside.toml", str(outside), "..\\outside.toml", "/etc/passwd.toml", "a/../../x.toml", "~/x.toml"):
        assert in_process(["import", "floor.mudday.txt", "--name", name]).code == 2
        text = (folder / "floor.mudday.txt").read_text().replace("floor.toml", name)
        (folder / "forged.txt").write_text(text)
        assert in_process(["import", "forged.txt"]).code == 2
        (folder / "forged.txt").unlink()
        _fresh(folder)
        data = (folder / "floor.toml").read_text().replace("one floor", name.replace("\\", "\\\\"))
        (folder / "floor.toml").write_text(data)
        said = in_process([chance.choice(("snapshot", "stay-off", "export", "calendar")), "floor.toml"])
        assert said.code in (0, 2)
    left = sorted(str(path) for path in folder.parent.rglob("*"))
    assert {Path(path).name for path in set(left) - set(around)} <= {"floor.mudday.txt", "floor.plan.json"}
    assert outside.read_text() == "mine"


def test_huge_numbers_and_endless_nesting_are_refused_in_one_line(folder: Path) -> None:
    cases: list[tuple[str, bytes, list[str]]] = [
        ("floor.toml", ONE_FLOOR.replace("8 x 6 ft", "9" * 5000 + " x 6 ft").encode(), ["check", "floor.toml"]),
        ("floor.toml", ONE_FLOOR.replace("2026-06-01", "9" * 5000).encode(), ["check", "floor.toml"]),
        ("floor.toml", (ONE_FLOOR + "x = " + "[" * 100_000).encode(), ["check", "floor.toml"]),
        ("floor.toml", b"[" * 900_000, ["check", "floor.toml"]),
        ("plan.json", b"[" * 100_000, ["check", "floor.toml", "--plan", "plan.json"]),
        ("plan.json", b'{"version": ' + b"9" * 100_000 + b"}", ["check", "floor.toml", "--plan", "plan.json"]),
        ("floor.mudday.txt", b"mudday export 1\n" + b"[" * 100_000, ["import", "floor.mudday.txt"]),
    ]
    for name, data, words in cases:
        _fresh(folder)
        (folder / name).write_bytes(data)
        said = in_process(words)
        assert said.code == 2, (words, said)
        assert faults(words, said) == [], (words, said)
