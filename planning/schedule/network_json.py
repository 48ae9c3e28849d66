"""Networks, solutions and limits as plain JSON values and back, exactly: how they travel to the solver's process.

The shape of the JSON is the shape of the dataclasses, read from their own types, so a field added there needs nothing
here. It is a wire format between two processes of one version, not a file format.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from planning.schedule.network import Network, Solution
from planning.schedule.solver.limits import Limits

T = TypeVar("T", Network, Solution, Limits)
Reader = Callable[[Any], Any]


class WireError(ValueError):
    """The values are not what they were said to be; the message names the field and what belongs there."""


def to_dict(thing: Network | Solution | Limits) -> dict[str, Any]:
    """As plain JSON values: objects, lists, numbers, texts. Fields at their default are left out."""
    plain = _plain(thing)
    assert isinstance(plain, dict)
    return plain


def from_dict(kind: type[T], values: Mapping[str, Any]) -> T:
    """The thing of that kind which `to_dict` made these values from. Raises WireError."""
    wanted: Any = kind
    found = _reader(wanted)(values)
    assert isinstance(found, kind)
    return found


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        pairs = ((each, getattr(value, each.name)) for each in fields(value))
        return {each.name: _plain(v) for each, v in pairs if not _is_default(each, v)}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    return value


def _is_default(each: "Field[Any]", value: Any) -> bool:
    if each.default is not MISSING:
        return bool(value == each.default) and type(value) is type(each.default)
    return each.default_factory is not MISSING and value == each.default_factory()


@cache
def _reader(kind: Any) -> Reader:
    """A function that turns JSON values into a value of that type, made once per type."""
    origin, args = get_origin(kind), get_args(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _record(kind)
    if origin is tuple:
        return _tuple(args)
    if origin is Mapping:
        read = _reader(args[1])
        return lambda values: {key: read(each) for key, each in _an(Mapping, values).items()}
    if origin in (UnionType, Union):
        (other,) = (_reader(arg) for arg in args if arg is not type(None))
        return lambda value: None if value is None else other(value)
    if kind is float:
        return lambda value: float(_an((int, float), value))
    return lambda value: _an(kind, value)


def _an(kind: Any, value: Any) -> Any:
    if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
        raise WireError(f"{str(value)[:40]!r} stands where {getattr(kind, '__name__', kind)} belongs")
    return value


def _tuple(args: tuple[Any, ...]) -> Reader:
    if len(args) == 2 and args[1] is ...:
        read = _reader(args[0])
        return lambda values: tuple([read(each) for each in _an(list, values)])
    readers = [_reader(arg) for arg in args]

    def exact(values: Any) -> tuple[Any, ...]:
        if len(_an(list, values)) != len(readers):
            raise WireError(f"{len(values)} values stand where {len(readers)} belong")
        return tuple([read(each) for read, each in zip(readers, values, strict=True)])

    return exact


def _record(kind: type) -> Reader:
    hints = get_type_hints(kind)
    readers = {each.name: _reader(hints[each.name]) for each in fields(kind)}
    needed = {e.name for e in fields(kind) if e.default is MISSING and e.default_factory is MISSING}

    def record(values: Any) -> Any:
        strange = _an(Mapping, values).keys() - readers.keys()
        if strange or needed - values.keys():
            raise WireError(f"{kind.__name__}: unknown {sorted(strange)}, missing {sorted(needed - values.keys())}")
        found = {}
        for name, value in values.items():
            try:
                found[name] = readers[name](value)
            except WireError as error:
                raise WireError(f"{kind.__name__}.{name}: {error}") from None
        return kind(**found)

    return record
