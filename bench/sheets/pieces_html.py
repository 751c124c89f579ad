"""Sheets of a commission's pieces to print: the inspection, and what is packed and handed over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from bench.craft.words import plural
from bench.sheets.paper import page, safe
from bench.sheets.pieces import failed_said, measures_said, sample_said, share_said
from bench.sheets.words import long_day

if TYPE_CHECKING:
    from bench.answers.pieces import PieceOfLot, PiecesAnswer, ReasonShare

_TO_LOOK_OVER = ("made", "good", "packed", "returned")
_TO_CUSTOMERS = "Small parts, threads and needles: keep them out of the reach of children."


def inspection_html(answer: PiecesAnswer) -> str:
    """A list to tick: each finished piece with its measures, a box for each look."""
    looks = "".join(f'<th class="turned"><span>{safe(look)}</span></th>' for look in answer.looks)
    rows = "".join(
        f"<tr><td>{safe(piece.name)}</td><td>{safe(_measured(piece))}</td>"
        f"{_boxes(piece, answer.looks)}<td>{safe(_verdict(piece, answer.looks))}</td></tr>"
        for piece in answer.pieces
        if piece.status in _TO_LOOK_OVER or piece.inspected is not None
    )
    samples = "".join(f"<li>{safe(sample_said(sample))}</li>" for sample in answer.samples)
    wrong = _shares("Went wrong", answer.reasons) + _shares("Looks failed", answer.looks_failed)
    body = (
        f"<h1>{safe(answer.title)}: inspection</h1><h2>Samples</h2><ul>{samples}</ul>"
        f"<h2>Pieces</h2><table><thead><tr><th>piece</th><th>measured</th>{looks}<th>verdict</th></tr></thead>"
        f"{rows or '<tr><td>none is finished yet</td></tr>'}</table>"
        f"{wrong}"
    )
    style = (
        ".turned { height: 24mm; vertical-align: bottom; } .turned span {"
        " writing-mode: vertical-rl; transform: rotate(180deg); white-space: nowrap; }"
        " ul { margin: 1mm 0; padding-left: 5mm; }"
    )
    return page(f"Inspection: {answer.title}", body, style)


def packing_html(answer: PiecesAnswer) -> str:
    """What goes with the pieces: trays, what was handed over on which day, what is to come."""
    trays = "".join(
        f"<tr><td>{safe(tray.tray)}</td><td>{safe(_counts(tray.lots.items()))}</td>"
        f'<td class="n">{tray.pieces}</td></tr>'
        for tray in answer.trays
    )
    days = sorted({piece.handed_over for piece in answer.pieces if piece.handed_over})
    handed = "".join(_day(day, answer.pieces) for day in days)
    rows = "".join(
        f'<tr><td>{safe(lot.lot)}</td><td class="n">{lot.promised}</td>'
        f'<td class="n">{lot.counts.get("packed", 0)}</td>'
        f'<td class="n">{lot.counts.get("delivered", 0)}</td>'
        f'<td class="n">{max(0, lot.promised - lot.counts.get("delivered", 0))}</td></tr>'
        for lot in answer.lots
    )
    body = (
        f"<h1>{safe(answer.title)}: packing list</h1>"
        '<table><tr><th>lot</th><th class="n">promised</th><th class="n">packed</th>'
        f'<th class="n">handed over</th><th class="n">still to come</th></tr>{rows}</table>'
        + (
            "<h2>In the trays</h2><table><tr><th>tray</th><th>pieces</th>"
            f'<th class="n">in all</th></tr>{trays}</table>'
            if trays
            else ""
        )
        + handed
        + f'<p class="caution">{safe(_TO_CUSTOMERS)}</p>'
    )
    return page(f"Packing list: {answer.title}", body)


def _day(day: str, pieces: Iterable[PieceOfLot]) -> str:
    """What was handed over on a day, with room for a name."""
    lots: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.handed_over == day:
            back = " (back for repair)" if piece.status == "returned" else ""
            lots.setdefault(piece.lot, []).append(f"{piece.number or '–'}{back}")
    rows = "".join(
        f"<tr><td>{safe(lot)}</td><td>no. {safe(', '.join(numbers))}</td>"
        f'<td class="n">{len(numbers)}</td></tr>'
        for lot, numbers in lots.items()
    )
    return (
        f"<h2>Handed over on {safe(long_day(day))}</h2><table>{rows}</table>"
        "<p>received: ______________________________</p>"
    )


def _counts(lots: Iterable[tuple[str, int]]) -> str:
    return ", ".join(f"{plural(count, 'piece')} of {name}" for name, count in lots)


def _measured(piece: PieceOfLot) -> str:
    said = ", ".join(measures_said(piece.length_mm, piece.thickness_mm, piece.weight_g))
    return f"{said}; OFF: {'; '.join(piece.off)}" if piece.off else said


def _shares(head: str, shares: Sequence[ReasonShare]) -> str:
    lines = "".join(f"<li>{safe(share_said(share))}</li>" for share in shares)
    return f"<h2>{head}</h2><ul>{lines}</ul>" if lines else ""


def _boxes(piece: PieceOfLot, looks: Iterable[str]) -> str:
    """A box for each look, to be ticked by hand; crossed where the piece failed it."""
    marks = ("✗" if look in piece.failed else "" for look in looks)
    return "".join(f'<td><span class="tick">{mark}</span></td>' for mark in marks)


def _verdict(piece: PieceOfLot, looks: Iterable[str]) -> str:
    words = ["the sample"] if piece.sample else []
    words += [piece.status] if piece.status != "made" else []
    words += [piece.reason] if piece.reason else []
    words += [failed_said(piece)] if set(piece.failed) - set(looks) else []
    return ", ".join(words)
