"""The `[[room.do]]` tables of a job file turned into scopes: measurements read by their kind, changes, references."""

from collections.abc import Mapping, Sequence, Set
from typing import Any

from planning.job.measures import MEASUREMENTS
from planning.job.problem import UnreadableError
from planning.job.scope import Measure, Scope, StepChange
from planning.quantities.measure_words import read_measure
from planning.quantities.number_words import shown
from planning.quantities.plain_words import listed, nearest
from planning.records import job_names
from planning.records.job_build import own_methods
from planning.records.job_problems import Findings, keys_of
from planning.records.job_schema import ChangeTable, Document, DoTable
from planning.records.toml_lines import Path

KnownMethods = Mapping[str, Set[str]]
"""Method -> the measures it takes."""


def read_scope(
    do: DoTable, path: Path, findings: Findings, known: KnownMethods | None, own: frozenset[str] = frozenset()
) -> Scope:
    """One scope; what cannot be read of its measurements is reported and left out.

    `known` None: methods and their measures are not checked. `own` are methods the file brings along.
    """
    takes = None
    if known is not None and do.method not in own:
        takes = known.get(do.method)
        if takes is None:
            how = job_names.instead(do.method, [*known, *own], "methods")
            findings.add((*path, "method"), f"there is no method {shown(do.method)}", how)
    measures: dict[str, Measure] = {}
    for key, value in (do.__pydantic_extra__ or {}).items():
        if _may_stand(do.method, key, takes, (*path, key), findings):
            measures.update(_read(key, value, (*path, key), findings))
    return Scope(
        method=do.method,
        on=do.on,
        measures=measures,
        skip=tuple(do.skip),
        change=tuple(
            _change(change, findings.lines.of((*path, "change", n)))
            for n, change in enumerate(do.change)
            if change is not None
        ),
        add=tuple(row for row in do.add if row is not None),
        after=tuple(do.after),
        line=findings.lines.of(path),
    )


def look_through(doc: Document, scopes: Mapping[int, Sequence[Scope]], findings: Findings) -> None:
    """Report what the trade would find wrong later, for a file that has other mistakes: so all show at once.

    Names only: steps to skip or change, parts, material classes, and the setter's own methods. A file without other
    mistakes is looked through when its steps are made.
    """
    from planning.trade.materials import common_classes  # the trade is loaded for a file that is wrong anyway
    from planning.trade.methods import Method, common_methods, read_own
    from planning.trade.own_methods import problems_of
    from planning.trade.scope_words import wrong_classes, wrong_words

    mine = own_methods(doc, findings.lines)
    for problem in problems_of(mine, findings.file):
        findings.add_at(problem.line, problem.what, problem.how)
    read = [own for own in map(read_own, mine) if isinstance(own, Method)]
    methods: Mapping[str, Method] = {**common_methods(), **{own.key: own for own in read}}
    for n, listed_scopes in scopes.items():
        room = doc.room[n]
        parts = [part.id for part in room.part if part is not None] if room is not None else []
        places = [m for m, do in enumerate(room.do) if do is not None] if room is not None else []
        for m, scope in zip(places, listed_scopes, strict=True):
            method = methods.get(scope.method)
            if method is None:
                continue
            for wrong in (*wrong_words(method, scope, parts), *wrong_classes(method, scope, common_classes())):
                findings.add(("room", n, "do", m, *wrong.place), wrong.what, wrong.how)


def _change(change: ChangeTable, line: int) -> StepChange:
    crew = tuple(change.crew) if change.crew is not None else None
    return StepChange(change.step, change.labor, change.wait, change.within, crew, change.title, line)


def _may_stand(method: str, key: str, takes: Set[str] | None, path: Path, findings: Findings) -> bool:
    if key in MEASUREMENTS and (takes is None or key in takes):
        return True
    if findings.full:
        findings.add(path, f"{method}: unknown key {shown(key)}", "mend it or take it out")
        return False
    right = keys_of(DoTable)
    if key in MEASUREMENTS and takes is not None:
        there = f"it takes {listed(sorted(takes))}" if takes else "it takes no measurements"
        findings.add(path, f"{method} has no use for {shown(key)}", f"take it out; {there}")
        return False
    right += sorted(takes) if takes is not None else list(MEASUREMENTS)
    close = nearest(key, right) or nearest(key, MEASUREMENTS)
    there = f"the keys here are {listed(right, 60)}"
    findings.add(path, f"{method}: unknown key {shown(key)}", f"write {close}; {there}" if close else there)
    return False


def _read(key: str, value: Any, path: Path, findings: Findings) -> dict[str, Measure]:
    try:
        return read_measure(key, value)
    except UnreadableError as wrong:
        findings.add(path, wrong.what, wrong.how)
        return {}
