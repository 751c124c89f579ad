"""What differs between the values of two documents: keys that went, keys that changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from bench.documents.key_lines import KeyPath
from bench.documents.toml_editing import with_value


def gone(old: Any, new: Any, path: KeyPath = ()) -> Iterator[KeyPath]:
    """The keys that are no more, the last ones of a list first."""
    for key in reversed(list(_keys(old))):
        if key not in _keys(new):
            yield (*path, key)
        elif _are_tables(old[key], new[key]):
            yield from gone(old[key], new[key], (*path, key))


def with_changes(
    text: str,
    old: Mapping[str, Any],
    new: Mapping[str, Any],
    order: Sequence[str],
    has_lines: Callable[[Any, KeyPath], bool],
) -> str:
    """Return a text in which the keys that are new or mean something else are set.

    `order`: of the keys at the top; `has_lines`: whether a new value becomes a table with lines of
    its own; others go on one line.
    """
    for path, value in _changed(old, new, (), order, has_lines):
        text = with_value(text, path, value)
    return text


def _changed(
    old: Any,
    new: Any,
    path: KeyPath,
    order: Sequence[str],
    has_lines: Callable[[Any, KeyPath], bool],
) -> Iterator[tuple[KeyPath, Any]]:
    keys = list(_keys(new))
    if not path:
        keys.sort(key=lambda key: order.index(str(key)))
    for key in keys:
        at = (*path, key)
        before = old[key] if key in _keys(old) else None
        if _are_tables(before, new[key]):
            yield from _changed(before, new[key], at, order, has_lines)
        elif before is None and has_lines(new[key], at):
            yield from _changed({}, new[key], at, order, has_lines)
        elif before != new[key]:
            yield at, new[key]


def _keys(value: Any) -> Any:
    return value.keys() if isinstance(value, Mapping) else range(len(value))


def _are_tables(old: Any, new: Any) -> bool:
    """Whether both are tables, or lists of them, that can be compared key by key."""
    if isinstance(old, list) and isinstance(new, list):
        return all(isinstance(one, Mapping) for one in (*old, *new))
    return isinstance(old, Mapping) and isinstance(new, Mapping)
