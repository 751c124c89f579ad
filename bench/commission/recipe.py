"""The recipe of a sample as it was made, and what is different by now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bench.answers.recipe import RecipeAnswer, RecipeBead
from bench.commission.again import lacking, pace_differs
from bench.commission.bead_kind import kind_of
from bench.commission.book import CommissionBook
from bench.commission.needs import needs_of
from bench.commission.overview import worked_lots
from bench.commission.pieces import GOOD, CommissionPieces, LotPiece, read_pieces
from bench.commission.progress import lot_works
from bench.commission.stock_tubes import read_shelf
from bench.commission.tube_book import read_tubes
from bench.craft.cutting import passing
from bench.craft.pattern import canonical
from bench.craft.text import Fault
from bench.documents.commission import Lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.events import fingerprint
from bench.journal.frozen import frozen_work
from bench.journal.payloads import Loaded
from bench.journal.piece_times import piece_times
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeDrawn
from bench.making.braid import Braid
from bench.making.loading_sheet import bead_rows
from bench.making.worked_pattern import WorkedPattern, stand_weights_of
from bench.pace.model import Model


def sample_piece(found: CommissionPieces, lot: Lot) -> LotPiece:
    """The piece that a lot's recipe is taken from: the sample, else the first good one."""
    signed = found.sample_of(lot)
    sample = signed.piece or signed.former
    if sample is not None:
        return sample
    good = [p for p in found.of_lot(lot) if p.status in ("made", "good", "packed", "delivered")]
    if not good:
        raise Fault(f"no piece of '{lot.name}' is made yet; its recipe is that of its sample")
    return good[0]


def read_recipe(
    journal: Journal,
    library: Library,
    settings: Settings,
    book: CommissionBook,
    lot: Lot,
    model: Model,
    pieces: int = 1,
) -> RecipeAnswer:
    """Read the recipe of a lot, and what so many pieces more would have differently.

    model: the maker's pace of today. Raises Fault where no piece of the lot was made here,
    DocumentError or Fault for a pattern or stock that is wrong.
    """
    found = read_pieces(journal, book)
    piece = sample_piece(found, lot)
    made = WorkedPattern.for_piece(Braid(journal, piece.state.uuid), settings)
    shelf = read_shelf(journal, library)
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    works = lot_works(library, book.commission.model_copy(update={"lots": (lot,)}))
    (today,) = worked_lots(journal, library, settings, works, weighed)
    told = _recipe(journal, book, lot, piece, made, settings)
    needs = needs_of(lot.name, [replace(today, pieces=pieces)], shelf, settings)
    differs = (
        *_differs(told, pieces, piece.state.hash, today.made),
        pace_differs(_took_h(journal, found.of_lot(lot)), today.made, model),
        *(lacking(needs) if shelf.file is not None else ()),
    )
    return replace(told, pieces=pieces, differs=tuple(filter(None, differs)))


def _took_h(journal: Journal, pieces: Sequence[LotPiece]) -> float | None:
    """The mean hours of the lot's good pieces that were timed."""
    good = [piece.state.uuid for piece in pieces if piece.status in GOOD]
    spent = [
        piece_times(journal.timed(uuid), frozen_work(journal.started(uuid))).spent_s
        for uuid in good
    ]
    timed = [seconds for seconds in spent if seconds > 0]
    return sum(timed) / len(timed) / 3600 if timed else None


def _recipe(
    journal: Journal,
    book: CommissionBook,
    lot: Lot,
    piece: LotPiece,
    made: WorkedPattern,
    settings: Settings,
) -> RecipeAnswer:
    """Tell a recipe. `made`: the pattern as the piece keeps it."""
    started = journal.started(piece.state.uuid)
    if started is None:
        raise Fault(f"{piece.name} was only typed in; a recipe is of a piece made here")
    own, pattern = piece.measures, made.pattern
    beads = tuple(_beads(journal, piece, made))
    found = passing(made.plan, made.sizes)
    weights = stand_weights_of(settings, made.plan.strands)
    day = dt.datetime.fromtimestamp(piece.state.last_wall, dt.UTC).astimezone().date()
    return RecipeAnswer(
        commission=book.name,
        lot=lot.name,
        piece=piece.name,
        pattern=started.pattern_name,
        title=pattern.title,
        size=started.size,
        colourway=started.colourway,
        version=started.hash[:12],
        made_on=day.isoformat(),
        loads=made.plan.loads,
        beads=beads,
        thread=pattern.threads.name,
        cut=made.thread_said(settings),
        needles=found.needles if found is not None else "none: there are no beads",
        tama_g=weights.tama_g,
        counterweight_g=None if made.weighing is None else round(made.weighing.start_g, 1),
        length_mm=own.length_mm,
        thickness_mm=own.thickness_mm,
        weight_g=own.weight_g,
        pieces=1,
        differs=(),
        begun=None,
        file=None,
        waits=False,
    )


def _beads(journal: Journal, piece: LotPiece, made: WorkedPattern) -> Iterator[RecipeBead]:
    tubes = read_tubes(journal)
    loaded = {said.tube for _, said in journal.each(Loaded, piece.state.uuid)}
    drawn = {said.tube for _, said in journal.each(TubeDrawn, piece.state.uuid)}
    used = {tube for tube in loaded | drawn if tube is not None}
    own = [tubes[tube] for tube in sorted(used) if tube in tubes]
    for row in bead_rows(made):
        kind = kind_of(row)
        fits = [tube for tube in own if tube.kind == kind]
        lots = {tube.taken.dye_lot for tube in fits}
        left = sum(
            max(0.0, tube.held)
            for tube in tubes.values()
            if tube.kind == kind and tube.taken.dye_lot in lots
        )
        yield RecipeBead(
            letter=row.bead,
            size=row.size,
            shape=row.shape,
            name=row.name,
            colour=row.colour,
            count=row.count + row.core,
            dye_lots=tuple(sorted(filter(None, lots))),
            numbers=tuple(sorted({t.taken.number for t in fits} - {""})),
            left=round(left),
        )


def _differs(
    told: RecipeAnswer, pieces: int, hash_: str | None, today: WorkedPattern
) -> Iterator[str]:
    """What so many pieces more would have differently: the pattern, the dye lots."""
    if fingerprint(canonical(today.pattern), canonical(today.structure)) != hash_:
        yield "the pattern has another version by now; `versions` tells what was changed"
    for bead in told.beads:
        wanted = pieces * bead.count
        if bead.dye_lots and bead.left < wanted:
            lots = ", ".join(bead.dye_lots)
            yield f"of {bead.size} {bead.name}, dye lot {lots}, {bead.left} are left for {wanted}"
