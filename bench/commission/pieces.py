"""The pieces of a commission: each in exactly one state, with its measures and its sample."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, TypeAlias, TypeVar, get_args

from bench.commission.account import Account
from bench.commission.book import CommissionBook
from bench.commission.inspection import Measures, scatters
from bench.commission.lot_number import Settled, next_number, numbers_apart
from bench.commission.sample_changes import SampleChange, changed_since
from bench.craft.text import Fault, cleaned
from bench.documents.commission import Lot
from bench.journal.commission_payloads import CommissionUndone, SampleApproved, SampleWaived
from bench.journal.payload_base import Payload
from bench.journal.piece_state import GIVEN_UP, PieceState
from bench.journal.store import Journal

Status = Literal[
    "planned", "loading", "setting up", "braiding", "drying", "finishing", "made", "good",
    "second", "spoilt", "packed", "delivered", "returned", "given up",
]  # fmt: skip
STATUSES: tuple[Status, ...] = get_args(Status)
IN_HAND: tuple[Status, ...] = ("loading", "setting up", "braiding", "drying", "finishing")
LOST: tuple[Status, ...] = ("second", "spoilt", "given up")
"""Pieces in these states did not come out as they should."""
GOOD: tuple[Status, ...] = ("made", "good", "packed", "delivered")
"""Pieces in these states count for their lot."""
_LIVE: tuple[Status, ...] = (*IN_HAND, *GOOD, "returned")
"""Pieces in these states need no other one in their place."""
_OF_STAGE: Mapping[str, Status] = {
    "load": "loading", "set_up": "setting up", "braid": "braiding", "dry": "drying",
    "finish": "finishing",
}  # fmt: skip


P = TypeVar("P", bound=Payload)
Said: TypeAlias = tuple[str, P]
"""What an event says, behind the event's id."""


@dataclass(frozen=True)
class LotPiece:
    """A piece of a lot: how it stands."""

    state: PieceState
    lot: Lot

    @property
    def measures(self) -> Measures:
        """What it measured, each figure as last."""
        return _measures(self.state)

    @property
    def name(self) -> str:
        """What it is called on tags and lists."""
        number = "" if self.state.number is None else f" {self.state.number}"
        return f"{self.lot.name}{number}"

    @property
    def status(self) -> Status:
        """The one state that it is in."""
        return status_of(self.state)

    @property
    def keeps_promise(self) -> bool:
        """Whether it counts for its lot, also while it is repaired."""
        return self.status in (*GOOD, "returned")


@dataclass(frozen=True)
class Sample:
    """How the sample of a lot's pattern, size and colourway stands.

    `approval`: of the customer, `waiver`: that it is not waited for, each with its event's id.
    `change`: what of the pattern was changed since; where a new one is needed for that, `piece` is
    None and `former` the one that was it. `like`: what the piece measured that the lot was begun
    like.
    """

    lot: Lot
    piece: LotPiece | None
    approval: Said[SampleApproved] | None
    waiver: Said[SampleWaived] | None
    change: SampleChange | None = None
    former: LotPiece | None = None
    like: Measures | None = None

    @property
    def measures(self) -> Measures:
        """What the lot's pieces are held against: the sample, else the piece it was begun like."""
        return self.like or Measures() if self.piece is None else self.piece.measures

    @property
    def approved(self) -> str | None:
        """The day on which the customer approved it."""
        return None if self.approval is None else self.approval[1].day

    @property
    def waived(self) -> str | None:
        """Why it is not waited for."""
        return None if self.waiver is None else self.waiver[1].reason

    @property
    def signed_off(self) -> bool:
        """Whether the lot need not wait any more."""
        return self.piece is not None or self.waiver is not None


