"""Which beads lie against each other in the braid, and which of them differ too much in size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import zip_longest

from bench.craft.beads import BeadSize, steps_by_one
from bench.craft.findings import Finding, FoundAt
from bench.craft.lattice import Lattice, PlacedBead
from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.craft.words import often


def beside(lattice: Lattice) -> Iterator[tuple[PlacedBead, PlacedBead]]:
    """Every bead with each one that it lies upon or beside, the later one first.

    Those are the last ones before it in its own column and in the columns to both sides, not
    longer ago than a column takes to be filled again.
    """
    last: dict[int, PlacedBead] = {}
    waiting: list[PlacedBead] = []
    for spot in lattice.spots:
        if waiting and waiting[0].cross != spot.cross:
            last.update({earlier.column: earlier for earlier in waiting})
            waiting = []
        for aside in (-1, 0, 1):
            earlier = last.get((spot.column + aside) % lattice.columns)
            if earlier is not None and spot.cross - earlier.cross <= lattice.columns / 2:
                yield spot, earlier
        waiting.append(spot)


def unlike(
    plan: Plan,
    lattice: Lattice | None,
    sizes: Mapping[str, BeadSize],
    said: set[frozenset[str]],
) -> Iterator[Finding]:
    """Find beads that lie side by side and differ by more than one step of size.

    Each pair of letters once, with its first place and how often it comes; none that was `said`.
    Without a lattice the neighbours are taken from the strands in stand order, row by row.
    """
    places: dict[frozenset[str], list[FoundAt]] = {}
    if lattice is not None:
        for one, other in beside(lattice):
            pair = frozenset((one.bead, other.bead))
            if len(pair) == 2 and not steps_by_one(sizes[one.bead], sizes[other.bead]):
                row, _ = plan.row_at(one.cross)
                places.setdefault(pair, []).append(FoundAt(one.strand, row, one.cross))
    else:
        for entry, beads in enumerate(zip_longest(*plan.loads, fillvalue=SKIP)):
            for strand, bead in enumerate(beads, 1):
                other_bead = beads[strand % len(beads)]
                pair = frozenset((bead, other_bead))
                if SKIP in pair or len(pair) < 2:
                    continue
                if not steps_by_one(sizes[bead], sizes[other_bead]):
                    cross = plan.cross_of(strand, entry)
                    row, _ = plan.row_at(cross)
                    places.setdefault(pair, []).append(FoundAt(strand, row, cross))
    guessed = "" if lattice is not None else " (taken in stand order: the columns are not known)"
    for pair, found in places.items():
        if pair in said:
            continue
        small, large = sorted(pair, key=lambda letter: sizes[letter].diameter_mm)
        more = f", {often(len(found))} in all" if len(found) > 1 else ""
        yield Finding(
            "neighbours",
            f"{large} ({sizes[large].name}) lies beside {small} ({sizes[small].name}) in row"
            f" {found[0].row}, strand {found[0].strand}{more}: more than one step of size, so the"
            f" small one is lost between large ones and thread shows{guessed}",
            found[0],
        )
