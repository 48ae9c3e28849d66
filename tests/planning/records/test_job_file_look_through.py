"""One mistake does not hide another: names of the trade are looked at though the file has other mistakes."""

from planning.records.job_file import read_job_text

TEXT = """[job]
zone = "UTC"
start = 2026-06-01
[[room]]
id = "powder"
size = "5 x 5 ft"
in_from = ["outside"]
toilet = yes
  [[room.do]]
  method = "level-and-tile-floor"
  leveler = "leveler-rapidd"
  depth = "1/4"
  skip = ["seel"]
  [[room.do]]
  method = "plain-tile-floor"
  leveler = "grout-cement"
[[method]]
key = "mine"
title = "mine"
  [[method.row]]
  key = "a"
  title = "a"
  kind = "glue"
  labour = [{ of = 30 }]
"""


def problems_of(text: str) -> dict[int, str]:
    job, problems = read_job_text(text, "job.toml")
    assert job is None
    return {problem.line: f"{problem.what}; {problem.how}" for problem in problems}


def test_a_bare_yes_asks_for_true() -> None:
    assert "write toilet = true" in problems_of(TEXT)[8]
    assert "write toilet = false" in problems_of(TEXT.replace("= yes", "= No"))[8]


def test_names_of_the_trade_are_told_together_with_the_mistakes_of_form() -> None:
    found = problems_of(TEXT)
    assert set(found) == {8, 11, 12, 13, 16, 20}
    assert 'write "leveler-rapid"' in found[11]
    assert 'write "seal"' in found[13]
    assert "method mine, row 1 (a)" in found[20]


def test_a_class_of_another_family_is_told_what_it_is_and_what_there_is() -> None:
    text = TEXT.replace('leveler = "leveler-rapidd"', 'leveler = "grout-cement"').replace('"plain-tile-floor"', '"x"')
    said = problems_of(text)[11]
    assert "is cement grout" in said
    assert "leveler, leveler-rapid" in said
