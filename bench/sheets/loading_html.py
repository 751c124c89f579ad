"""The loading sheet as one HTML page that prints in black and white: letters in shapes."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.sheets.loading_words import (
    chosen_said,
    groups_text,
    halves_of,
    marks_said,
    predicted_said,
    proofs_said,
    sample_said,
    scale_said,
    strung_alike,
)
from bench.sheets.words import core_room, cuts_said

if TYPE_CHECKING:
    from bench.answers.core import CorePart
    from bench.answers.loading_sheet import (
        BeadLine,
        GroupLine,
        LoadingSheet,
        StrandLine,
        ThreadLine,
    )


_STYLE = """
@page { size: A4; margin: 8mm 11mm; }
* { box-sizing: border-box; }
body { font: 9pt/1.22 "DejaVu Sans", Arial, sans-serif; color: #000; background: #fff;
       max-width: 188mm; margin: 0 auto; }
h1 { font-size: 17pt; margin: 0; }
h2 { font-size: 9pt; letter-spacing: .06em; text-transform: uppercase; margin: 1.3mm 0 .4mm;
     border-bottom: .4mm solid #000; }
p { margin: .4mm 0; }
table { border-collapse: collapse; width: 100%; }
td, th { text-align: left; padding: .2mm 1.5mm .2mm 0; vertical-align: middle;
         border-bottom: .1mm solid #999; }
th { font-size: 8pt; font-weight: normal; }
.n { text-align: right; padding-right: 2mm; }
.tick { display: inline-block; width: 3.6mm; height: 3.6mm; border: .35mm solid #000;
        vertical-align: -0.6mm; }
.groups { font-weight: bold; white-space: nowrap; }
.run { font-size: 7pt; line-height: 1; display: block; font-weight: normal; }
.g { display: inline-block; text-align: center; margin-right: 2.2mm; }
.thread { break-inside: avoid; margin-top: 1.2mm; }
.thread table { table-layout: fixed; }
.thread td:nth-child(1) { width: 7mm; } .thread td:nth-child(2) { width: 8mm; }
.thread td:nth-child(3) { width: 58mm; } .thread td:nth-child(5) { width: 12mm; }
.say { font-size: 8pt; }
.swatch { display: inline-block; width: 7mm; height: 3mm; border: .2mm solid #000;
          vertical-align: middle; print-color-adjust: exact; }
.cautions { border: .5mm solid #000; padding: 1mm 2mm; margin-top: 2mm; font-size: 8pt;
            columns: 2; column-gap: 5mm; }
.cautions p { break-inside: avoid; }
svg { display: block; max-width: 100%; }
svg text { font: bold 10px "DejaVu Sans", Arial, sans-serif; text-anchor: middle; }
svg .small { font-size: 8px; font-weight: normal; }
"""

_DASHES = ("", "2 1.2", "", "0.8 1.2")
_FILLS = ("#fff", "#fff", "#ddd", "#ddd")
_MOST_DRAWN = 44
"""Beads of a half drawn one by one; longer halves are drawn as groups with counts."""


def sheet_html(sheet: LoadingSheet) -> str:
    """Return the sheet as one HTML page without outside parts; every text is escaped."""
    title = " ".join(filter(None, (sheet.title, sheet.size, sheet.colourway)))
    body = "\n".join(
        (
            _head(sheet),
            _beads(sheet.beads),
            _thread(sheet),
            *(_double(sheet, thread) for thread in sheet.double_lengths),
            _singles(sheet),
            _prove(sheet),
            _core(sheet.core),
            _weight(sheet),
            '<div class="cautions">'
            + "".join(f"<p><b>!</b> {_text(c)}</p>" for c in sheet.cautions)
            + "</div>",
        )
    )
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f"<title>Loading sheet: {_text(title)}</title><style>{_STYLE}</style></head>\n"
        f"<body>\n{body}\n</body></html>\n"
    )


def _text(text: str) -> str:
    return escape(cleaned(text, 1000))


def _head(sheet: LoadingSheet) -> str:
    counts = f"{sheet.crosses} crosses"
    if sheet.rows:
        counts += f", {sheet.rows} rows, {sheet.beads_in_all} beads"
    return (
        f"<h1>{_text(sheet.title)} <small>{_text(chosen_said(sheet))}</small></h1>"
        f"<p>{_text(sheet.structure)}. {counts}. {_text(predicted_said(sheet))}"
        f" {_text(sample_said(sheet))}</p>"
        "<p>Set no. ____________ &nbsp; Dye lots ________________________ &nbsp;"
        " Date ____________</p>"
    )


def bead_svg(letter: str, rows: Sequence[BeadLine], x: float, y: float) -> str:
    """Draw one bead: its letter in a shape, larger for larger beads, edge and fill by letter."""
    row = next(r for r in rows if r.bead == letter)
    least = min(r.diameter_mm for r in rows)
    most = max(r.diameter_mm for r in rows)
    radius = 6.5 if most == least else 5.6 + 3.4 * (row.diameter_mm - least) / (most - least)
    place = [r.bead for r in rows].index(letter)
    dash = _DASHES[place % len(_DASHES)]
    look = f'fill="{_FILLS[place % len(_FILLS)]}" stroke="#000" stroke-width="1"'
    if dash:
        look += f' stroke-dasharray="{dash}"'
    if row.shape == "drop":
        shape = (
            f'<path d="M {x:.1f} {y - radius - 2:.1f} L {x + radius:.1f} {y + radius:.1f}'
            f' L {x - radius:.1f} {y + radius:.1f} Z" {look}/>'
        )
    elif row.shape == "rondelle":
        shape = (
            f'<rect x="{x - radius:.1f}" y="{y - radius * 0.8:.1f}" width="{2 * radius:.1f}"'
            f' height="{1.6 * radius:.1f}" rx="2" {look}/>'
        )
    else:
        shape = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" {look}/>'
        if row.shape == "pearl":
            shape += (
                f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius - 1.6:.1f}" fill="none"'
                ' stroke="#000" stroke-width="0.5"/>'
            )
    return f'{shape}<text x="{x:.1f}" y="{y + 3.6:.1f}">{_text(letter)}</text>'


def _beads(rows: Sequence[BeadLine]) -> str:
    if not rows:
        return "<h2>Beads</h2><p>none</p>"
    lines = "".join(
        f'<tr><td><svg width="19" height="19" viewBox="0 0 22 22">'
        f"{bead_svg(row.bead, rows, 11, 11)}</svg></td>"
        f"<td>{_text(row.size)}</td><td>{_text(row.shape)}</td><td>{_text(row.name)}</td>"
        f'<td><span class="swatch" style="background:{escape(row.colour)}"></span></td>'
        f'<td class="n">{row.count}</td><td class="n">{row.core or "–"}</td>'
        f'<td class="n">{row.count + row.core}</td></tr>'
        for row in rows
    )
    return (
        "<h2>Beads</h2><table><tr><th></th><th>size</th><th>shape</th><th>name</th><th></th>"
        '<th class="n">strung</th><th class="n">core</th><th class="n">in all</th></tr>'
        f"{lines}</table>"
    )


def _thread(sheet: LoadingSheet) -> str:
    part = sheet.thread
    cuts = cuts_said(part.cuts)
    says = "; ".join(part.says[2:])
    strung = ""
    if sheet.rows:
        first = (*sheet.double_lengths, *sheet.single_strands)[0]
        strung = (
            f"<h2>Stringing</h2><p><b>{_text(sheet.strung)}</b>: {_text(first.says)}. The bar is"
            f" the clip ({_text(first.clip)}), the arrow the needle.</p>"
        )
    return (
        f"<h2>Thread and needle</h2><p>{_text(part.name)}: cut <b>{cuts}</b>,"
        f" {part.total_m:.2f} m in all. {_text(part.needle[:1].upper() + part.needle[1:])}.</p>"
        f'<p class="say">{_text(says)}</p>{strung}'
    )


def _double(sheet: LoadingSheet, thread: ThreadLine) -> str:
    halves = halves_of(sheet, thread)
    names = " and ".join(str(s) for s in thread.strands)
    earlier = [t for t in sheet.double_lengths if t.thread < thread.thread]
    twin = next((t for t in earlier if t.picture == thread.picture), None)
    same = f", strung as thread {twin.thread}" if twin is not None else ""
    drawn = "" if twin is not None else _draw(sheet, thread, halves)
    rows = "".join(_half(sheet, half) for half in halves)
    return (
        f'<div class="thread"><b>Thread {thread.thread}</b>, strands {names}{same}'
        f"{drawn}<table>{rows}</table></div>"
    )


def _singles(sheet: LoadingSheet) -> str:
    if not sheet.single_strands:
        return ""
    rows = []
    drawn: set[str] = set()
    pictures = []
    for thread in sheet.single_strands:
        halves = halves_of(sheet, thread)
        rows.append(_half(sheet, halves[0]))
        if halves[0].total and thread.picture not in drawn:
            drawn.add(thread.picture)
            pictures.append(f"<p>strand {halves[0].strand}</p>{_draw(sheet, thread, halves)}")
    first = sheet.single_strands[0]
    return (
        f'<div class="thread"><b>Single strands</b>, clip {_text(first.clip)}, needle at'
        f" {_text(first.needle)}{''.join(pictures)}<table>{''.join(rows)}</table></div>"
    )


def _half(sheet: LoadingSheet, half: StrandLine) -> str:
    side = "<b>far half:</b> " if half.half == "far" else ""
    twin = strung_alike(sheet, half)
    if not half.total:
        groups = "no beads"
    elif len(half.string) > 14:
        groups = _text(groups_text(half.string)) if twin is None else f"as strand {twin.strand}"
    else:
        groups = "".join(_group(group) for group in half.string)
    return (
        f'<tr><td><span class="tick"></span></td><td class="n"><b>{half.strand}</b></td>'
        f"<td>{side}{_text(half.place)}</td>"
        f'<td class="groups">{groups}</td><td class="n"><b>{half.total}</b></td></tr>'
    )


def _group(group: GroupLine) -> str:
    return (
        f'<span class="g">{group.count} {_text(group.bead)}'
        f'<span class="run">{group.on}</span></span>'
    )


def _draw(sheet: LoadingSheet, thread: ThreadLine, halves: Sequence[StrandLine]) -> str:
    """Draw the thread bead by bead, or group by group if it is long."""
    if not any(half.total for half in halves):
        return ""
    both_outside = sheet.strung == "from the braid end"
    double = len(thread.strands) == 2
    clipped_outside = both_outside or (double and sheet.strung == "both halves from one end")
    released = [
        list(half.string)[::-1] if _reversed(sheet, half) else list(half.string) for half in halves
    ]
    singly = all(half.total <= _MOST_DRAWN // len(halves) for half in halves)
    parts: list[str] = []
    x = 26.0

    def lay(groups: Sequence[GroupLine]) -> None:
        nonlocal x
        for group in groups:
            for _ in range(group.count if singly else 1):
                parts.append(bead_svg(group.bead, sheet.beads, x, 20))
                x += 17
            if not singly:
                parts.append(f'<text class="small" x="{x + 6:.1f}" y="23">×{group.count}</text>')
                x += 36

    if double:
        lay(released[0][::-1])
        middle = x
        x += 26
        lay(released[1])
        ends = (
            ("clip", "clip") if both_outside
            else ("clip", "needle") if clipped_outside
            else ("needle", "needle")
        )  # fmt: skip
        parts.append(f'<text class="small" x="{middle + 5:.1f}" y="8">middle</text>')
        if ends == ("needle", "needle"):
            parts.append(_clip(middle + 5))
        if both_outside:
            parts += [_needle(middle - 1, -1), _needle(middle + 11, 1)]
    else:
        lay(released[0][::-1] if clipped_outside else released[0])
        ends = ("clip", "needle")
    parts.append(_clip(10) if ends[0] == "clip" else _needle(12, -1))
    parts.append(_clip(x) if ends[1] == "clip" else _needle(x - 2, 1))
    width = x + 14
    line = f'<line x1="4" y1="20" x2="{width - 4:.1f}" y2="20" stroke="#000" stroke-width="1"/>'
    return (
        f'<svg width="{0.92 * width:.0f}" height="28" viewBox="0 0 {width:.0f} 31">'
        f"{line}{''.join(parts)}</svg>"
    )


def _reversed(sheet: LoadingSheet, half: StrandLine) -> bool:
    return sheet.strung == "from the braid end" or half.half == "far"


def _clip(x: float) -> str:
    return f'<rect x="{x - 2:.1f}" y="10" width="4" height="20" fill="#000"/>'


def _needle(x: float, way: int) -> str:
    tip = x + 9 * way
    return f'<path d="M {x:.1f} 15 L {tip:.1f} 20 L {x:.1f} 25 Z" fill="#000"/>'


def _prove(sheet: LoadingSheet) -> str:
    said = proofs_said(sheet)
    if not said:
        return ""
    lines = "".join(
        f'<p class="say">{_text(sentence)}</p>' for sentence in (*said, *scale_said(sheet))
    )
    return f"<h2>Prove</h2>{lines}"


def _core(core: CorePart | None) -> str:
    if core is None:
        return ""
    if core.on == "cord":
        return f"<h2>Core</h2><p>cord, {core.cord_mm:.0f} mm</p>"
    stack = core.planned
    if stack is None:
        return f"<h2>Core</h2><p>bare wire, {core.wire_mm or 0:.0f} mm</p>"
    return (
        f"<h2>Core</h2><p><b>{_text(stack.beads)}</b>, first in first, on"
        f" {core.wire_mm or 0:.0f} mm of wire: {core_room(stack)}. Bare wire down the middle"
        " before the first cross, beads held above by the upper clip.</p>"
    )


def _weight(sheet: LoadingSheet) -> str:
    marks = marks_said(sheet)
    shown = f"<p>{_text(marks)}</p>" if marks else ""
    return f"<h2>Weight and marks</h2><p>{_text(sheet.counterweight)}</p>{shown}"
