"""Where the keys of a TOML text stand: a map from key path to line, for error messages."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

KeyPath = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRINGS = ('"""', "'''", '"', "'")


@dataclass(frozen=True, slots=True)
class Place:
    """Where one key, or the head of one table, stands in a text.

    `path`: the whole key, numbers of arrays of tables included; `table`: the table that it stands
    in. `line` counts from 1. The text from `start` to `keys_end` is the key or the head, from there
    to `end` what follows: for a key the equals sign and its value, up to a comment or the line's
    end.
    """

    path: KeyPath
    table: KeyPath
    line: int
    start: int
    keys_end: int
    end: int
    is_head: bool


def places(text: str) -> Iterator[Place]:
    """Walk through a valid TOML text; keys inside an inline table or array are not listed."""
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    position, line = 0, 1
    while position < len(text):
        ch = text[position]
        if ch in " \t\r\n\ufeff":
            position += 1
            line += ch == "\n"
        elif ch == "#":
            position = _line_end(text, position)
        elif ch == "[":
            start, array = position, text.startswith("[[", position)
            keys, keys_end = _keys(text, position + (2 if array else 1))
            table = _placed(keys, counts)
            if array:
                number = counts.get(table, 0)
                counts[table] = number + 1
                table = (*table, number)
            position = _line_end(text, keys_end)
            yield Place(table, table, line, start, keys_end, position, is_head=True)
        else:
            start = position
            keys, keys_end = _keys(text, position)
            position = _value_end(text, keys_end)
            yield Place((*table, *keys), table, line, start, keys_end, position, is_head=False)
            line += text.count("\n", keys_end, position)


def value_span(text: str, place: Place) -> tuple[int, int]:
    """Return where a key's value begins and ends, without spaces and comments around it."""
    position = start = place.keys_end + 1 + _spaces(text, place.keys_end + 1)
    depth = 0
    while position < place.end and not (text[position] == "#" and depth == 0):
        if text[position] in "\"'":
            position = _string_end(text, position)
        elif text[position] == "#":
            position = _line_end(text, position)
        else:
            depth += (text[position] in "[{") - (text[position] in "]}")
            position += 1
    return start, start + len(text[start:position].rstrip())


def _spaces(text: str, position: int) -> int:
    return len(text[position:]) - len(text[position:].lstrip(" \t"))


def key_lines(text: str) -> dict[KeyPath, int]:
    """Return the line, from 1, on which each key or table of a valid TOML text begins.

    Of keys inside an inline table or array `line_of` finds the line of their parent.
    """
    lines: dict[KeyPath, int] = {}
    for place in places(text):
        depths = (
            (len(place.path),)
            if place.is_head
            else range(len(place.table) + 1, len(place.path) + 1)
        )
        for depth in depths:
            lines.setdefault(place.path[:depth], place.line)
    return lines


def line_of(lines: dict[KeyPath, int], key: KeyPath) -> int | None:
    """Return the line of a key, or of the nearest key above it."""
    for depth in range(len(key), 0, -1):
        if key[:depth] in lines:
            return lines[key[:depth]]
    return None


def _placed(keys: list[str], counts: dict[KeyPath, int]) -> KeyPath:
    """Put the number of the open element behind every array of tables on the way."""
    path: KeyPath = ()
    for index, key in enumerate(keys):
        path = (*path, key)
        if index < len(keys) - 1 and path in counts:
            path = (*path, counts[path] - 1)
    return path


def _keys(text: str, position: int) -> tuple[list[str], int]:
    keys: list[str] = []
    while position < len(text) and text[position] not in "=]\n":
        if text[position] in "\"'":
            end = _string_end(text, position)
            keys.append(text[position + 1 : end - 1])
            position = end
        elif match := _BARE.match(text, position):
            keys.append(match[0])
            position = match.end()
        else:
            position += 1
    return keys, position


def _line_end(text: str, position: int) -> int:
    end = text.find("\n", position)
    return len(text) if end < 0 else end


def _string_end(text: str, position: int) -> int:
    quote = next(q for q in _STRINGS if text.startswith(q, position))
    position += len(quote)
    while position < len(text):
        if text[position] == "\\" and quote[0] == '"':
            position += 2
        elif text.startswith(quote, position):
            return position + len(quote)
        else:
            position += 1
    return len(text)


def _value_end(text: str, position: int) -> int:
    depth = 0
    while position < len(text):
        ch = text[position]
        if ch in "\"'":
            position = _string_end(text, position)
            continue
        if ch == "#":
            position = _line_end(text, position)
            continue
        if ch == "\n" and depth == 0:
            return position
        depth += (ch in "[{") - (ch in "]}")
        position += 1
    return len(text)
