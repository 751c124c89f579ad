"""Beads that touch and look alike: which touch, and by which light or eyes they are alike."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.pattern import Bead, ColourChange
from bench.design.braid_map import braid_map
from bench.design.colours import alike_pairs
from bench.design.sheet import Cell, Sheet
from tests.support.boards import board, structure

LOADS = st.lists(st.text("abcd-?", max_size=9), min_size=8, max_size=8)
NAMES = ("kongo-8", "kongo-8-anticlockwise", "hollow-8")


def all_alike(name: str, loads: list[str]) -> Sheet:
    """A sheet whose beads all look alike, so that those that touch are told."""
    beads = {letter: Bead(size="11/0", colour="#808080") for letter in "abcd"}
    frame = structure(name)
    bare = board().with_pattern(beads=beads, structure=name)
    return Sheet(bare.pattern, frame, tuple(loads)).with_loads(loads)


@cache
def beside(name: str, cell: Cell) -> tuple[Cell, ...]:
    """The cells that one touches, or the next on its strand without a lattice."""
    lies = braid_map(structure(name), board().pattern.plain_start)
    return lies.neighbours(cell) or (Cell(cell.strand, cell.row + 1),)


@settings(max_examples=40)
@given(st.sampled_from(NAMES), LOADS)
def test_those_are_told_that_touch(name: str, loads: list[str]) -> None:
    """Cell by cell: each neighbour of each bead, or the next on its strand without a lattice."""
    sheet = all_alike(name, loads)
    touching = set()
    for strand, load in enumerate(sheet.loads, 1):
        for row, letter in enumerate(load, 1):
            for cell in beside(name, Cell(strand, row)):
                touching.add(frozenset((letter, sheet.at(cell))))
    wanted = {pair for pair in combinations("abcd", 2) if frozenset(pair) in touching}
    assert {pair.beads for pair in alike_pairs(sheet)} == wanted


@pytest.mark.parametrize(
    ("one", "other", "seen"),
    [
        ("#9fb8c8", "#9fb8ca", "by daylight"),
        ("#eb5125", "#eb1543", "by lamplight"),
        ("#a05000", "#508000", "without red cones"),
        ("#c06000", "#60a000", "without green cones"),
        ("#2080a0", "#208060", "without blue cones"),
        ("#000000", "#ffffff", None),
    ],
)
def test_each_light_and_each_kind_of_eyes_is_tried(one: str, other: str, seen: str | None) -> None:
    """Told by the first of daylight, lamplight and the three kinds of cones that may lack."""
    sheet = all_alike("kongo-8", ["abab"] * 8)
    beads = {"a": Bead(size="11/0", colour=one), "b": Bead(size="11/0", colour=other)}
    found = alike_pairs(sheet.with_pattern(beads=beads))
    assert [pair.seen for pair in found] == ([] if seen is None else [seen])
    looks = {"b": ColourChange(colour=one)}
    dyed = sheet.with_pattern(beads=beads, colourways={"dyed": looks})
    assert [pair.apart for pair in alike_pairs(dyed, "dyed")] == [0.0]
