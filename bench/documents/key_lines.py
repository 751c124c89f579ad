"""Where the keys of a TOML text stand: a map from key path to line, for error messages."""

from __future__ import annotations

import re

KeyPath = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRINGS = ('"""', "'''", '"', "'")


def key_lines(text: str) -> dict[KeyPath, int]:
    """Return the line, from 1, on which each key or table of a valid TOML text begins.

    Keys inside an inline table or array are not listed; `line_of` falls back on their parent.
    """
    lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    position, line = 0, 1
    while position < len(text):
        ch = text[position]
        if ch in " \t\r\n":
            position += 1
            line += ch == "\n"
        elif ch == "#":
            position = _line_end(text, position)
        elif ch == "[":
            array = text.startswith("[[", position)
            keys, position = _keys(text, position + (2 if array else 1))
            table = _placed(keys, counts)
            if array:
                number = counts.get(table, 0)
                counts[table] = number + 1
                table = (*table, number)
            lines.setdefault(table, line)
            position = _line_end(text, position)
        else:
            keys, position = _keys(text, position)
            for depth in range(1, len(keys) + 1):
                lines.setdefault((*table, *keys[:depth]), line)
            end = _value_end(text, position)
            line += text.count("\n", position, end)
            position = end
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
