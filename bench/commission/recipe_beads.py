"""The beads of a piece as it was loaded, and what is left of their dye lots."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bench.answers.recipe import DyeLotLeft, RecipeBead
from bench.commission.bead_kind import kind_of
from bench.commission.tube_book import Tube, read_tubes
from bench.journal.payloads import Loaded
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeDrawn
from bench.making.loading_sheet import bead_rows
from bench.making.worked_pattern import WorkedPattern


def recipe_beads(journal: Journal, piece: str, made: WorkedPattern) -> Iterator[RecipeBead]:
    """The beads of a piece, by its id, with the dye lots that it was loaded from.

    made: the pattern as the piece keeps it.
    """
    tubes = read_tubes(journal)
    loaded = {said.tube for _, said in journal.each(Loaded, piece)}
    drawn = {said.tube for _, said in journal.each(TubeDrawn, piece)}
    used = loaded | drawn
    for row in bead_rows(made):
        kind = kind_of(row)
        there = [tube for tube in tubes.values() if tube.kind == kind]
        own = [tube for tube in there if tube.id in used]
        lots = {tube.taken.dye_lot for tube in own}
        yield RecipeBead(
            letter=row.bead,
            size=row.size,
            shape=row.shape,
            name=row.name,
            colour=row.colour,
            count=row.count + row.core,
            core=row.core,
            dye_lots=tuple(sorted(filter(None, lots))),
            numbers=tuple(sorted({tube.taken.number for tube in own} - {""})),
            left=tuple(_left(there, lots)),
        )


def _left(tubes: Sequence[Tube], used: set[str]) -> Iterator[DyeLotLeft]:
    """What is left of each dye lot of one bead, those that were used first."""
    lots = {tube.taken.dye_lot for tube in tubes}
    for lot in sorted(lots, key=lambda lot: (lot not in used, lot)):
        held = sum(max(0.0, tube.held) for tube in tubes if tube.taken.dye_lot == lot)
        yield DyeLotLeft(dye_lot=lot, left=round(held), used=lot in used)
