"""One commission, read from the library and the journal: how it stands and what it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bench.commission.awaited import Awaited, awaited_of
from bench.commission.begun import begun_pieces
from bench.commission.book import open_book
from bench.commission.identity import with_ids
from bench.commission.inspection import Outcomes, outcomes_of
from bench.commission.lot_refs import OrderLots
from bench.commission.materials import Materials, materials_of
from bench.commission.materials_used import MaterialsUsed, materials_used
from bench.commission.needs import WorkedLot, needs_of
from bench.commission.other_orders import OtherOrder, other_orders, others_said
from bench.commission.pieces import read_pieces
from bench.commission.progress import (
    CommissionProgress,
    LotWork,
    lot_works,
    progress_of,
)
from bench.commission.stock_tubes import read_shelf
from bench.commission.tube_book import begun_with
from bench.commission.undrawn import undrawn_said
from bench.craft.bead_weighings import WeighedBeads
from bench.craft.words import plural
from bench.documents.commission import Commission
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.documents.stock import Shelf
from bench.journal.clock import Instant
from bench.journal.frozen import frozen_work
from bench.journal.piece_times import DAY_S, PieceTimes, piece_times
from bench.journal.store import Journal
from bench.making.calibration import calibrations_of
from bench.making.kept_worked import kept_worked
from bench.pace.model import Model
from bench.pace.records import Variant
from bench.pace.weeks import Weeks, weeks_of, whole_weeks


@dataclass(frozen=True)
class Overview:
    """A commission with how it stands, its lots as needs take them, and what the materials cost."""

    progress: CommissionProgress
    needs: tuple[WorkedLot, ...]
    """Every lot with all its pieces, made or not."""
    shelf: Shelf
    materials: Materials | None
    """None where the stock has no price for any of them."""
    used: MaterialsUsed
    """What tubes gave for its pieces."""
    outcomes: Outcomes
    notes: tuple[str, ...]
    """What the maker should know of pieces that count for no lot."""
    awaited: Awaited
    """Which lots wait for their sample."""
    others: tuple[OtherOrder, ...]
    """What is still to be made of other accepted orders."""


def read_overview(
    journal: Journal,
    library: Library,
    settings: Settings,
    name: str,
    pieces: Sequence[PieceTimes],
    loose: Mapping[Variant, int],
    model: Model,
    now: Instant,
    days: Mapping[int, float] | None = None,
    instead: Commission | None = None,
) -> Overview:
    """Read how a commission stands.

    Args:
        journal: has the pieces in the making and what was measured.
        library: has the commission and its patterns; the stock lies in its folder.
        settings: hours a week, rate, overhead and margin.
        name: the commission's name or file.
        pieces: the times of the commission's finished pieces; others do no harm.
        loose: how many good pieces were started for no commission.
        model: the maker's pace.
        now: the present moment.
        days: seconds at the bench of finished pieces by UTC day; None for the set hours a week.
        instead: the commission as it might be, in place of what its file says.

    Raises DocumentError or Fault for a wrong commission, pattern or stock, JournalError.

    """
    book = open_book(library, journal, name)
    if instead is None:
        library.check_lots(library.commission_path(name), book.commission)
    else:
        book = replace(book, commission=with_ids(book.name, instead))
    commission, lots = book.commission, book.lots(journal)
    awaited = awaited_of(read_pieces(journal, book), commission)
    others = other_orders(journal, library, book.id)
    works = lot_works(library, commission)
    shelf = read_shelf(journal, library)
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    needs = begun_lots(journal, library, settings, lots, works, weighed)
    whole = needs_of(commission.title, needs, shelf, settings)
    materials = materials_of(whole, shelf.stock, settings.thumb)
    known = materials is not None and materials.currency == settings.work.currency
    making = list(begun_pieces(journal, lots))
    stands = progress_of(
        book.name, commission, works, pieces, making, model, settings, now,
        materials.amount if materials is not None and known else None,
        None if days is None else _weeks(journal, days, settings, now), lots,
        awaited.to_make, [jobs for order in others for _, jobs in order.lots],
    )  # fmt: skip
    untimed = _untimed_said(stands.untimed) if stands.price is not None else ()
    notes = (
        *_off(lots),
        *(others_said(others, commission, model) if stands.finish is not None else ()),
        *untimed,
        *_notes(lots, commission, pieces, loose),
        *undrawn_said(journal, lots),
    )
    outcomes = outcomes_of(journal.pieces(open_only=False))
    used = materials_used(journal, lots)
    return Overview(stands, needs, shelf, materials, used, outcomes, notes, awaited, others)


def begun_lots(
    journal: Journal,
    library: Library,
    settings: Settings,
    lots: OrderLots,
    works: Sequence[LotWork],
    weighed: Sequence[WeighedBeads],
) -> tuple[WorkedLot, ...]:
    """The lots of a commission worked up, each with the dye lots that it is begun with."""
    begun = begun_with(journal, lots.refs)
    worked = worked_lots(journal, library, settings, works, weighed)
    return tuple(
        replace(lot, begun=begun.get(lots.ref(work.lot), {}))
        for lot, work in zip(worked, works, strict=True)
    )


def worked_lots(
    journal: Journal,
    library: Library,
    settings: Settings,
    works: Sequence[LotWork],
    weighed: Sequence[WeighedBeads],
) -> Iterator[WorkedLot]:
    """Work the lots' patterns up as measured pieces and weighed beads have corrected them.

    Lots of one pattern, size and colourway share it.
    """
    lots = {work.lot.kind: work.lot for work in works}
    known = {
        kind: kept_worked(library, settings, lots[kind].pattern, kind, calibration)
        for kind, calibration in calibrations_of(journal, settings, [*lots], weighed).items()
    }
    for work in works:
        yield WorkedLot(work.lot.name, known[work.lot.kind], work.lot.pieces)


def _weeks(journal: Journal, days: Mapping[int, float], settings: Settings, now: Instant) -> Weeks:
    """The weeks as they were, with what was done of pieces in the making."""
    known = Counter(days)
    for state in journal.pieces():
        work = frozen_work(journal.started(state.uuid)) if state.hash else None
        if state.open and work is not None:
            known.update(dict(piece_times(journal.timed(state.uuid), work).days))
    today = int(now.wall // DAY_S)
    return weeks_of(whole_weeks(known, today), settings.work.hours_per_week)


def _untimed_said(pieces: int) -> tuple[str, ...]:
    """Say what a price takes for pieces whose hours are not known; nothing if there are none."""
    if not pieces:
        return ()
    return (f"of {plural(pieces, 'good piece')} no hours are known: the price takes your pace",)


def _off(lots: OrderLots) -> Iterator[str]:
    """Say that the order is cancelled, if it is."""
    if lots.cancelled is not None:
        yield f"cancelled on {lots.cancelled.words}: nothing of it is to be made"


def _notes(
    lots: OrderLots,
    commission: Commission,
    pieces: Sequence[PieceTimes],
    loose_of: Mapping[Variant, int],
) -> Iterator[str]:
    """Say how many finished pieces were started for no lot, or for one that is gone."""
    kinds = {lot.kind for lot in commission.lots}
    loose = sum(loose_of.get(kind, 0) for kind in kinds)
    if loose:
        said = "piece of its patterns is in no lot, and counts"
        if loose > 1:
            said = "pieces of its patterns are in no lot, and count"
        yield f"{loose} finished {said} for the pace alone"
    known = {lot.id for lot in commission.lots}
    own = (lots.lot_of(piece) for piece in pieces if not piece.trial)
    gone = sum(lot is not None and lot not in known for lot in own)
    if gone:
        said = "piece belongs to a lot that the commission no longer has, and counts"
        if gone > 1:
            said = "pieces belong to a lot that the commission no longer has, and count"
        yield f"{gone} {said} for the pace alone"
