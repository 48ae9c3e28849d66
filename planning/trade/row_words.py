"""Mistakes in a method or a row that the setter wrote, in plain words: what is wrong and how to write it right."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from planning.job.words import KINDS, QUANTITIES, Barrier, LinkEnd, Service
from planning.quantities.number_words import shown
from planning.quantities.plain_words import listed, nearest
from planning.trade.methods import AmountRow, LabourRow, LinkRow, Method, PlaceRow, Row, Until

Path = tuple[str | int, ...]

EXAMPLES: Mapping[str, str] = {
    "key": 'key = "set-floor"',
    "title": 'title = "set floor"',
    "says": 'says = "set the floor tile"',
    "kind": 'kind = "set"',
    "place": 'place = "floor"',
    "stands_on": 'stands_on = ["floor"]',
    "crew": 'crew = ["set"]',
    "labour": 'labour = [{ of = 90, unit = "min" }]',
    "alone": 'alone = [{ of = 120, unit = "min" }]',
    "pause": "pause = true",
    "divisible": "divisible = true",
    "gear": "gear = { mixers = 1 }",
    "lays": 'lays = "thin-set"',
    "tile": 'tile = "tile"',
    "amounts": 'amounts = { thin-set = "floor_area" }',
    "when": 'when = ["toilet"]',
    "after": 'after = [{ step = "prime", wait = "next_layer" }]',
    "keeps_off": 'keeps_off = { walk = "walk" }',
    "house": 'house = { toilet = "out" }',
    "evidence": 'evidence = ["photo"]',
    "cautions": 'cautions = ["silica"]',
    "small_items": 'small_items = ["tape measure"]',
    "places": "places = { floor = {} }",
    "measures": 'measures = { tile = "12 x 24 x 3/8 in" }',
    "takes": 'takes = ["walls"]',
    "classes": 'classes = { thin_set = "thin-set" }',
    "row": "[[method.row]]",
    "step": 'step = "prime"',
    "wait": 'wait = "next_layer"',
    "within": 'within = "24 h"',
    "rate": 'rate = "set-tile"',
    "per": 'per = "floor_area"',
    "of": "of = [60, 90, 130]",
    "unit": 'unit = "min"',
    "until": '{ until = "flood" }',
}
"""How each key of a method, of a row and of what stands in a row is written."""

HOLDS: Mapping[str, type[BaseModel]] = {
    "row": Row, "labour": LabourRow, "alone": LabourRow, "after": LinkRow, "amounts": AmountRow, "places": PlaceRow,
    "keeps_off": Until,
}  # fmt: skip
"""The table that stands under a key."""

WORDS: Mapping[str, Sequence[str]] = {"kind": KINDS, "per": QUANTITIES, "on": get_args(LinkEnd)}
"""The words that a key may have."""


def mistakes(errors: Sequence[ErrorDetails], model: type[BaseModel] = Method) -> list[tuple[Path, str, str]]:
    """Each mistake once: where it is, what is wrong, how to write it right."""
    found: dict[Path, tuple[Path, str, str]] = {}
    for error in errors:
        path = _place(error["loc"])
        what, how = _said(error, path, _model_at(path[:-1], model))
        found.setdefault(path, (path, what, how))
    return list(found.values())


def _place(loc: Path) -> Path:
    """The path without what pydantic puts in for the branches of a choice of forms."""
    return tuple(each for each in loc if each not in ("str", "Until", "[key]", "float", "tuple[float, float, float]"))


def _model_at(path: Path, model: type[BaseModel]) -> type[BaseModel]:
    for each in path:
        if isinstance(each, str) and each in HOLDS:
            model = HOLDS[each]
    return model


def _said(error: ErrorDetails, path: Path, model: type[BaseModel]) -> tuple[str, str]:
    key = str(path[-1]) if path else ""
    sentence = SENTENCES.get(error["type"], _not_clear)
    return sentence(key, error["input"], path, model)


Sentence = Callable[[str, Any, Path, type[BaseModel]], tuple[str, str]]


def example(path: Path) -> str:
    """How the key on this path is written, or the nearest one around it that has an example."""
    keys = (each for each in reversed(path) if isinstance(each, str) and each in EXAMPLES)
    return next((EXAMPLES[key] for key in keys), 'key = "..."')


def _missing(key: str, _: Any, path: Path, __: type[BaseModel]) -> tuple[str, str]:
    return f"there is no {key}", f"write {example(path)}"


def _unknown_key(key: str, _: Any, __: Path, model: type[BaseModel]) -> tuple[str, str]:
    keys = list(model.model_fields)
    close = nearest(key, keys)
    there = f"the keys here are {listed(keys)}"
    return f"unknown key {shown(key)}", f"write {close}; {there}" if close else there


def _wrong_word(key: str, given: Any, path: Path, _: type[BaseModel]) -> tuple[str, str]:
    words = WORDS.get(key)
    if words is None:  # the key itself is one of a list of words, as in keeps_off and house
        words = get_args(Barrier if "keeps_off" in path else Service)
        given = key
    close = nearest(str(given), words)
    how = f'write {key} = "{close}"; ' if close and key in WORDS else f"write {close}; " if close else ""
    return f"{key}: {shown(given)} is not one of the words here", f"{how}the words are {listed(words)}"


def _not_yes_or_no(key: str, given: Any, _: Path, __: type[BaseModel]) -> tuple[str, str]:
    return f"{key}: {shown(given)} is not true or false", f"write {key} = true or {key} = false, without quotes"


def _not_a_name(key: str, given: Any, path: Path, _: type[BaseModel]) -> tuple[str, str]:
    return (f"{key}: {shown(given)} is not a simple name",
            f"write small letters, digits and dashes, such as {example(path)}")  # fmt: skip


def _not_clear(key: str, given: Any, path: Path, _: type[BaseModel]) -> tuple[str, str]:
    name = next((str(each) for each in reversed(path) if isinstance(each, str)), key)
    said = "a table" if isinstance(given, Mapping) else "a list" if isinstance(given, list | tuple) else shown(given)
    return f"{name}: {said} is not clear", f"write it as {example(path)}"


SENTENCES: Mapping[str, Sentence] = {
    "missing": _missing,
    "extra_forbidden": _unknown_key,
    "literal_error": _wrong_word,
    "bool_parsing": _not_yes_or_no,
    "bool_type": _not_yes_or_no,
    "string_pattern_mismatch": _not_a_name,
}
