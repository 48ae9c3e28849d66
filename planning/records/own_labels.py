"""The setter's own label numbers, kept for all his jobs: one small file of his, in the shape of a job file's labels.

    [[material]]
    class = "thin-set"
    walk = "18 h"

`MUDDAY_LABELS` names another file, so that tests and trials leave the setter's own alone. Two windows that write at
the same instant are not kept apart: the later one wins for the whole file.
"""

import os
import sys
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from planning.job.job import Job, OwnMaterial
from planning.job.problem import Problem
from planning.records.atomic import write_text
from planning.records.not_saved import NotSaved

VARIABLE = "MUDDAY_LABELS"
FILE_NAME = "labels.toml"
MOST_BYTES = 200_000
HEAD = "# Your own label numbers, used for every job. mudday adds to this file when you note a label.\n\n"


@dataclass(frozen=True, slots=True)
class KeptLabels:
    """What the file says: numbers by class, and what is wrong in it."""

    labels: Mapping[str, OwnMaterial] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()


def labels_path(environ: Mapping[str, str] = os.environ, system: str = sys.platform) -> Path | None:
    """Where the file lies: in the user's folder for settings. None when this user has no folder of his own."""
    if environ.get(VARIABLE):
        return Path(environ[VARIABLE])
    try:
        home = Path.home()
    except RuntimeError:
        return None
    if system == "win32":
        return Path(environ.get("APPDATA") or home / "AppData" / "Roaming") / "mudday" / FILE_NAME
    if system == "darwin":
        return home / "Library" / "Application Support" / "mudday" / FILE_NAME
    return Path(environ.get("XDG_CONFIG_HOME") or home / ".config") / "mudday" / FILE_NAME


def labels_text(path: Path | None = None) -> str:
    """The file's text as it is; "" when there is none or it cannot be read. Cheap: reads one small file."""
    found = path or labels_path()
    if found is None:
        return ""
    try:
        with found.open("rb") as file:
            return file.read(MOST_BYTES).decode("utf-8-sig", errors="replace")
    except OSError:
        return ""


def labels_said(path: Path | None = None) -> str:
    """What the file says, without empty lines and lines that are remarks: for the hash of a plan's inputs."""
    lines = (line.strip() for line in labels_text(path).splitlines())
    return "\n".join(line for line in lines if line and not line.startswith("#"))


def read_labels(path: Path | None = None) -> KeptLabels:
    """The numbers the setter keeps, and every mistake of the file at once. A file that is not there says nothing."""
    from planning.records.job_build import own_material
    from planning.records.job_problems import Findings, read_document
    from planning.records.job_syntax import parse
    from planning.records.toml_lines import Lines

    text = labels_text(path)
    if not text.strip():
        return KeptLabels()
    lines = Lines(text)
    findings = Findings(str(path or labels_path()), lines)
    raw = parse(text, findings)
    if raw is None:
        return KeptLabels({}, tuple(findings.listed()))
    for table in [name for name in raw if name != "material"]:
        findings.add((table,), f"[{table}] is no table of your label numbers", "write [[material]] tables only")
        del raw[table]
    document = read_document(raw, findings)
    found: dict[str, OwnMaterial] = {}
    for n, each in enumerate(document.material):
        if each is None:
            continue
        if each.class_ in found:
            findings.add(("material", n), f"{each.class_} stands here twice", "keep one table a class")
        found[each.class_] = own_material(each, lines.of(("material", n)))
    return KeptLabels(found, (*findings.listed(), *_unknown(found, findings.file)))


def with_own_labels(job: Job) -> tuple[Job, tuple[Problem, ...]]:
    """The job with the numbers the setter keeps under those of its own file, and what is wrong in what he keeps."""
    from planning.trade.labels import with_kept_labels

    kept = read_labels()
    return with_kept_labels(job, kept.labels), kept.problems


def _unknown(found: Mapping[str, OwnMaterial], file: str) -> list[Problem]:
    from planning.trade.materials import common_classes
    from planning.trade.measures_of_room import how_to_write

    known = common_classes()
    return [
        Problem(file, own.line, f'label of "{key}", which is no material class', how_to_write(key, known))
        for key, own in found.items()
        if key not in known
    ]


def keep_label(material: str, said: Mapping[str, str | None], path: Path | None = None) -> None:
    """Write numbers of a class into the file, all or nothing; no numbers at all say that ours are right.

    `said` is the key of the file -> its words ("walk" -> "18 h"); None takes a number out, "class" -> None the whole
    class. Remarks and order of the file stay. Raises NotSaved.
    """
    found = path or labels_path()
    if found is None:
        raise NotSaved("there is no folder for your settings; name a file with MUDDAY_LABELS")
    text = labels_text(found)
    changed = _changed(text or HEAD, material, said, found)
    if changed != text:
        try:
            found.parent.mkdir(parents=True, exist_ok=True)
        except OSError as wrong:
            raise NotSaved(f"{found.parent} cannot be made ({wrong.strerror})") from wrong
        write_text(found, changed)


def label_now(material: str, keys: Iterable[str], path: Path | None = None) -> Mapping[str, str | None]:
    """What the file says of a class for these keys, in its words; {"class": None} when it says nothing of it at all.

    Raises NotSaved when the file is no TOML and so cannot be changed either.
    """
    found = path or labels_path()
    text = labels_text(found) if found is not None else ""
    try:
        place = place_of(text, material)
        if place is None:
            return {"class": None}
        have = tomllib.loads(text)["material"][place]
    except (tomllib.TOMLDecodeError, AttributeError, TypeError) as wrong:
        raise NotSaved(f"{found} cannot be changed ({wrong}); put it right first") from wrong
    return {key: str(have[key]) if key in have else None for key in keys}


def _changed(text: str, material: str, said: Mapping[str, str | None], file: Path) -> str:
    from planning.records.job_edit import NotEditedError, add_table, drop_table, set_value, take_out

    drop = "class" in said and said["class"] is None
    try:
        place = place_of(text, material)
        if place is None:
            kept = {key: words for key, words in said.items() if words is not None}
            return text if drop else add_table(text, "material", {"class": material, **kept})
        if drop:
            return drop_table(text, ("material", place))
        have = tomllib.loads(text)["material"][place]
        for key, words in said.items():
            path = ("material", place, key)
            if words is not None:
                text = set_value(text, path, words)
            elif key in have:
                text = take_out(text, path)
        return text
    except (NotEditedError, tomllib.TOMLDecodeError, AttributeError, TypeError, KeyError) as wrong:
        raise NotSaved(f"{file} cannot be changed ({wrong}); put it right first") from wrong


def place_of(text: str, material: str) -> int | None:
    """Which of the text's `[[material]]` tables is that of a class, from 0; None: none is. The text is TOML."""
    tables = tomllib.loads(text).get("material", [])
    return next((n for n, each in enumerate(tables) if each.get("class") == material), None)
