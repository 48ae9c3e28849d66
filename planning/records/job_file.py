"""The job file: TOML by hand or from the screens, read into a Job or into every problem it has, each with its line."""

from collections.abc import Callable
from pathlib import Path

from planning.job.job import Job
from planning.job.problem import Problem
from planning.records.job_build import build_job
from planning.records.job_checks import check
from planning.records.job_problems import Findings, read_document
from planning.records.job_scope import KnownMethods, look_through, read_scope
from planning.records.job_syntax import parse, too_much
from planning.records.job_ways import Names
from planning.records.toml_lines import Lines

MOST_BYTES = 1_000_000

MethodsOf = Callable[[], KnownMethods]


def read_job(path: Path, known_methods: MethodsOf | None = None) -> tuple[Job | None, list[Problem]]:
    """The job in a file, or None and everything that is wrong with the file. Never raises for what is in it.

    `known_methods` gives each method's measures; left out, the trade's own methods are asked.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as failed:
        return None, [
            Problem(str(path), 1, f"the file cannot be read ({failed.strerror})", "give the path of a job file")
        ]
    return read_job_bytes(data, str(path), known_methods)


def read_job_bytes(
    data: bytes, file: str, known_methods: MethodsOf | None = None
) -> tuple[Job | None, list[Problem]]:  # fmt: skip
    """As `read_job`, from the file's bytes; `file` is what problems call it."""
    if len(data) > MOST_BYTES:
        return None, [Problem(file, 1, "the file is larger than 1 MB", "a job is a few pages of text: split it")]
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = data.count(b"\n", 0, wrong.start) + 1
        return None, [Problem(file, line, "here is a sign that is not UTF-8", "save the file as UTF-8 text")]
    return read_job_text(text, file, known_methods)


def read_job_text(
    text: str, file: str, known_methods: MethodsOf | None = None
) -> tuple[Job | None, list[Problem]]:  # fmt: skip
    """As `read_job`, from text."""
    text = text.replace("\r\n", "\n")
    too_long = too_much(text)
    if too_long is not None:
        return None, [Problem(file, *too_long, "write what the job needs, or make two jobs of it")]
    lines = Lines(text)
    findings = Findings(file, lines)
    raw = parse(text, findings)
    if raw is None:
        return None, findings.listed()
    names = Names.of(raw)
    doc = read_document(raw, findings)
    check(doc, names, findings)
    known = _known(known_methods)
    scopes = {
        n: tuple(
            read_scope(do, ("room", n, "do", m), findings, known, names.methods)
            for m, do in enumerate(room.do)
            if do is not None
        )
        for n, room in enumerate(doc.room)
        if room is not None
    }
    if findings.listed() or doc.job is None:
        if known_methods is None:
            look_through(doc, scopes, findings)
        return None, findings.listed()
    return build_job(doc, doc.job, file, scopes, lines), []


def _known(known_methods: MethodsOf | None) -> KnownMethods | None:
    """Method -> its measures; None where nobody knows the methods, so that nothing can be said of them."""
    if known_methods is None:
        from planning.trade.methods import known_measures  # here, as reading the trade takes longer than most files

        known_methods = known_measures
    return known_methods() or None
