"""Public scheduling instances through the planner's own solver: fractions proved, and any disagreement is a failure.

`python -m tests.bench.public_instances FOLDER [--seconds 10] [--set NAME ...]`. The folder holds one folder per set
with PSPLIB files (.sm, resource-constrained projects) or ProGen/max files (.sch, the same with time lags), and
`best_known.csv` with the columns set, file, lower_bound, upper_bound ("unsat" for both: proved to have no plan).
"""

import argparse
import csv
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from planning.schedule.network import Crew, Lag, Network, Solution, Task
from planning.schedule.solver import Limits, solve


@dataclass(frozen=True)
class Project:
    """A project as its file says it: durations and demands by activity, capacities, arcs with start-to-start lags."""

    durations: list[int]
    demands: list[list[int]]
    capacities: list[int]
    arcs: list[tuple[int, int, int]]


def read_project(path: Path) -> Project:
    """A .sm or .sch file."""
    text = path.read_text()
    return _read_sm(text) if path.suffix.lower() == ".sm" else _read_sch(text)


def _numbers(line: str) -> list[int]:
    return [int(word) for word in re.findall(r"-?\d+", line)]


def _section(text: str, title: str) -> list[list[int]]:
    after = text[text.index(title) :].splitlines()[1:]
    body = []
    for line in after:
        if line.startswith("*"):
            break
        if line.strip() and line.strip()[0].isdigit():
            body.append(_numbers(line))
    return body


def _read_sm(text: str) -> Project:
    requests = _section(text, "REQUESTS/DURATIONS")
    durations = [row[2] for row in requests]
    arcs = [
        (row[0] - 1, successor - 1, durations[row[0] - 1])
        for row in _section(text, "PRECEDENCE RELATIONS")
        for successor in row[3 : 3 + row[2]]
    ]
    return Project(durations, [row[3:] for row in requests], _section(text, "RESOURCEAVAILABILITIES")[0], arcs)


def _read_sch(text: str) -> Project:
    rows = [_numbers(line) for line in text.splitlines() if line.strip()]
    size = rows[0][0] + 2
    arcs = []
    for row in rows[1 : 1 + size]:
        count = row[2]
        pairs = zip(row[3 : 3 + count], row[3 + count :], strict=True)
        arcs += [(row[0], after, lag) for after, lag in pairs]
    work = rows[1 + size : 1 + 2 * size]
    return Project([row[2] for row in work], [row[3:] for row in work], rows[1 + 2 * size], arcs)


def network_of(project: Project) -> Network:
    """The project as a network: resources are gear, a lag is a wait from a start, a negative one a window."""
    longest = [
        max([length, *(lag for i, _, lag in project.arcs if i == n)]) for n, length in enumerate(project.durations)
    ]
    horizon = sum(longest) + 1
    always = (Crew((), ((0, horizon),)),)
    tasks = []
    for n, length in enumerate(project.durations):
        gear = {f"r{k}": need for k, need in enumerate(project.demands[n]) if need}
        tasks.append(Task(str(n), length, (Crew((), ((0, 0),)),) if n == 0 else always, gear))
    lags = []
    for i, j, lag in project.arcs:
        if lag >= 0:
            lags.append(Lag(str(i), str(j), ((0, lag),), None, True))
        else:
            lags.append(Lag(str(j), str(i), ((0, -horizon),), ((0, -lag),), True))
    capacities = {f"r{k}": most for k, most in enumerate(project.capacities)}
    return Network(0, horizon, 0, tuple(tasks), tuple(lags), capacities, {})


@dataclass(frozen=True)
class Outcome:
    """What one instance gave."""

    set: str
    file: str
    found: Solution
    low: str
    high: str

    @property
    def proved(self) -> bool:
        """Is the finish proved best, or proved not to exist?"""
        return self.found.status in ("best", "none")

    @property
    def wrong(self) -> str | None:
        """How it contradicts what is known, if it does."""
        known_none = self.low == "unsat"
        if self.found.status == "none" and not known_none:
            return "says there is no plan; one is known"
        if self.found.status in ("best", "good"):
            if known_none:
                return "has a plan where none exists"
            if self.found.finish < int(self.low):
                return f"ends at {self.found.finish}, before the proved bound {self.low}"
            if self.found.status == "best" and self.found.finish > int(self.high):
                return f"claims {self.found.finish} is best; {self.high} is known"
            if self.found.finish_bound > int(self.high):
                return f"claims no plan before {self.found.finish_bound}; {self.high} is known"
        return None


def run(folder: Path, seconds: float, sets: Iterable[str] = ()) -> Iterator[Outcome]:
    """Every instance of the folder that the list names, in its order."""
    wanted = set(sets)
    with (folder / "best_known.csv").open(newline="") as file:
        rows = [row for row in csv.DictReader(file) if not wanted or row["set"] in wanted]
    for row in rows:
        network = network_of(read_project(folder / row["set"] / row["file"]))
        limits = Limits(effort=1e6, wall_s=seconds, stages=("finish",))
        found = solve(network, None, limits)
        yield Outcome(row["set"], row["file"], found, row["lower_bound"], row["upper_bound"])


def main(arguments: list[str]) -> int:
    """Print a table; 1 if anything contradicts what is known."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seconds", type=float, default=10.0)
    parser.add_argument("--set", action="append", default=[])
    asked = parser.parse_args(arguments)
    outcomes = []
    for outcome in run(asked.folder, asked.seconds, asked.set):
        outcomes.append(outcome)
        if outcome.wrong:
            print(f"{outcome.set}/{outcome.file}: {outcome.wrong}")
    print(f"{'set':10} {'instances':>9} {'proved':>7} {'wrong':>6}")
    for name in dict.fromkeys(outcome.set for outcome in outcomes):
        some = [outcome for outcome in outcomes if outcome.set == name]
        proved, wrong = sum(o.proved for o in some), sum(o.wrong is not None for o in some)
        print(f"{name:10} {len(some):9} {proved:7} {wrong:6}")
    return 1 if any(outcome.wrong for outcome in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
