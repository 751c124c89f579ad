from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from bench.craft.stand import Stand, order
from bench.craft.structure import Structure, Way
from bench.documents.library import Library

if TYPE_CHECKING:
    from sympy.combinatorics import Permutation

_LIBRARY = Library(Path("/nonexistent"))
NAMES = [entry.name for entry in _LIBRARY.structures()]


def one_round(structure: Structure) -> Permutation:
    """Where each place's strand lies after one round, places counted from 0."""
    from sympy.combinatorics import Permutation

    stand = Stand(structure)
    for _ in structure.round:
        stand.push()
    at = stand.at
    return Permutation([at.index(strand) for strand in range(1, structure.strands + 1)])


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_every_structure(name: str) -> None:
    """The rounds after which all strands are home are the order that sympy gives the round."""
    structure = _LIBRARY.structure(name)
    assert order(structure) == one_round(structure).order()


def test_kongo_of_eight_as_published() -> None:
    """Cords 2 and 6, then 4 and 8, move clockwise; after four pairs of movements all are home.

    facetjewelry.com, Kongoh gumi on the marudai - Braiding, 2016/06: cord 2 to the right of cord 5
    and cord 6 to the left of cord 1, cord 8 above cord 3 and cord 4 below cord 7; active cords are
    always those in positions 2 and 6, and 4 and 8; four pairs of movements bring them home.
    """
    structure = _LIBRARY.structure("kongo-8")
    stand = Stand(structure)
    first, second = stand.push(), stand.push()
    assert {t.strand for t in first if t.kind == "carry"} == {2, 6}
    assert {t.strand for t in second if t.kind == "carry"} == {4, 8}
    assert {t.way for t in (*first, *second) if t.kind == "carry"} == {"clockwise"}
    # Seen from above, the right of cord 5 at the bottom comes before it clockwise.
    assert stand.at.index(2) + 1 == stand.at.index(5)
    assert stand.at.index(6) == 0
    assert stand.at.index(1) == 1
    for _ in range(6):
        carried = {t.start for t in stand.push() if t.kind == "carry"}
        assert carried in ({2, 6}, {4, 8})
    assert stand.at == (1, 2, 3, 4, 5, 6, 7, 8)


def passed(structure: Structure, number: int, start: int, way: Way) -> tuple[int, ...]:
    """Places whose resting strand the strand carried from `start` in a cross passes over.

    `number` counts the crosses of the round from 0. A resting strand is passed if it lies ahead of
    the carried one before the cross and behind it after. Places are named as they were before the
    cross, in the order in which they are passed.
    """
    cross, strands = structure.round[number], structure.strands
    end = next(e for s, e, w in cross.carried if s == start and w == way)
    sign = 1 if way == "clockwise" else -1
    reach = sign * (end - start) % strands
    slides = dict(cross.slide)
    lifted = {s for s, _, _ in cross.carried}
    found: list[int] = []
    for steps in range(1, reach + 1):
        place = (start - 1 + sign * steps) % strands + 1
        if place in lifted:
            continue
        difference = sign * (slides.get(place, place) - place)
        shift = (difference + strands // 2) % strands - strands // 2
        if steps + shift < reach:
            found.append(place)
    return tuple(found)


def crossings(structure: Structure, rounds: int) -> dict[int, list[str]]:
    """Over and under for every strand, as it meets the others: O when carried over, U beneath."""
    stand = Stand(structure)
    met: dict[int, list[str]] = {strand: [] for strand in stand.at}
    for number in range(rounds * len(structure.round)):
        index = number % len(structure.round)
        before = stand.at
        for start, _, way in structure.round[index].carried:
            for place in passed(structure, index, start, way):
                met[before[start - 1]].append("O")
                met[before[place - 1]].append("U")
        stand.push()
    return met


def runs_of(word: list[str]) -> set[int]:
    """The lengths of the runs in an endless repetition of the word."""
    text = "".join(word) * 2
    parts = [len(p) for p in text.replace("OU", "O U").replace("UO", "U O").split()]
    return set(parts[1:-1])


@pytest.mark.parametrize(
    ("name", "over"),
    [
        # D. E. Avery, The New Encyclopedia of Knots, p. 183, square sinnet of eight: each outside
        # strand goes over two; "regular" 2/2 tubular braid of T. Alpyildiz, Textile Research
        # Journal 82(5), 2012, 443-453.
        ("square-8", 2),
        # Derived from the published moves, no source: each carried strand passes two.
        ("kongo-8", 2),
        # The Ashley Book of Knots, 1944, no. 3021, round sinnet: over one, under one.
        ("hollow-8", 1),
        # The Ashley Book of Knots, 1944, nos. 794 and 2999, four-strand sinnet.
        ("round-4", 1),
    ],
)
def test_over_and_under(name: str, over: int) -> None:
    """Every strand goes over and under as many as the published sinnet's."""
    structure = _LIBRARY.structure(name)
    for word in crossings(structure, 4 * order(structure)).values():
        assert runs_of(word) == {over}


def test_the_square_sinnet_has_four_strands_each_way() -> None:
    """The square braid of eight has four strands that climb clockwise and four the other way.

    D. E. Avery, The New Encyclopedia of Knots, p. 183: strands from both sides in turn.
    """
    structure = _LIBRARY.structure("square-8")
    ways: dict[int, set[str]] = {}
    stand = Stand(structure)
    for _ in range(8):
        for transfer in stand.push():
            if transfer.way is not None:
                ways.setdefault(transfer.strand, set()).add(transfer.way)
    assert sorted("".join(w) for w in ways.values()) == ["anticlockwise"] * 4 + ["clockwise"] * 4


@pytest.mark.parametrize(("name", "hand"), [("kongo-8", "S"), ("kongo-8-anticlockwise", "Z")])
def test_the_hand_of_the_strands_helix(name: str, hand: str) -> None:
    """Clockwise work climbs as a left-handed helix, S by ISO 2:1973; anticlockwise work as Z.

    The braid grows downward from the point of braiding, so the older part lies below: seen along
    the braid away from the maker, a strand that goes clockwise seen from above as it rises is a
    left-handed screw. Only the hand's name is checked: the way is the structure's own. One
    source (topcenter.typepad.com, 2016/05) names the stitches the other way.
    """
    structure = _LIBRARY.structure(name)
    angles = structure.place_angles
    stand = Stand(structure)
    turned = 0.0
    for _ in range(8):
        for transfer in stand.push():
            if transfer.strand == 2 and transfer.way is not None:
                sign = 1 if transfer.way == "clockwise" else -1
                step = sign * (angles[transfer.end - 1] - angles[transfer.start - 1]) % 360
                turned += sign * step
    # Clockwise from above while rising: x = sin, y = cos, z up; its torsion is negative.
    assert abs(turned) > 180
    assert ("S" if turned > 0 else "Z") == hand
