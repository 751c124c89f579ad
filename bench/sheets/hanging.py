"""The sheet of `hang`: a list and cut list as text, a drawing, and both on one page."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import plural
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, caution_lines, headed

if TYPE_CHECKING:
    from bench.answers.hanging import HangAnswer, HangingPlace

_EDGE = 20.0
_LEAST_WIDE = 4.0


def hanging_lines(answer: HangAnswer, width: int = WIDTH) -> list[str]:
    """What `hang` prints: where each piece hangs, what to cut for it, and what is to be told."""
    kept = "as it was kept" if answer.kept else "worked out"
    lines = [f"{cleaned(answer.title)}: {answer.shape}, {kept}", "", *_drawing(answer, width), ""]
    lines.append(f"{'place':>5}  {'along':>7}{'drop':>8}{'thread':>9}  piece")
    for place in answer.places:
        thread = "" if place.thread_mm is None else f"{place.thread_mm:.0f} mm"
        mark = "  (moved)" if place.moved else ""
        lines.append(
            f"{place.place:>5}  {place.x_mm:>7.0f}{place.drop_mm:>8.0f}{thread:>9}"
            f"  {cleaned(place.piece or '–', 34)}{mark}"
        )
    lines += ["", *told_lines(answer, width), "", *caution_lines(answer.cautions, width)]
    return lines


def hanging_svg(answer: HangAnswer) -> str:
    """The arrangement from the front, in millimetres; a hoop is rolled out."""
    wide = max((place.x_mm for place in answer.places), default=0.0) + 2 * _EDGE
    high = max((place.drop_mm + (place.length_mm or 0) for place in answer.places), default=0.0)
    parts = "".join(_hung(place) for place in answer.places)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.0f}mm" height="{high + 40:.0f}mm"'
        f' viewBox="0 0 {wide:.1f} {high + 40:.1f}" font-family="sans-serif" font-size="6">'
        f'<rect width="100%" height="100%" fill="#fff"/>'
        f'<line x1="0" y1="12" x2="{wide:.1f}" y2="12" stroke="#000" stroke-width="1.5"/>'
        f"{parts}</svg>\n"
    )


def hanging_html(answer: HangAnswer) -> str:
    """Drawing, cut list and cautions on one page."""
    rows = "".join(
        f'<tr><td><span class="tick"></span>{place.place}</td>'
        f'<td class="n">{place.x_mm:.0f}</td><td class="n">{place.drop_mm:.0f}</td>'
        f'<td class="n">{"" if place.thread_mm is None else f"{place.thread_mm:.0f} mm"}</td>'
        f"<td>{safe(place.piece or '–')}</td></tr>"
        for place in answer.places
    )
    told = "".join(f"<p>{escape(line)}</p>" for line in told_lines(answer, 1000))
    cautions = "".join(f'<p class="caution">{escape(text)}</p>' for text in answer.cautions)
    title = f"{answer.title}: {answer.shape}"
    body = (
        f"<h1>{safe(title)}</h1>{hanging_svg(answer)}<h2>Cut list</h2>"
        '<table><tr><th>place</th><th class="n">along, mm</th><th class="n">drop, mm</th>'
        f'<th class="n">thread</th><th>piece</th></tr>{rows}</table>{told}{cautions}'
    )
    return page(title, body, "svg { width: 100%; height: auto; max-height: 110mm; }")


def told_lines(answer: HangAnswer, width: int) -> Iterator[str]:
    """What is to be told of the arrangement."""
    alike = plural(answer.alike, "pair") if answer.alike else "no pair"
    close = plural(answer.close, "pair") if answer.close else "no pair"
    said = f"{alike} of neighbours alike, {close} level or without room"
    if answer.moves:
        said += f"; {plural(answer.moves, 'place')} with another piece than was kept"
    best = "none is better" if answer.exact else "found by swaps; a better one is not ruled out"
    yield from headed("", f"{said} ({best})" if not answer.kept else said, indent=0, width=width)
    if answer.left_over:
        names = "; ".join(answer.left_over[:8]) + (" …" if len(answer.left_over) > 8 else "")
        yield from headed("", f"without a place: {names}", indent=0, width=width)
    grams = "weight not known" if answer.grams is None else f"{answer.grams:.0f} g in all"
    off = ""
    if answer.off_centre_mm is not None:
        off = f", its weight {answer.off_centre_mm:.0f} mm off the hoop's middle"
    yield from headed("", grams + off, indent=0, width=width)


def _hung(place: HangingPlace) -> str:
    x = _EDGE + place.x_mm
    number = f'<text x="{x:.1f}" y="8" text-anchor="middle">{place.place}</text>'
    if place.piece is None or place.length_mm is None:
        return number
    top, wide = 12 + place.drop_mm, max(_LEAST_WIDE, place.thickness_mm or 0)
    return (
        f"{number}"
        f'<line x1="{x:.1f}" y1="12" x2="{x:.1f}" y2="{top:.1f}" stroke="#555"'
        ' stroke-width="0.4"/>'
        f'<rect x="{x - wide / 2:.1f}" y="{top:.1f}" width="{wide:.1f}"'
        f' height="{place.length_mm:.1f}" rx="{wide / 2:.1f}" fill="{escape(place.colour or "")}"'
        ' stroke="#000" stroke-width="0.4"/>'
        f'<text x="{x:.1f}" y="{top + place.length_mm + 7:.1f}" text-anchor="middle"'
        f' font-size="4">{escape(cleaned(place.piece, 16))}</text>'
    )


def _drawing(answer: HangAnswer, width: int, rows: int = 10) -> list[str]:
    """The arrangement in characters: threads, pieces as bars, the places' numbers above."""
    places = [place for place in answer.places if place.length_mm is not None]
    if not places:
        return []
    far = max(place.x_mm for place in answer.places) or 1.0
    deep = max(place.drop_mm + (place.length_mm or 0) for place in places)
    grid = [[" "] * width for _ in range(rows + 1)]
    for place in places:
        x = 2 + round(place.x_mm / far * (width - 6))
        top = round(place.drop_mm / deep * rows)
        end = max(top + 1, round((place.drop_mm + (place.length_mm or 0)) / deep * rows))
        for y in range(end):
            grid[y][x] = "┊" if y < top else "█"
        for at, digit in enumerate(str(place.place)):
            if x + at < width:
                grid[end][x + at] = digit
    return ["═" * width, *("".join(row).rstrip() for row in grid)]
