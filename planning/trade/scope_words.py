"""Names in one `[[room.do]]` that name nothing: places, parts, skipped and changed steps, material classes."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from planning.job.scope import Scope
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import how_to_write, wrong_class
from planning.trade.methods import Method
from planning.trade.references import slug


@dataclass(frozen=True, slots=True)
class WrongWord:
    """One such name. `place`: where it stands in the table, such as ("skip", 0) or ("leveler",)."""

    place: tuple[str | int, ...]
    what: str
    how: str


def by_keys(scope: Scope, method: Method) -> Scope:
    """The scope with its skipped and changed steps named by their keys, where he named them by their titles."""
    keys = {row.key for row in method.row}
    titles = {slug(row.title): row.key for row in method.row}

    def key(said: str) -> str:
        return said if said in keys else titles.get(slug(said), said)

    changes = tuple(replace(change, step=key(change.step)) for change in scope.change)
    return replace(scope, skip=tuple(map(key, scope.skip)), change=changes)


def wrong_words(method: Method, scope: Scope, parts: Collection[str]) -> Iterator[WrongWord]:
    """Places that the method has not, parts that the room has not, steps to skip or change that are none."""
    scope = by_keys(scope, method)
    for place, part in scope.on.items():
        if place not in method.places:
            yield WrongWord(("on",), f'{method.key} has no place "{place}"', how_to_write(place, method.places))
        elif part not in parts:
            yield WrongWord(("on",), f'there is no part "{part}"', how_to_write(part, parts))
    keys = [row.key for row in method.row]
    for n, key in enumerate(scope.skip):
        if key not in keys:
            yield WrongWord(("skip", n), f'{method.key} has no step "{key}" to skip', how_to_write(key, keys))
    for n, change in enumerate(scope.change):
        if change.step not in keys:
            what = f'{method.key} has no step "{change.step}" to change'
            yield WrongWord(("change", n), what, how_to_write(change.step, keys))


def wrong_classes(method: Method, scope: Scope, known: Mapping[str, MaterialClass]) -> Iterator[WrongWord]:
    """Classes chosen for a slot that do not exist, or that are of another family than the slot's own."""
    for slot, common in method.classes.items():
        asked, ours = scope.measures.get(slot), known.get(common)
        if isinstance(asked, str) and ours is not None and (wrong := wrong_class(slot, asked, ours, known)) is not None:
            yield WrongWord((slot,), *wrong)
