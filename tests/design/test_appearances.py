"""The page of appearances, and motifs: what one sees of them."""

from __future__ import annotations

import random

import pytest

from bench.craft.text import Fault
from bench.design.appearances import MOST_BARREN, how_many, listed, sampled
from bench.design.motifs import KINDS, Motif
from bench.design.sheet import Cell
from bench.design.spread import chosen
from tests.support.boards import structure, with_loads


def test_the_list_begins_with_the_quiet_ones_and_names_what_one_sees() -> None:
    """Plain, one stripe, then two neighbours, pairs: each appearance once, under a plain name."""
    found = listed(structure(), 1, 2)
    assert [one.says for one in found[:2]] == ["plain", "one stripe"]
    names = {one.says for one in found}
    assert {"a band of 2 neighbours", "an opposite pair", "all of one colour"} <= names
    assert len({one.beads for one in found}) == 36
    stripe = found[1]
    assert sum(stripe.at(Cell(strand, 7), 8) for strand in range(1, 9)) == 1


def test_too_many_are_sampled_and_never_listed() -> None:
    """Above 500 a list is refused with the count; a sample holds each appearance once."""
    with pytest.raises(ValueError, match="4,150 appearances are too many to list"):
        listed(structure(), 2, 2)
    draw = random.Random(7).randrange
    found = sampled(structure(), 2, 2, 30, draw=draw, most=4)
    assert len({one.beads for one in found}) == len(found) == 30
    assert all(0 < sum(one.beads) <= 4 for one in found)


def test_a_sample_ends_where_nothing_new_comes() -> None:
    """Of three rows with one bead that is not the ground there is one: few draws find no other."""
    draws = []

    def draw(below: int) -> int:
        draws.append(below)
        return random.Random(len(draws)).randrange(below)

    found = sampled(structure(), 3, 2, 60, draw=draw, most=1)
    assert [sum(one.beads) for one in found] == [1]
    assert len(draws) == 3 * (1 + MOST_BARREN)


def test_without_columns_nothing_is_said_to_look_alike() -> None:
    """A structure whose columns are not known has no count of appearances."""
    with pytest.raises(ValueError, match="are not known"):
        how_many(structure("hollow-8"), 1, 2)


def test_every_motif_lays_its_own_cells() -> None:
    """Stripe, spiral, ring, dots and chevron cover so many cells of an eight by eight sheet."""
    sheet = with_loads("a" * 8)
    cells = {
        "stripe": Motif("stripe", "b", 2, 1, 8, width=2),
        "spiral": Motif("spiral", "b", 2, 1, 8, climb=1, number=2),
        "ring": Motif("ring", "b", 2, 1, 8, width=1, repeat=4),
        "dots": Motif("dots", "b", 2, 1, 8, repeat=4, number=4),
        "chevron": Motif("chevron", "b", 2, 1, 8, climb=1, repeat=4),
    }
    assert set(cells) == set(KINDS)
    counts = {kind: len(motif.cells(sheet)) for kind, motif in cells.items()}
    assert counts == {"stripe": 16, "spiral": 16, "ring": 16, "dots": 8, "chevron": 14}
    assert {cell.strand for cell in cells["stripe"].cells(sheet)} == {2, 4}
    with pytest.raises(Fault, match="there are no rows 1 to 9"):
        Motif("stripe", "b", 2, 1, 9).cells(sheet)
    with pytest.raises(Fault, match="number is 9; it can be 1 to 8"):
        Motif("stripe", "b", 2, 1, 8, number=9).cells(sheet)


def test_chosen_strands_are_a_spread() -> None:
    """The strands that the maker chose are reached together, others alone."""
    assert chosen((5, 2)).strands(5) == (2, 5)
    assert chosen((5, 2)).strands(1) == (1,)
