"""Loads: the ordered beads of one strand, written as counts and letters."""

from __future__ import annotations

import re
from itertools import groupby

from bench.craft.text import Fault, cleaned

MAX_LOAD = 20_000
SKIP = "-"
"""A move of the strand without a bead."""

_GROUP = re.compile(r"(\d*)([a-z-])")
_TOKEN = re.compile(
    r"\s*(?:(?P<times>\d*)\((?P<inside>[^()]*)\)|(?P<plain>\d*[a-z-]))(?=\s|$|\d*\()"
)


class LoadFault(Fault):
    """A load that is none, and the place in its text, from 0, where that begins."""

    def __init__(self, message: str, at: int) -> None:
        super().__init__(message)
        self.at = at


def parse_load(text: str) -> str:
    """Return the beads of a load in order of release, one letter each.

    `3a b` gives `aaab`; `20(3a 2b)` repeats, without nesting; `2-` is two moves without a bead.
    Raises LoadFault with what was found, and where.
    """
    beads: list[str] = []
    total = 0
    position = 0
    stripped = text.rstrip()
    while position < len(stripped):
        at = position + len(stripped[position:]) - len(stripped[position:].lstrip())
        match = _TOKEN.match(stripped, position)
        if match is None:
            rest = cleaned(stripped[at:], 20)
            message = f"'{rest}' is not a count and a bead letter such as 3a or 20(3a 2b)"
            raise LoadFault(message, at)
        try:
            if match["plain"] is not None:
                part = _group(match["plain"])
            else:
                inside = "".join(_group(word) for word in match["inside"].split())
                part = _repeat(inside, _count(match["times"]))
        except Fault as fault:
            raise LoadFault(str(fault), at) from None
        total += len(part)
        if total > MAX_LOAD:
            raise LoadFault(f"the load is longer than {MAX_LOAD} beads", at)
        beads.append(part)
        position = match.end()
    return "".join(beads)


def write_load(beads: str) -> str:
    """Return a load as counts and letters: `aaab` gives `3a 1b`."""
    return " ".join(f"{count}{letter}" for letter, count in equal_runs(beads))


def equal_runs(beads: str) -> list[tuple[str, int]]:
    """Return the runs of equal beads as (letter, count)."""
    return [(letter, len(list(group))) for letter, group in groupby(beads)]


def _group(word: str) -> str:
    match = _GROUP.fullmatch(word)
    if match is None:
        raise Fault(f"'{cleaned(word, 20)}' is not a count and a bead letter such as 3a")
    return _repeat(match[2], _count(match[1]))


def _count(digits: str) -> int:
    count = int(digits[:9]) if digits else 1
    if count == 0:
        raise Fault("a count of 0 makes no sense; leave the group out")
    return count


def _repeat(part: str, count: int) -> str:
    if len(part) * count > MAX_LOAD:
        raise Fault(f"the load is longer than {MAX_LOAD} beads")
    return part * count
