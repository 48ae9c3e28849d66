"""The file of the setter's own labels: where it lies, what it says, and that a write leaves the rest as it was."""

from pathlib import Path

import pytest

from planning.records.not_saved import NotSaved
from planning.records.own_labels import keep_label, label_now, labels_path, labels_said, read_labels

HOME = {"MUDDAY_LABELS": ""}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "settings" / "labels.toml"


def test_the_variable_names_the_file_before_anything_else() -> None:
    assert labels_path({"MUDDAY_LABELS": "/tmp/mine.toml"}) == Path("/tmp/mine.toml")


@pytest.mark.parametrize(
    ("system", "environ", "ends"),
    [
        ("linux", {"XDG_CONFIG_HOME": "/c"}, "/c/mudday/labels.toml"),
        ("linux", {}, ".config/mudday/labels.toml"),
        ("darwin", {}, "Library/Application Support/mudday/labels.toml"),
        ("win32", {"APPDATA": "/roam"}, "/roam/mudday/labels.toml"),
    ],
)
def test_each_system_has_its_own_folder_for_settings(system: str, environ: dict[str, str], ends: str) -> None:
    found = labels_path(environ, system)
    assert found is not None
    assert found.as_posix().endswith(ends)


def test_a_file_that_is_not_there_says_nothing(file: Path) -> None:
    kept = read_labels(file)
    assert (dict(kept.labels), kept.problems) == ({}, ())


def test_a_kept_number_is_read_back_as_a_job_file_would_read_it(file: Path) -> None:
    keep_label("thin-set", {"walk": "18 h", "water": "5 l", "water_use": "72 h"}, file)
    own = read_labels(file).labels["thin-set"]
    assert own.windows["walk"][0].typical == 18 * 60
    assert own.windows["water"][0].typical == 72 * 60
    assert own.water_l == pytest.approx(5.0)


def test_remarks_and_other_classes_survive_a_write(file: Path) -> None:
    file.parent.mkdir()
    file.write_text('# mine\n[[material]]\nclass = "leveler"  # the gray one\nwalk = "3 h"\n', encoding="utf-8")
    keep_label("thin-set", {"walk": "18 h"}, file)
    keep_label("leveler", {"walk": "4 h"}, file)
    text = file.read_text(encoding="utf-8")
    assert "# mine" in text
    assert "# the gray one" in text
    assert 'walk = "4 h"' in text
    assert set(read_labels(file).labels) == {"leveler", "thin-set"}


def test_what_was_there_before_can_be_put_back_whole(file: Path) -> None:
    keep_label("leveler", {"walk": "3 h"}, file)
    said = labels_said(file)
    for material, new in (("leveler", {"walk": "4 h", "tile": "16 h"}), ("thin-set", {"walk": "18 h"})):
        was = dict(label_now(material, new, file))
        keep_label(material, dict(new), file)
        assert labels_said(file) != said
        keep_label(material, was, file)
        assert labels_said(file) == said


def test_every_mistake_of_the_file_is_told_at_once_with_its_line(file: Path) -> None:
    file.parent.mkdir()
    file.write_text(
        '[[material]]\nclass = "thinset"\nwalk = "8 hx"\n[[material]]\nclass = "leveler"\nwakl = "3 h"\n'
        '[job]\nname = "x"\n[[material]]\nclass = "leveler"\n',
        encoding="utf-8",
    )
    problems = read_labels(file).problems
    assert {each.line for each in problems} == {1, 3, 6, 7, 9}
    assert all(each.file == str(file) and each.how for each in problems)
    assert any("thin-set" in each.how for each in problems)


def test_a_file_that_is_no_toml_is_never_overwritten(file: Path) -> None:
    file.parent.mkdir()
    file.write_text("walk 18 h\n", encoding="utf-8")
    with pytest.raises(NotSaved, match="put it right first"):
        keep_label("thin-set", {"walk": "18 h"}, file)
    assert file.read_text(encoding="utf-8") == "walk 18 h\n"


def test_a_folder_that_cannot_be_made_is_said_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "settings").write_text("a file, not a folder", encoding="utf-8")
    with pytest.raises(NotSaved) as failed:
        keep_label("thin-set", {"walk": "18 h"}, tmp_path / "settings" / "labels.toml")
    assert "\n" not in str(failed.value)
