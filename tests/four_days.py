"""A job worked through four days by the command line, with bad luck, and what was handed over at the end of each.

Run `python -m tests.four_days FOLDER [JOB]` to keep every note, sheet, table and calendar as files to look at.
"""

import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from tests.command_line import in_process

DAYS = ("2026-06-01", "2026-06-02", "2026-06-03", "2026-06-04")
WORTH_TWO_MARKS = timedelta(minutes=75)
"""Of shorter steps only the end is noted, as people do."""
Call = Callable[..., str]
HAND_OVER: dict[str, Sequence[str]] = {
    "owner.txt": ("snapshot",),
    "owner.html": ("snapshot", "--format", "html"),
    "owner.md": ("snapshot", "--format", "md"),
    "contractor.txt": ("snapshot", "--for", "contractor"),
    "contractor.html": ("snapshot", "--for", "contractor", "--format", "html"),
    "stay-off.txt": ("stay-off",),
    "stay-off.html": ("stay-off", "--format", "html"),
    "release.txt": ("release",),
    "release.html": ("release", "--format", "html"),
    "calendar.ics": ("calendar",),
    "owner.ics": ("calendar", "--for", "owner"),
    "drive-off.txt": ("drive-off",),
    "packet.txt": ("packet",),
}
"""File -> the command that makes it."""


@dataclass
class Luck:
    """What goes wrong: (day, hour) -> words of `mudday note`. STEP stands for the step that runs then."""

    notes: dict[tuple[str, str], Sequence[str]] = field(default_factory=dict)
    late: dict[str, int] = field(default_factory=dict)
    """Day -> minutes by which its first step of half an hour and more runs late."""


BAD_LUCK = Luck(
    notes={
        (DAYS[0], "10:40"): ("found", "{room}", "a joist is soft, ask Sam 303-555-0147"),
        (DAYS[0], "14:05"): ("note", "{room}", "owed Sam two days of wages"),
        (DAYS[1], "9:15"): ("extra_work", "{room}", "a second outlet box, $120 agreed"),
        (DAYS[1], "15:20"): ("used", "leveler-rapid", "3", "--why", "lot K4471"),
        (DAYS[2], "8:10"): ("reading", "{room}", "66 F 58 % floor 64 F"),
        (DAYS[2], "13:10"): ("gone", "helper"),
        (DAYS[3], "8:20"): ("service_out", "power", "10:30"),
    },
    late={DAYS[0]: 40, DAYS[2]: 50},
)


class Drive:
    """Works a job file day by day. `call` runs one command and gives what it printed."""

    def __init__(self, job: Path, call: Call, luck: Luck = BAD_LUCK) -> None:
        self.job, self.call, self.luck = str(job), call, luck

    def day(self, day: str, files: Sequence[str] = tuple(HAND_OVER)) -> dict[str, str]:
        """Work one day as it was planned in the morning, but for the luck; then hand over. File -> text."""
        plan = json.loads(self.call("plan", self.job, "--format", "json", "--now", f"{day} 6:58"))
        marks = self._marks(day, plan)
        if self.luck.late.get(day):
            marks = self._with_late(day, marks)
        for at, words in sorted(marks, key=lambda mark: (mark[0], mark[1][0] != "finished")):
            self.note(f"{at:%Y-%m-%d %H:%M}", words)
        return self.hand_over(f"{day} 15:55", files)

    def note(self, at: str, words: Sequence[str]) -> None:
        """Note one thing; a choice that waits is taken."""
        said = self.call("note", self.job, *words, "--now", at)
        if "A choice waits" in said:
            self.call("take", self.job, "--now", at)

    def hand_over(self, now: str, files: Sequence[str]) -> dict[str, str]:
        """What is handed over in the evening."""
        asked = ((name, HAND_OVER[name]) for name in files)
        return {name: self.call(words[0], self.job, *words[1:], "--now", now) for name, words in asked}

    def _marks(self, day: str, plan: dict[str, list[dict[str, str]]]) -> list[tuple[datetime, Sequence[str]]]:
        marks: list[tuple[datetime, Sequence[str]]] = []
        here = ""
        for step in sorted(plan["steps"], key=lambda each: each["start"]):
            start, finish = (datetime.fromisoformat(step[key]).replace(tzinfo=None) for key in ("start", "finish"))
            if start.date().isoformat() != day or step["state"] in ("done", "curing"):
                continue
            here = here or str(step["room"])
            if finish - start >= WORTH_TWO_MARKS:
                marks.append((start, ("started", step["id"])))
            marks.append((finish, ("finished", step["id"])))
        for (on, clock), words in self.luck.notes.items():
            if on == day:
                at = datetime.fromisoformat(f"{day} {clock.zfill(5)}")
                marks.append((at, [word.format(room=here) for word in words]))
        return marks

    def _with_late(self, day: str, marks: list[tuple[datetime, Sequence[str]]]) -> list[tuple[datetime, Sequence[str]]]:
        """The first long step runs late: it is said so half way, and everything after it that day comes later."""
        more = timedelta(minutes=self.luck.late[day])
        starts = {words[1]: at for at, words in marks if words[0] == "started"}
        ends = {words[1]: at for at, words in marks if words[0] == "finished"}
        first = min(
            (s for s in starts if s in ends and ends[s] - starts[s] >= timedelta(minutes=30)),
            key=starts.get,
            default=None,
        )  # type: ignore[arg-type]  # every key is there
        if first is None:
            return marks
        turn = ends[first]
        moved = [
            (at + more if at >= turn and words[0] in ("started", "finished") else at, words) for at, words in marks
        ]
        kept = [(at, words) for at, words in moved if at.time() <= datetime.fromisoformat(f"{day} 15:40").time()]
        half = starts[first] + (turn - starts[first]) / 2
        return [*kept, (half, ("late", first, str(self.luck.late[day]), "--why", "the old glue would not come off"))]


def printed(*words: str) -> str:
    """Run one command here and give what it printed; raises RuntimeError when it fails."""
    said = in_process(words)
    if said.code:
        raise RuntimeError(f"mudday {' '.join(words)}: {said.code}: {said.err}")
    return said.out


def keep(folder: Path, name: str) -> None:
    """Drive a demo job with the real planner and write everything handed over into a folder."""
    root = Path(__file__).parents[1] / "demo_jobs"
    folder.mkdir(parents=True, exist_ok=True)
    job = folder / f"{name}.toml"
    job.write_bytes((root / f"{name}.toml").read_bytes())
    drive = Drive(job, printed)
    for n, day in enumerate(DAYS, start=1):
        for file, text in drive.day(day).items():
            (folder / f"day{n}.{file}").write_text(text, encoding="utf-8", newline="")


if __name__ == "__main__":
    keep(Path(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "two-room-rush")