@dataclass(frozen=True)
class CommissionPieces:
    """All pieces of a commission that were begun, trials left out, and its samples."""

    pieces: tuple[LotPiece, ...]
    samples: tuple[Sample, ...]
    left: Mapping[str, tuple[int | None, ...]]
    """By the lot's id the numbers of pieces that were in it and left it."""
    settled: Mapping[str, Settled]
    """What became of pieces that were made beyond a lowered count, by the lot's id."""
    of_gone: tuple[Sample, ...] = ()
    """The samples of lots that were taken out of the order and have pieces."""

    def promised(self, lot: Lot) -> int:
        """How many pieces of a lot the customer gets."""
        return self.settled.get(lot.id or "", Settled()).promised(lot.pieces)

    def of_lot(self, lot: Lot) -> tuple[LotPiece, ...]:
        """The pieces of a lot."""
        return tuple(piece for piece in self.pieces if piece.lot.id == lot.id)

    def counts(self, lot: Lot) -> Counter[Status]:
        """How many pieces of a lot are in each state; those not begun are planned."""
        found = Counter(piece.status for piece in self.of_lot(lot))
        live = sum(found[status] for status in _LIVE)
        found["planned"] = max(0, self.promised(lot) - live)
        return found

    def numbers(self, lot: Lot) -> list[int]:
        """The numbers of the pieces that count for a lot, as many as it has; those to begin last.

        No number of a piece that did not come out good is among them, for none is given twice.
        """
        known = self.begun_numbers(lot)
        first = self.next_number(lot)
        planned = range(first, first + max(0, self.promised(lot) - len(known)))
        return [*known, *planned][: self.promised(lot)]

    def scatter_of(self, lot: Lot) -> Measures:
        """How much each measure of a lot's good pieces scatters; None of fewer than five."""
        return self._scatters.get(lot.id or "", Measures())

    @cached_property
    def _scatters(self) -> Mapping[str, Measures]:
        good: dict[str, list[Measures]] = {}
        for piece in self.pieces:
            if piece.status in GOOD:
                good.setdefault(piece.lot.id or "", []).append(piece.measures)
        return {lot: scatters(measures) for lot, measures in good.items()}

    def begun_numbers(self, lot: Lot) -> list[int]:
        """The numbers of the pieces that count for a lot and are begun."""
        live = (p for p in self.of_lot(lot) if p.status in _LIVE)
        return sorted(piece.state.number for piece in live if piece.state.number is not None)

    def next_number(self, lot: Lot) -> int:
        """The number for a lot's next piece."""
        there = (piece.state.number for piece in self.of_lot(lot))
        return next_number((*there, *self.left.get(lot.id or "", ())))

    def sample_of(self, lot: Lot) -> Sample:
        """The sample that a lot's pieces are held against."""
        samples = (*self.samples, *self.of_gone)
        return next(sample for sample in samples if sample.lot.id == lot.id)

    @property
    def gone(self) -> tuple[Lot, ...]:
        """The lots that were taken out of the order and have pieces: lots of no pieces."""
        return tuple(sample.lot for sample in self.of_gone)

    def of_id(self, uuid: str) -> LotPiece | None:
        """The piece of an id; None where it is none of the order's."""
        return next((piece for piece in self.pieces if piece.state.uuid == uuid), None)

    def called(self, name: str) -> tuple[LotPiece, ...]:
        """The pieces of a name: a lot's, 'Plum 3', or the beginning of an id. Raises Fault."""
        found = tuple(p for p in self.pieces if name in (p.name, p.lot.name, p.lot.id))
        if not found and len(name) >= 6:
            found = tuple(p for p in self.pieces if p.state.uuid.startswith(name))
        if not found:
            known = ", ".join(piece.name for piece in self.pieces[:6]) or "none is begun"
            raise Fault(f"there is no piece '{cleaned(name, 40)}'; there are: {known}")
        return found

    def one_called(self, name: str) -> LotPiece:
        """The piece of a name, or of the beginning of an id. Raises Fault for several, and none."""
        found = self.called(name)
        if len(found) > 1:
            known = ", ".join(f"{piece.name} ({piece.state.uuid[:8]})" for piece in found[:6])
            raise Fault(f"'{cleaned(name, 40)}' is {len(found)} pieces; say which one: {known}")
        return found[0]


def status_of(state: PieceState) -> Status:
    """The one state that a piece is in; a second is one wherever it lies, and counts for no lot.

    What left the finished stock is in no lot either: sold, lent or given away it is delivered, lost
    it is given up.
    """
    if state.open:
        if state.stage is not None:
            return _OF_STAGE[state.stage]
        return "setting up" if "load" in state.stages_done else "braiding"
    if state.away is not None:
        return "given up" if state.away.how == "lost" else "delivered"
    if state.status == GIVEN_UP:
        return "spoilt" if state.inspected == "spoilt" else "given up"
    if state.status == "second":
        return "second"
    if state.returned:
        return "returned"
    if state.delivered is not None:
        return "delivered"
    if state.tray:
        return "packed"
    return "good" if state.inspected == "good" else "made"


def read_pieces(journal: Journal, book: CommissionBook) -> CommissionPieces:
    """Read the pieces of a commission, whatever their lots were called when they were begun."""
    lots = {lot.id: lot for lot in (*book.commission.lots, *_taken_out(book))}
    own = book.lots(journal)
    found = []
    left: dict[str, tuple[int | None, ...]] = {}
    for state in journal.pieces(open_only=False):
        for ref, number in own.refs.left(state):
            if ref.order == own.order:
                left[ref.lot] = (*left.get(ref.lot, ()), number)
        lot = lots.get(own.lot_of(state))
        if lot is not None and state.counts:
            found.append(LotPiece(state, lot))
    found = list(_numbered(found, left))
    at = {lot: place for place, lot in enumerate(lots)}
    found.sort(key=lambda p: (at[p.lot.id], p.state.number or 0, p.state.uuid))
    undone = {said.event for _, said in journal.each(CommissionUndone, book.id)}
    waived = {
        said.lot: (event.uuid, said)
        for event, said in journal.each(SampleWaived, book.id)
        if event.uuid not in undone
    }
    approved = {
        said.piece: (event.uuid, said)
        for event, said in journal.each(SampleApproved, book.id)
        if event.uuid not in undone
    }
    signed = [p for p in found if p.state.sample and p.status not in LOST]
    changed = {p.state.uuid: changed_since(journal, book.library, p.state, p.lot) for p in signed}
    samples = [
        replace(_sample(lot, signed, changed, approved, waived), like=_like(journal, lot))
        for lot in lots.values()
    ]
    settled = book.history.settled(book.commission)
    count = len(book.commission.lots)
    begun = {piece.lot.id for piece in found}
    out = tuple(sample for sample in samples[count:] if sample.lot.id in begun)
    return CommissionPieces(tuple(found), tuple(samples[:count]), left, settled, out)


