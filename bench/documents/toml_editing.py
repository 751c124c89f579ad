"""Changes in a TOML text that leave all else as the maker wrote it.

Comments stay directly above the line that they stood above, also where new keys and tables come
in; line ends, a byte order mark and a missing last newline stay too. A library writes the values;
where they go is worked out here, since a library that writes the whole text lets the comments
before a table drift.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from bench.documents.key_lines import KeyPath, Place, places, value_span

_NUMBERS = frozenset(map(str, range(1, 100)))


def with_value(text: str, path: KeyPath, value: Any) -> str:
    """Return the text with a key set, where it stands or as a new line of its table.

    A table that is not there comes behind the last one whose name begins alike, or at the end.
    """
    known = list(places(text))
    for depth in range(len(path), 0, -1):
        for place in known:
            if place.path == path[:depth] and not place.is_head:
                return _replaced(text, place, path[depth:], value)
    parent = path[:-1]
    head = next((place for place in known if place.is_head and place.path == parent), None)
    if head is None and parent and not any(_below(place.path, parent) for place in known):
        return _new_table(text, known, parent, f"{_key(path[-1])} = {written(value)}")
    inside = [p for p in known if not p.is_head and p.table == (head.path if head else ())]
    alike = [p for p in inside if _below(p.path, parent)]
    if head is None and parent:
        if not alike:
            return _new_table(text, known, parent, f"{_key(path[-1])} = {written(value)}")
        dotted = ".".join(_key(part) for part in path[len(alike[-1].table) :])
        return _inserted(text, alike[-1].end, f"{dotted} = {written(value)}")
    after = alike[-1] if alike else head
    if path[-1] in _NUMBERS:
        # Strands stand in their order.
        lower = [p for p in alike if p.path[-1] not in _NUMBERS or int(p.path[-1]) < int(path[-1])]
        after = lower[-1] if lower else head
    line = f"{_key(path[-1])} = {written(value)}"
    return _inserted(text, after.end, line) if after else line + newline(text) + text


def is_commented(text: str, path: KeyPath) -> bool:
    """Whether a key has a comment directly above it or behind it."""
    for place in places(text):
        if place.path == path and not place.is_head:
            above = _with_comments_above(text, place.start) < _line_start(text, place.start)
            return above or "#" in text[value_span(text, place)[1] : place.end]
    return False


def without(text: str, path: KeyPath) -> str:
    """Return the text without a key or table and without the comments directly above it.

    A key inside an inline table goes from there.
    """
    known = list(places(text))
    for depth in range(len(path), 0, -1):
        for at, place in enumerate(known):
            if place.path != path[:depth] or (place.is_head and depth < len(path)):
                continue
            if depth < len(path):
                return _replaced(text, place, path[depth:], None)
            following = known[at + 1 :]
            if place.is_head:
                following = [other for other in following if not _below(other.path, path)]
            start = _with_comments_above(text, place.start)
            end = place.end
            if place.is_head:
                end = _with_comments_above(text, following[0].start) if following else len(text)
            elif end < len(text):
                end += 1
            return text[:start] + text[end:]
    return text


def with_tables_in_order(text: str, name: str, order: Sequence[int]) -> str:
    """Return the text with the tables of an array in another order, each with its comments above.

    `order`: for each table from the first on, which one stands there now. Arrays whose tables do
    not stand together stay as they are.
    """
    known = list(places(text))
    heads = [place for place in known if place.is_head]
    own = [at for at, place in enumerate(heads) if place.path[:1] == (name,)]
    firsts = [heads[at].start for at in own if len(heads[at].path) == 2]
    if list(order) == sorted(order) or own != list(range(own[0], own[0] + len(own))):
        return text
    starts = [_with_comments_above(text, _line_start(text, at)) for at in firsts]
    after = heads[own[-1] + 1] if own[-1] + 1 < len(heads) else None
    end = _with_comments_above(text, _line_start(text, after.start)) if after else len(text)
    blocks = [text[a:b] for a, b in zip(starts, [*starts[1:], end], strict=True)]
    line = newline(text)
    kept = [blocks[at].rstrip() + line for at in order]
    return text[: starts[0]] + line.join(kept) + (line if after else "") + text[end:]


def written(value: Any) -> str:
    """Return a value as TOML, on one line; a table as an inline one."""
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        table.update(value)
        return table.as_string() if not value else "{ " + table.as_string()[1:-1].strip() + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(written, value)) + "]"
    if isinstance(value, Decimal):
        return f"{value:f}"
    return str(tomlkit.item(value).as_string())


def newline(text: str) -> str:
    """The line end that a text uses."""
    return "\r\n" if "\r\n" in text else "\n"


def _replaced(text: str, place: Place, inside: KeyPath, value: Any) -> str:
    """Write a value, or one inside an inline table or array; None takes it out."""
    start, end = value_span(text, place)
    old = text[start:end]
    if inside:
        import tomlkit

        document = tomlkit.parse(f"x = {old}")
        at: Any = document["x"]
        for part in inside[:-1]:
            at = at[part]
        if value is None:
            del at[inside[-1]]
        else:
            at[inside[-1]] = tomlkit.parse(f"v = {written(value)}")["v"]
        new = str(document.as_string())[len("x = ") :]
    else:
        new = written(value)
        if old[:1] == "'" != old[1:2] and isinstance(value, str) and "'" not in value:
            new = f"'{value}'"
    return text[:start] + new + text[end:]


def _inserted(text: str, at: int, lines: str) -> str:
    """Put lines behind the line that ends at a position."""
    end = newline(text)
    lines = lines.replace("\n", end)
    if at < len(text):
        return text[: at + 1] + lines + end + text[at + 1 :]
    return text + end + lines


def _new_table(text: str, known: list[Place], path: KeyPath, line: str) -> str:
    """Put a new table behind the last one whose name begins alike, else at the end."""
    alike: list[Place] = []
    for depth in range(len(path) - 1, 0, -1):
        alike = alike or [place for place in known if _below(place.path, path[:depth])]
    head = "[" + ".".join(map(_key, path)) + "]"
    if isinstance(path[-1], int):
        head = "[[" + ".".join(map(_key, path[:-1])) + "]]"
    lines = f"\n{head}\n{line}"
    if alike:
        return _inserted(text, alike[-1].end, lines)
    body = text.rstrip("\r\n")
    rest = text[len(body) :]
    return body + (newline(text) + lines.replace("\n", newline(text)) if body else lines[1:]) + rest


def _below(path: KeyPath, parent: KeyPath) -> bool:
    return len(path) > len(parent) and path[: len(parent)] == parent


def _key(part: str | int) -> str:
    import tomlkit

    return tomlkit.key(str(part)).as_string()


def _line_start(text: str, position: int) -> int:
    return text.rfind("\n", 0, position) + 1


def _with_comments_above(text: str, position: int) -> int:
    """Where the lines of comment begin that stand directly above a position's line."""
    start = _line_start(text, position)
    while start > 0:
        above = _line_start(text, start - 1)
        if not text[above:start].lstrip(" \t\ufeff").startswith("#"):
            break
        start = above
    return start
