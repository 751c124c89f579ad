"""Other accepted orders: what is still to be made of them, and what of it lies on a stand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from bench.commission.before_it import LotJobs
from bench.commission.begun import begun_pieces
from bench.commission.book import CommissionBook, open_book
from bench.commission.pieces import read_pieces
from bench.commission.progress import lot_works, rest_of
from bench.craft.text import Fault
from bench.documents.commission import Commission
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.commission_payloads import CommissionUndone, OfferAccepted
from bench.journal.store import Journal
from bench.pace.model import Model
from bench.pace.work_ahead import works_ahead


@dataclass(frozen=True, slots=True)
class OtherOrder:
    """What is to come of an accepted order: its lots' names with their jobs, the unmade alone."""

    name: str
    title: str
    lots: tuple[tuple[str, LotJobs], ...]


def accepted_ids(journal: Journal) -> frozenset[str]:
    """The ids of the commissions whose offer is accepted."""
    undone = {said.event for _, said in journal.each(CommissionUndone)}
    return frozenset(e.piece for e, _ in journal.each(OfferAccepted) if e.uuid not in undone)


def accepted_books(
    journal: Journal, library: Library, ids: Collection[str]
) -> Iterator[CommissionBook]:
    """The commissions of these ids that are not cancelled; what cannot be read is left out."""
    for entry in library.commissions() if ids else ():
        try:
            book = open_book(library, journal, entry.name)
        except (DocumentError, Fault):
            continue
        if book.id in ids and book.cancelled is None:
            yield book


def other_orders(journal: Journal, library: Library, commission_id: str) -> tuple[OtherOrder, ...]:
    """What is to come of all accepted orders but one."""
    found = []
    for book in accepted_books(journal, library, accepted_ids(journal) - {commission_id}):
        try:
            order = _order(journal, library, book)
        except (DocumentError, Fault):
            continue
        if order.lots:
            found.append(order)
    return tuple(found)


def _order(journal: Journal, library: Library, book: CommissionBook) -> OtherOrder:
    found = read_pieces(journal, book)
    begun = {piece.state.uuid: piece for piece in begun_pieces(journal, book.lots(journal))}
    lots = list[tuple[str, LotJobs]]()
    for work in lot_works(library, book.commission):
        lot = work.lot
        making = [begun[p.state.uuid] for p in found.of_lot(lot) if p.state.uuid in begun]
        rest = [rest_of(piece.times, work) for piece in making]
        jobs = (*rest, *[work.job] * found.counts(lot)["planned"])
        if jobs:
            lots.append((lot.name, LotJobs(book.commission.due_of(lot), jobs)))
    return OtherOrder(book.name, book.commission.title, tuple(lots))


def others_said(
    others: Sequence[OtherOrder], commission: Commission, model: Model
) -> Iterator[str]:
    """Which other orders take hours before a commission is done, a sentence each."""
    days = [due for lot in commission.lots if (due := commission.due_of(lot)) is not None]
    last = max(days, default=None) if len(days) == len(commission.lots) else dt.date.max
    for order in others:
        lots = [lot for _, lot in order.lots if lot.due is not None and last and lot.due <= last]
        jobs = [job for lot in lots for job in lot.jobs]
        if jobs:
            (to_come,) = works_ahead(model, jobs, [(0, len(jobs))])
            first = min(lot.day for lot in lots)
            yield (
                f"'{order.title}' takes {to_come.quantile(0.5) / 3600:.1f} h before this is done:"
                f" it is promised for {first}"
            )