def _measures(state: PieceState) -> Measures:
    said = state.measured
    if said is None:
        return Measures()
    return Measures(said.length_mm, said.thickness_mm, said.weight_g)


def _like(journal: Journal, lot: Lot) -> Measures | None:
    """What the piece measured that a lot was begun like; None where it is not known here."""
    try:
        return None if lot.like is None else _measures(journal.state(lot.like.piece))
    except KeyError:
        return None


def _taken_out(book: CommissionBook) -> Iterable[Lot]:
    """The lots that the order had and has no more, as lots of no pieces."""
    now = {lot.id for lot in book.commission.lots}
    versions = (version.commission for version in book.history.versions)
    gone = {lot.id: lot for one in versions for lot in one.lots if lot.id not in now}
    return (lot.model_copy(update={"pieces": 0}) for lot in gone.values())


def _numbered(
    pieces: Sequence[LotPiece], left: Mapping[str, Iterable[int | None]]
) -> Iterator[LotPiece]:
    """The pieces with numbers of which no two of a lot are alike."""
    given: dict[str, dict[str, int | None]] = {}
    for piece in pieces:
        given.setdefault(piece.lot.id or "", {})[piece.state.uuid] = piece.state.number
    numbers = {lot: numbers_apart(of_lot, left.get(lot, ())) for lot, of_lot in given.items()}
    for piece in pieces:
        number = numbers[piece.lot.id or ""][piece.state.uuid]
        is_given = number == piece.state.number
        yield piece if is_given else replace(piece, state=replace(piece.state, number=number))


def _sample(
    lot: Lot,
    signed: Sequence[LotPiece],
    changed: Mapping[str, SampleChange | None],
    approved: Mapping[str, Said[SampleApproved]],
    waived: Mapping[str, Said[SampleWaived]],
) -> Sample:
    own = [piece for piece in signed if piece.lot.kind == lot.kind]
    waiver = waived.get(lot.id or "")
    for piece in own:
        change = changed[piece.state.uuid]
        if change is None or not change.remade:
            return Sample(lot, piece, approved.get(piece.state.uuid), waiver, change)
    if not own:
        return Sample(lot, None, None, waiver)
    return Sample(lot, None, None, waiver, changed[own[-1].state.uuid], own[-1])


def could_be_sample(found: CommissionPieces, lot: Lot) -> list[LotPiece]:
    """The pieces of a lot, begun or made, of which one can be its sample as its pattern is now."""
    sample = found.sample_of(lot)
    begun = [p for p in found.of_lot(lot) if p.status in (*IN_HAND, *GOOD)]
    if sample.change is not None and sample.former is not None:
        return [piece for piece in begun if piece.state.hash == sample.change.mark]
    return begun


def waits_for_sample(found: CommissionPieces, lot: Lot) -> str:
    """Why no further piece of a lot is to be begun yet; "" if one can be, or is the sample."""
    sample, begun = found.sample_of(lot), could_be_sample(found, lot)
    anew = ""
    if sample.change is not None and sample.former is not None:
        anew = f", a new one since its pattern was changed ({sample.change.said})"
    if sample.signed_off or not begun:
        return ""
    return (
        f"{lot.name} waits for the sign-off of its sample{anew}: finish {begun[0].name}, measure it"
        " and sign it off, or waive it with a reason"
    )


def to_be_told(account: Account) -> str:
    """What is to be told once before anything is loaded; "" if nothing is."""
    missing = account.deposit_missing
    if account.acceptance is None or not missing:
        return ""
    return f"{missing} {account.acceptance.said.currency} of the deposit have not come in yet"


def spare_of(counts: Mapping[Status, int], promised: int) -> int:
    """Good pieces beyond what is promised."""
    return max(0, sum(counts.get(status, 0) for status in GOOD) - promised)


def numbered_names(pieces: Iterable[LotPiece]) -> str:
    """Names of pieces in a sentence."""
    names = [piece.name for piece in pieces]
    return ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
