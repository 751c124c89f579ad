"""The answer about a commission's pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from bench.answers.pieces import (
    LotCounts,
    PieceOfLot,
    PiecesAnswer,
    ReasonShare,
    SampleLine,
    TrayLine,
)
from bench.commission.book import CommissionBook
from bench.commission.finished_stock import StockPiece, given_by
from bench.commission.finished_stock_answer import finished_piece
from bench.commission.inspection import (
    Measures,
    Share,
    deviations,
    failed_words,
    shares,
)
from bench.commission.pieces import (
    LOST,
    STATUSES,
    CommissionPieces,
    LotPiece,
    Sample,
    spare_of,
    waits_for_sample,
)
from bench.documents.settings import ShopSettings
from bench.journal.piece_state import PieceState
from bench.making.reasons import NO_REASON


def pieces_answer(
    book: CommissionBook,
    found: CommissionPieces,
    shop: ShopSettings,
    done: tuple[str, ...],
    *,
    waits: bool,
    stock: Iterable[StockPiece] = (),
) -> PiecesAnswer:
    """Tell of the pieces, their samples, why some did not come out, and the trays.

    `stock`: the finished stock; those that the order gave to it are told.
    """
    return PiecesAnswer(
        commission=book.name,
        title=book.commission.title,
        looks=shop.looks,
        lots=tuple(_lots(book, found)),
        pieces=tuple(_piece(piece, found, shop) for piece in found.pieces),
        samples=tuple(_sample(sample, found) for sample in found.samples),
        reasons=tuple(_reasons(found)),
        looks_failed=tuple(_looks_failed(found)),
        trays=tuple(_trays(found)),
        stock=tuple(map(finished_piece, given_by(stock, book.id))),
        done=done,
        file=None,
        waits=waits,
    )


def _lots(book: CommissionBook, found: CommissionPieces) -> Iterator[LotCounts]:
    for lot in (*book.commission.lots, *found.gone):
        counts = found.counts(lot)
        promised = found.promised(lot)
        yield LotCounts(
            lot=lot.name if lot.pieces else f"{lot.name} (taken out)",
            pieces=lot.pieces,
            promised=promised,
            spare=spare_of(counts, promised),
            counts={status: counts[status] for status in STATUSES if counts[status]},
        )


def _piece(piece: LotPiece, found: CommissionPieces, shop: ShopSettings) -> PieceOfLot:
    sample, scatter = found.sample_of(piece.lot), found.scatter_of(piece.lot)
    state, own = piece.state, piece.measures
    return PieceOfLot(
        piece=state.uuid,
        name=piece.name,
        lot=piece.lot.name,
        number=state.number,
        status=piece.status,
        sample=state.sample,
        tray=state.tray,
        delivered=state.delivered,
        handed_over=state.handed_over,
        reason=state.reason,
        inspected=state.inspected,
        failed=state.failed,
        length_mm=own.length_mm,
        thickness_mm=own.thickness_mm,
        weight_g=own.weight_g,
        off=tuple(one.says for one in deviations(own, sample.measures, shop, scatter)),
    )


def _sample(sample: Sample, found: CommissionPieces) -> SampleLine:
    piece = sample.piece
    own = Measures() if piece is None else piece.measures
    spread = found.scatter_of(sample.lot)
    return SampleLine(
        lot=sample.lot.name,
        piece=None if piece is None else piece.name,
        approved=sample.approved,
        waived=sample.waived,
        waits=bool(waits_for_sample(found, sample.lot)),
        changed=None if sample.change is None else sample.change.said,
        anew=sample.former is not None,
        length_mm=own.length_mm,
        thickness_mm=own.thickness_mm,
        weight_g=own.weight_g,
        scatter_length_mm=_rounded(spread.length_mm),
        scatter_thickness_mm=_rounded(spread.thickness_mm),
        scatter_weight_g=_rounded(spread.weight_g),
    )


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def reason_of(state: PieceState) -> str:
    """Why a piece did not come out well: as it was said, else by the looks that it failed."""
    return state.reason or failed_words(state.failed) or NO_REASON


def _reasons(found: CommissionPieces) -> Iterator[ReasonShare]:
    ended = [p for p in found.pieces if not p.state.open]
    bad = [p for p in ended if p.status in LOST]
    return map(_share, shares([reason_of(p.state) for p in bad], len(ended)))


def _looks_failed(found: CommissionPieces) -> Iterator[ReasonShare]:
    seen = [p.state for p in found.pieces if p.state.inspected is not None]
    return map(_share, shares([look for state in seen for look in state.failed], len(seen)))


def _share(share: Share) -> ReasonShare:
    low, high = round(share.low, 3), round(share.high, 3)
    return ReasonShare(reason=share.reason, count=share.count, of=share.of, low=low, high=high)


def _trays(found: CommissionPieces) -> Iterator[TrayLine]:
    trays: dict[str, Counter[str]] = {}
    for piece in found.pieces:
        if piece.status == "packed":
            trays.setdefault(piece.state.tray, Counter())[piece.lot.name] += 1
    for tray in sorted(trays):
        yield TrayLine(tray=tray, pieces=trays[tray].total(), lots=dict(trays[tray]))
