"""The walls of the house: who may import whom, and what the first frame may load."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = ("planning", "tui")

LAYERS = ("planning.job", "planning.quantities", "planning.trade", "planning.schedule", "planning.supply")
MAY_IMPORT = {layer: set(LAYERS[: n + 1]) for n, layer in enumerate(LAYERS)} | {
    "planning.handover": {*LAYERS, "planning.handover"},
    "planning.learning": {*LAYERS[:3], "planning.learning"},
    "planning.records": {*LAYERS[:3], "planning.records"},
}
"""Imports go one way: job <- quantities <- trade <- schedule <- supply <- handover; learning beside schedule, records
outside; tui sees all."""

JUDGE_MAY_NOT_SEE = (
    "network",
    "solver",
    "build",
    "assemble",
    "first_plan",
    "bound",
    "propagate",
    "repair",
    "make_plan",
)


def modules(package: str) -> list[Path]:
    return sorted((ROOT / package).rglob("*.py"))


def imported(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            found.add(node.module)
    return found


def ours(name: str) -> str | None:
    parts = name.split(".")
    return ".".join(parts[:2]) if parts[0] == "planning" and len(parts) > 1 else None


@pytest.mark.parametrize("package", sorted(MAY_IMPORT))
def test_imports_go_one_way(package: str) -> None:
    folder = package.replace(".", "/")
    wrong = {
        f"{path.relative_to(ROOT)} imports {name}"
        for path in modules(folder)
        for name in imported(path)
        if (ours(name) is not None and ours(name) not in MAY_IMPORT[package]) or name.split(".")[0] == "tui"
    }
    assert not wrong


def test_only_the_screen_imports_textual() -> None:
    wrong = [str(p) for p in modules("planning") for n in imported(p) if n.split(".")[0] in ("textual", "rich")]
    assert not wrong


def test_the_judge_shares_nothing_with_the_solver() -> None:
    judged = [ROOT / "planning/schedule/judge.py", *sorted((ROOT / "planning/schedule/rules").rglob("*.py"))]
    wrong = [
        f"{path.name} imports {name}"
        for path in judged
        for name in imported(path)
        if name.startswith("planning.schedule.") and name.split(".")[2] in JUDGE_MAY_NOT_SEE
    ]
    assert not wrong


def test_importing_planning_loads_no_screen_and_no_solver() -> None:
    code = "import planning, sys; print(sorted(m for m in sys.modules if m.split('.')[0] in ('textual', 'ortools')))"
    shown = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


def test_the_public_door_is_small_and_all_of_it_opens() -> None:
    import planning

    assert len(planning.__all__) <= 15
    assert all(getattr(planning, name) is not None for name in planning.__all__)


@pytest.mark.parametrize("package", PACKAGES)
def test_no_module_is_longer_than_450_lines_and_nine_in_ten_have_300_at_most(package: str) -> None:
    sizes = sorted(len(path.read_text(encoding="utf-8").splitlines()) for path in modules(package))
    assert sizes[-1] <= 450
    assert sizes[int(0.9 * (len(sizes) - 1))] <= 300


@pytest.mark.parametrize("package", PACKAGES)
def test_no_function_is_longer_than_60_lines_and_nine_in_ten_have_25_at_most(package: str) -> None:
    lengths = []
    for path in modules(package):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                lengths.append(((node.end_lineno or 0) - node.lineno + 1, f"{path.name}:{node.name}"))
    lengths.sort()
    assert lengths[-1][0] <= 60, lengths[-1]
    assert lengths[int(0.9 * (len(lengths) - 1))][0] <= 25


def test_every_module_says_what_it_is() -> None:
    silent = [
        str(p) for pkg in PACKAGES for p in modules(pkg) if not ast.get_docstring(ast.parse(p.read_text("utf-8")))
    ]
    assert not [name for name in silent if Path(name).stat().st_size > 0]
