"""Typed values out of JSON and back: frozen dataclasses, checked field by field.

A field's type says what its JSON must be: `int`, `float`, `str`, `bool`, a `Literal`, `X | None`,
`tuple[X, ...]` or `tuple[X, Y]` (a list there), a dataclass (an object there), `dict` (any
object), and any of these `Annotated` with its `Limits`, as a `Range`. A key is its field's name,
without an underscore at its end. What has a default may be left out, and is left out where it is
just that.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from types import UnionType
from typing import (
    Annotated,
    Any,
    Literal,
    Protocol,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

T = TypeVar("T")
_Reader = Callable[[Any], Any]
_PLAIN = {str, int, float, bool, type(None)}


@dataclass(frozen=True, slots=True)
class Range:
    """Numbers from `least` to `most`, both included."""

    least: float
    most: float

    def holds(self, number: float) -> bool:
        """Whether a number is one of them."""
        return self.least <= number <= self.most


class Limits(Protocol):
    """What values of a type a field takes."""

    def holds(self, value: Any, /) -> bool:
        """Whether it takes this one."""


@dataclass(frozen=True, slots=True)
class _Field:
    name: str
    key: str
    default: object
    read: _Reader


def shown(text: str, most: int = 40) -> str:
    """Return foreign text fit to stand in a message: quoted, printable, cut."""
    cut = text if len(text) <= most else text[:most] + "…"
    return "'" + "".join(c if c.isprintable() else "?" for c in cut) + "'"


def brief(value: object) -> str:
    """Return a foreign value fit to stand in a message."""
    return shown(value) if isinstance(value, str) else shown(repr(value))[1:-1]


def read(model: type[T], data: Mapping[str, object]) -> T:
    """Return the model that an object holds.

    Raises ValueError; its text goes on from the object's name: "lacks 'to'".
    """
    values = {}
    for field in _fields(model):
        if field.key in data:
            value = data[field.key]
            try:
                values[field.name] = field.read(value)
            except ValueError:
                raise ValueError(f"has a wrong {field.key!r}: {brief(value)}") from None
        elif field.default is MISSING:
            raise ValueError(f"lacks {field.key!r}")
    if len(values) < len(data):
        known = keys(model)
        odd = next(key for key in data if key not in known)
        raise ValueError(f"has no key {shown(str(odd))}")
    return model(**values)


def as_json(value: object) -> Any:
    """Return a typed value as what JSON can hold."""
    if type(value) in _PLAIN:
        return value
    if is_dataclass(value):
        return {
            field.key: as_json(said)
            for field in _fields(type(value))
            if (said := getattr(value, field.name)) != field.default
        }
    if isinstance(value, tuple):
        return [as_json(one) for one in value]
    return value


def keys(model: type[object]) -> dict[str, bool]:
    """Return the keys of a model's object, each with whether it must be there."""
    return {field.key: field.default is MISSING for field in _fields(model)}


_KNOWN: dict[Any, tuple[_Field, ...]] = {}


def _fields(model: Any) -> tuple[_Field, ...]:
    known = _KNOWN.get(model)
    if known is None:
        known = _KNOWN[model] = _fields_of(model)
    return known


def _fields_of(model: Any) -> tuple[_Field, ...]:
    hints = get_type_hints(model, include_extras=True)
    return tuple(
        _Field(f.name, f.name.rstrip("_"), f.default, _reader(hints[f.name]))
        for f in fields(model)
        if f.init
    )


def _reader(form: Any) -> _Reader:
    """Return what reads a value of a type; it raises ValueError where the value is of another."""
    origin, parts = get_origin(form), get_args(form)
    if origin is Annotated:
        return _within(_reader(parts[0]), parts[1])
    if origin is Literal:
        return _one_of(parts)
    if origin in (Union, UnionType):
        return _either([_reader(part) for part in parts])
    if origin is tuple:
        if parts[-1] is Ellipsis:
            return _list_of(_reader(parts[0]))
        return _row_of([_reader(part) for part in parts])
    if is_dataclass(form):
        return _object_of(form)
    return _real if form is float else _plain(origin or form)


def _plain(wanted: Any) -> _Reader:
    def take(value: Any) -> Any:
        if type(value) is not wanted:
            raise ValueError
        return value

    return take


def _real(value: Any) -> Any:
    if type(value) not in (int, float):
        raise ValueError
    try:
        number = float(value)
    except OverflowError:
        raise ValueError from None
    if not math.isfinite(number):
        raise ValueError
    return number


def _within(reader: _Reader, limits: Limits) -> _Reader:
    def take(value: Any) -> Any:
        found = reader(value)
        if not limits.holds(found):
            raise ValueError
        return found

    return take


def _one_of(words: Iterable[object]) -> _Reader:
    known = tuple(words)

    def take(value: Any) -> Any:
        if not isinstance(value, str) or value not in known:
            raise ValueError
        return value

    return take


def _either(readers: Iterable[_Reader]) -> _Reader:
    ways = tuple(readers)

    def take(value: Any) -> Any:
        for reader in ways:
            try:
                return reader(value)
            except ValueError:
                continue
        raise ValueError

    return take


def _list_of(reader: _Reader) -> _Reader:
    def take(value: Any) -> Any:
        if type(value) is not list:
            raise ValueError
        return tuple([reader(one) for one in value])

    return take


def _row_of(readers: Iterable[_Reader]) -> _Reader:
    each = tuple(readers)

    def take(value: Any) -> Any:
        if type(value) is not list or len(value) != len(each):
            raise ValueError
        return tuple(reader(one) for reader, one in zip(each, value, strict=True))

    return take


def _object_of(model: Any) -> _Reader:
    def take(value: Any) -> Any:
        if type(value) is not dict:
            raise ValueError
        return read(model, value)

    return take


__all__ = ["Range", "as_json", "brief", "keys", "read", "shown"]
