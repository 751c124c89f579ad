"""The sheets of `inspect` and `pack`, in plain text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import plural
from bench.sheets.finished import stock_said
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.pieces import PieceOfLot, PiecesAnswer, ReasonShare, SampleLine


def inspection_lines(answer: PiecesAnswer, width: int = WIDTH) -> list[str]:
    """What `inspect` prints: samples, pieces with what is off, and how often it went wrong."""
    lines = [f"{cleaned(answer.title)}: inspection", ""]
    lines += headed("LOOK AT", "; ".join(answer.looks), width=width)
    for sample in answer.samples:
        lines += headed("SAMPLE", sample_said(sample), width=width)
    lines.append("")
    for piece in answer.pieces:
        lines += headed(cleaned(piece.name, 22), _piece(piece), indent=24, width=width)
    for head, found in (("WENT WRONG", answer.reasons), ("FAILED", answer.looks_failed)):
        for share in found:
            lines += headed(head, cleaned(share_said(share)), width=width)
    return [*lines, *_done(answer, width)]


def share_said(share: ReasonShare) -> str:
    """How often a reason occurred, or a look was failed, and between which shares that lies."""
    between = f"8 in 10: {share.low:.0%} to {share.high:.0%}"
    return f"{share.reason}: {share.count} of {share.of} ({between})"


def packing_lines(answer: PiecesAnswer, width: int = WIDTH) -> list[str]:
    """What `pack` prints: what is promised and spare, by lot and state; what lies in which tray."""
    lines = [f"{cleaned(answer.title)}: packing", ""]
    for lot in answer.lots:
        counts = ", ".join(f"{count} {status}" for status, count in lot.counts.items())
        spare = f"; {lot.spare} spare" if lot.spare else ""
        said = f"{counts or 'nothing'}; {lot.promised} promised{spare}"
        lines += headed(cleaned(lot.lot, 22), said, indent=24, width=width)
    lines.append("")
    for tray in answer.trays:
        lots = ", ".join(f"{count} {name}" for name, count in tray.lots.items())
        said = f"{plural(tray.pieces, 'piece')}: {lots}"
        lines += headed(cleaned(f"tray {tray.tray}", 22), said, indent=24, width=width)
    for piece in answer.stock:
        lines += headed("finished stock", stock_said(piece), indent=24, width=width)
    return [*lines, *_done(answer, width)]


def sample_said(sample: SampleLine) -> str:
    """How the sample of a lot stands."""
    if sample.anew and sample.waived is None:
        waits = "; the lot waits" if sample.waits else ""
        return f"{sample.lot}: a new sample is needed: {sample.changed}{waits}"
    if sample.piece is not None:
        measures = ", ".join(measures_said(sample.length_mm, sample.thickness_mm, sample.weight_g))
        held = (
            f", {measures}"
            if measures
            else "; nothing of it is measured: pieces are held to nothing"
        )
        said = f"{sample.lot}: {sample.piece}{held}"
        if sample.approved:
            said += f"; approved by the customer on {sample.approved}"
        if sample.changed is not None:
            said += f"; look at it, its beads were changed since: {sample.changed}"
        own = (
            (sample.scatter_length_mm, ".1f", "mm of length"),
            (sample.scatter_thickness_mm, ".2f", "mm of thickness"),
            (sample.scatter_weight_g, ".2f", "g"),
        )
        known = [f"{value:{form}} {of}" for value, form, of in own if value is not None]
        return said + (f"; your own good pieces scatter by {', '.join(known)}" if known else "")
    if sample.waived is not None:
        return f"{sample.lot}: not waited for ({sample.waived})"
    return f"{sample.lot}: none is signed off yet" + ("; the lot waits" if sample.waits else "")


def failed_said(piece: PieceOfLot) -> str:
    """The looks that a piece failed."""
    return "failed " + ", ".join(f"“{look}”" for look in piece.failed)


def _piece(piece: PieceOfLot) -> str:
    parts = [piece.status + (f" ({piece.reason})" if piece.reason else "")]
    parts += [failed_said(piece)] if piece.failed else []
    parts += measures_said(piece.length_mm, piece.thickness_mm, piece.weight_g)
    if piece.sample:
        parts.append("the sample")
    said = ", ".join(parts)
    return f"{said}   OFF: {'; '.join(piece.off)}" if piece.off else said


def measures_said(
    length_mm: float | None, thickness_mm: float | None, weight_g: float | None
) -> Iterator[str]:
    """What a piece measured, as far as it was."""
    if length_mm is not None:
        yield f"{length_mm:.1f} mm"
    if thickness_mm is not None:
        yield f"{thickness_mm:.1f} mm thick"
    if weight_g is not None:
        yield f"{weight_g:.2f} g"


def _done(answer: PiecesAnswer, width: int) -> list[str]:
    return [line for text in answer.done for line in headed("DONE", cleaned(text), width=width)]
