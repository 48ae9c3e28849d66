"""The reader of public instance files, on small ones made up here, and one classic whose optimum everybody knows."""

import pytest

from planning.schedule.network import Crew, Lag, Network, Task
from planning.schedule.solver import Limits, solve
from tests.bench import public_instances
from tests.planning.schedule.network_check import broken

STARS = "*" * 40

PROJECT = f"""{STARS}
RESOURCES
  - renewable                 :  2   R
{STARS}
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          3           2   3   4
   2        1          1           5
   3        1          1           5
   4        1          1           5
   5        1          0
{STARS}
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------
  1      1     0       0    0
  2      1     3       2    0
  3      1     4       2    1
  4      1     5       1    1
  5      1     0       0    0
{STARS}
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    1
{STARS}
"""
"""Two of three steps need the one of R2, two together more than there is of R1: 3 with 4, or 9 for 3 and 4 in turn."""

WINDOWS = """2\t1\t0\t0
0\t1\t1\t1\t[0]
1\t1\t2\t2\t3\t[{least}]\t[2]
2\t1\t2\t1\t3\t[-{most}]\t[3]
3\t1\t0
0\t1\t0\t0
1\t1\t2\t1
2\t1\t3\t1
3\t1\t0\t0
1
"""
"""Step 2 starts between `least` and `most` after the start of step 1; one resource does both."""


@pytest.fixture
def folder(tmp_path):
    rows = ["set,file,lower_bound,upper_bound,closed", "own,plain.sm,9,9,yes", "own,window.sch,8,8,yes"]
    rows.append("own,shut.sch,unsat,unsat,unsat")
    own = tmp_path / "own"
    own.mkdir()
    (tmp_path / "best_known.csv").write_text("\n".join(rows) + "\n")
    (own / "plain.sm").write_text(PROJECT)
    (own / "window.sch").write_text(WINDOWS.format(least=5, most=6))
    (own / "shut.sch").write_text(WINDOWS.format(least=1, most=1))
    return tmp_path


def test_small_instances_are_read_solved_and_compared(folder, capsys):
    assert public_instances.main([str(folder), "--seconds", "5"]) == 0
    assert capsys.readouterr().out.split()[-4:] == ["own", "3", "3", "0"]


def test_a_contradiction_is_a_failure(folder, capsys):
    listed = (folder / "best_known.csv").read_text().replace("9,9", "10,10").replace("unsat,unsat,", "7,7,")
    (folder / "best_known.csv").write_text(listed)
    assert public_instances.main([str(folder), "--seconds", "5"]) == 1
    said = capsys.readouterr().out
    assert "plain.sm: ends at 9, before the proved bound 10" in said
    assert "shut.sch: says there is no plan; one is known" in said


SHOP = """
2 1 0 3 1 6 3 7 5 3 4 6
1 8 2 5 4 10 5 10 0 10 3 4
2 5 3 4 5 8 0 9 1 1 4 7
1 5 0 5 2 5 3 3 4 8 5 9
2 9 1 3 4 5 5 4 0 3 3 1
1 3 3 3 5 9 0 10 4 4 2 1
"""
"""The six-by-six job shop of 1963: (machine, length) pairs by job. Its optimum, 55, has been known since."""


def test_the_classic_job_shop_is_solved_to_its_known_optimum():
    always = (Crew((), ((0, 200),)),)
    tasks, lags = [], []
    for job, line in enumerate(SHOP.split("\n")[1:-1]):
        numbers = [int(word) for word in line.split()]
        for n in range(6):
            tasks.append(Task(f"{job}/{n}", numbers[2 * n + 1], always, {f"machine {numbers[2 * n]}": 1}))
            if n:
                lags.append(Lag(f"{job}/{n - 1}", f"{job}/{n}"))
    shop = Network(0, 200, 0, tuple(tasks), tuple(lags), {f"machine {n}": 1 for n in range(6)}, {})
    found = solve(shop, None, Limits(effort=5.0, stages=("finish",)))
    assert (found.status, found.finish) == ("best", 55)
    assert broken(shop, found) == []
