"""The recipe of a sample as it was made, and what is different by now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from bench.answers.recipe import RecipeAnswer, RecipeBead
from bench.commission.bead_kind import kind_of
from bench.commission.book import CommissionBook
from bench.commission.pieces import CommissionPieces, LotPiece
from bench.commission.tube_book import read_tubes
from bench.craft.cutting import passing
from bench.craft.pattern import canonical
from bench.craft.text import Fault
from bench.documents.commission import Lot
from bench.documents.settings import Settings
from bench.journal.events import fingerprint
from bench.journal.payloads import Loaded
from bench.journal.store import Journal
from bench.making.loading_sheet import bead_rows
from bench.making.worked_pattern import WorkedPattern, stand_weights_of


def sample_piece(found: CommissionPieces, lot: Lot) -> LotPiece:
    """The piece that a lot's recipe is taken from: the sample, else the first good one."""
    sample = found.sample_of(lot).piece
    if sample is not None:
        return sample
    good = [p for p in found.of_lot(lot) if p.status in ("made", "good", "packed", "delivered")]
    if not good:
        raise Fault(f"no piece of '{lot.name}' is made yet; its recipe is that of its sample")
    return good[0]


def recipe_answer(
    journal: Journal,
    book: CommissionBook,
    lot: Lot,
    piece: LotPiece,
    made: WorkedPattern,
    today: WorkedPattern,
    settings: Settings,
) -> RecipeAnswer:
    """Tell a recipe. `made`: the pattern as the piece keeps it; `today`: as the library has it."""
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
        differs=tuple(_differs(started.hash, today, beads)),
        file=None,
    )


def _beads(journal: Journal, piece: LotPiece, made: WorkedPattern) -> Iterator[RecipeBead]:
    tubes = read_tubes(journal)
    used = {
        said.tube for _, said in journal.each(Loaded, piece.state.uuid) if said.tube is not None
    }
    own = [tubes[tube] for tube in sorted(used) if tube in tubes]
    for row in bead_rows(made):
        kind = kind_of(row)
        fits = [tube for tube in own if kind_of(tube.taken) == kind]
        lots = {tube.taken.dye_lot for tube in fits}
        left = sum(
            max(0.0, tube.held)
            for tube in tubes.values()
            if kind_of(tube.taken) == kind and tube.taken.dye_lot in lots
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


def _differs(hash_: str, today: WorkedPattern, beads: Sequence[RecipeBead]) -> Iterator[str]:
    """What another such piece would have differently: the pattern, the dye lots."""
    if fingerprint(canonical(today.pattern), canonical(today.structure)) != hash_:
        yield "the pattern has another version by now; `versions` tells what was changed"
    for bead in beads:
        if bead.dye_lots and bead.left < bead.count:
            lots = ", ".join(bead.dye_lots)
            yield f"of {bead.size} {bead.name}, dye lot {lots}, {bead.left} are left for" \
                  f" {bead.count}"  # fmt: skip
