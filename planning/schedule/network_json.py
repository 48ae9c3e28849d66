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
Writer = Callable[[Any], Any]


class WireError(ValueError):
    """The values are not what they were said to be; the message names the field and what belongs there."""


def to_dict(thing: Network | Solution | Limits) -> dict[str, Any]:
    """As values that `json.dumps` takes: objects, sequences, numbers, texts. Fields at their default are left out."""
    kind: Any = type(thing)
    write = _writer(kind)
    assert write is not None
    written: dict[str, Any] = write(thing)
    return written


def from_dict(kind: type[T], values: Mapping[str, Any]) -> T:
    """The thing of that kind which `to_dict` made these values from. Raises WireError."""
    wanted: Any = kind
    found = _reader(wanted)(values)
    assert isinstance(found, kind)
    return found


# writing


@cache
def _writer(kind: Any) -> Writer | None:
    """A function that turns a value of that type into JSON values, made once per type; None: it is one already."""
    origin, args = get_origin(kind), get_args(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _record_writer(kind)
    if origin in (UnionType, Union):
        (inner,) = (_writer(arg) for arg in args if arg is not type(None))
        return None if inner is None else lambda value: None if value is None else inner(value)
    if origin is tuple and args[-1] is ...:
        each = _writer(args[0])
        return None if each is None else lambda values: [each(value) for value in values]
    if origin is tuple and any(_writer(arg) is not None for arg in args):
        writers = [_writer(arg) for arg in args]
        return lambda values: [v if w is None else w(v) for w, v in zip(writers, values, strict=True)]
    if origin is Mapping:
        other = _writer(args[1])
        return dict if other is None else lambda values: {key: other(value) for key, value in values.items()}
    return None


def _record_writer(kind: type) -> Writer:
    hints = get_type_hints(kind)
    writers = [(each.name, _default(each), _writer(hints[each.name])) for each in fields(kind)]

    def write(record: Any) -> dict[str, Any]:
        found = {}
        for name, default, writer in writers:
            value = getattr(record, name)
            if value is not default and value != default:
                found[name] = value if writer is None else writer(value)
        return found

    return write


def _default(each: "Field[Any]") -> Any:
    if each.default is not MISSING:
        return each.default
    return MISSING if each.default_factory is MISSING else each.default_factory()


# reading


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
        wanted = kind[0] if isinstance(kind, tuple) else kind
        raise WireError(f"{str(value)[:40]!r} stands where {wanted.__name__} belongs")
    return value


def _tuple(args: tuple[Any, ...]) -> Reader:
    if len(args) == 2 and args[1] is ...:
        read = _reader(args[0])
        return lambda values: tuple([read(each) for each in _an((list, tuple), values)])
    readers = [_reader(arg) for arg in args]

    def exact(values: Any) -> tuple[Any, ...]:
        if len(_an((list, tuple), values)) != len(readers):
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
