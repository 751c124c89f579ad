"""The sheet of `hang`: a list and cut list as text, a drawing, and both on one page."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import plural
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, caution_lines, headed, with_tail

if TYPE_CHECKING:
    from bench.answers.hanging import HangAnswer, HangingPlace

_EDGE = 20.0
_LEAST_WIDE = 4.0
_LETTER, _NAME = 2.7, 18
"""Letters on paper in mm, and how many of a piece's name there are."""
_PAPER_WIDE, _PAPER_HIGH = 174.0, 76.0
"""Room for a strip of the drawing on paper, in mm; its height without the names."""
_IN_A_STRIP = 16
MOST_PAIRS = 6
"""As many pairs of places are named."""


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
            f"  {_named(place, 34)}{mark}"
        )
    lines += ["", *told_lines(answer, width), "", *caution_lines(answer.cautions, width)]
    return lines


def hanging_svg(answer: HangAnswer) -> str:
    """The arrangement from the front, in millimetres; a hoop is rolled out."""
    return _drawn(answer.places, anywhere=answer.shape == "window")


def _drawn(places: Sequence[HangingPlace], *, anywhere: bool) -> str:
    """Some places from the front, with letters that can be read where they fill a page's width.

    anywhere: places lie above each other too, so that numbers and names stand beside the pieces.
    """
    left = min((place.x_mm for place in places), default=0.0) - _EDGE
    wide = max((place.x_mm for place in places), default=0.0) + _EDGE - left
    deep = max((place.drop_mm + (place.length_mm or 0) for place in places), default=0.0)
    letter = max(4.0, wide * _LETTER / _PAPER_WIDE, deep * _LETTER / _PAPER_HIGH)
    name = (_NAME * 0.62 + 1) * letter
    if anywhere:
        deep = max((p.drop_mm + max(p.length_mm or 0.0, name) for p in places), default=0.0)
    high = 2 * letter + deep + (0.0 if anywhere else name)
    rail = 1.7 * letter
    parts = "".join(_thread(place, left, rail) for place in places)
    parts += "".join(_hung(place, left, letter, beside=anywhere) for place in places)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.0f}mm" height="{high:.0f}mm"'
        f' viewBox="0 0 {wide:.1f} {high:.1f}" font-family="sans-serif"'
        f' font-size="{letter:.1f}"><rect width="100%" height="100%" fill="#fff"/>'
        f'<line x1="0" y1="{rail:.1f}" x2="{wide:.1f}" y2="{rail:.1f}" stroke="#000"'
        f' stroke-width="{letter / 5:.1f}"/>{parts}</svg>\n'
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
    cautions = "<br>".join(escape(text) for text in answer.cautions)
    title = f"{answer.title}: {answer.shape}"
    body = (
        f"<h1>{safe(title)}</h1>{_strips(answer)}<h2>Cut list</h2>"
        '<table><thead><tr><th>place</th><th class="n">along, mm</th><th class="n">drop, mm</th>'
        f'<th class="n">thread</th><th>piece</th></tr></thead><tbody>{rows}</tbody></table>{told}'
        f'<p class="caution">{cautions}</p>'
    )
    style = "svg { display: block; width: 100%; height: auto; max-height: 110mm; margin: 3mm 0; }"
    return page(title, body, style)


def _strips(answer: HangAnswer) -> str:
    """The drawing in as many strips as it takes to read it, from left to right."""
    order = sorted(answer.places, key=lambda place: (place.x_mm, place.place))
    count = max(1, math.ceil(len(order) / _IN_A_STRIP))
    each = math.ceil(len(order) / count)
    strips = (order[at : at + each] for at in range(0, len(order), each))
    return "".join(_drawn(strip, anywhere=answer.shape == "window") for strip in strips)


def told_lines(answer: HangAnswer, width: int) -> Iterator[str]:
    """What is to be told of the arrangement."""
    alike, close = _pairs(answer.alike_at), _pairs(answer.close_at)
    said = f"{alike} of neighbours alike, {close} level or without room"
    if answer.moves:
        said += f"; {plural(answer.moves, 'place')} with another piece than was kept"
    best = "none is better" if answer.exact else "found by swaps; a better one is not ruled out"
    own = answer.kept or answer.by_hand
    yield from headed("", said if own else f"{said} ({best})", indent=0, width=width)
    if answer.left_over:
        names = "; ".join(answer.left_over[:8]) + (" …" if len(answer.left_over) > 8 else "")
        yield from headed("", f"without a place: {names}", indent=0, width=width)
    grams = "weight not known" if answer.grams is None else f"{answer.grams:.0f} g in all"
    off = ""
    if answer.off_centre_mm is not None:
        off = f", its weight {answer.off_centre_mm:.0f} mm off the hoop's middle"
    yield from headed("", grams + off, indent=0, width=width)
    thread = f"{answer.thread_m:.2f} m of thread in all: each down to its piece, and"
    said = f"{thread} {answer.knots_mm:g} mm for its knots"
    yield from headed("", said, indent=0, width=width)


def _pairs(pairs: Sequence[tuple[int, int]]) -> str:
    """How many pairs, and the places of the first ones."""
    if not pairs:
        return "no pair"
    named = ", ".join(f"{one} and {other}" for one, other in pairs[:MOST_PAIRS])
    more = ", …" if len(pairs) > MOST_PAIRS else ""
    return f"{plural(len(pairs), 'pair')} ({named}{more})"


def _named(place: HangingPlace, most: int) -> str:
    """The piece of a place in so many letters: its lot is cut, never its number."""
    if place.piece is None:
        return "–"
    if place.lot is None or place.number is None:
        return cleaned(place.piece, most)
    return with_tail(place.lot, f" {place.number}", most)


def _thread(place: HangingPlace, left: float, rail: float) -> str:
    if place.piece is None or place.length_mm is None:
        return ""
    x, top = place.x_mm - left, rail + place.drop_mm
    return (
        f'<line x1="{x:.1f}" y1="{rail:.1f}" x2="{x:.1f}" y2="{top:.1f}" stroke="#555"'
        ' stroke-width="0.4"/>'
    )


def _hung(place: HangingPlace, left: float, letter: float, *, beside: bool) -> str:
    """A piece with its number and its name: above and below it, or beside it."""
    x, rail = place.x_mm - left, 1.7 * letter
    top, wide = rail + place.drop_mm, max(_LEAST_WIDE, place.thickness_mm or 0)
    number = f'<text x="{x:.1f}" y="{letter:.1f}" text-anchor="middle">{place.place}</text>'
    if beside:
        at = x - wide / 2 - letter / 3
        number = f'<text x="{at:.1f}" y="{top + letter:.1f}" text-anchor="end">{place.place}</text>'
    if place.piece is None or place.length_mm is None:
        return number
    at, begin = x - letter / 3, top + place.length_mm + letter / 2
    if beside:
        at, begin = x + wide / 2 + letter / 3, top
    return (
        f"{number}"
        f'<rect x="{x - wide / 2:.1f}" y="{top:.1f}" width="{wide:.1f}"'
        f' height="{place.length_mm:.1f}" rx="{wide / 2:.1f}" fill="{escape(place.colour or "")}"'
        ' stroke="#000" stroke-width="0.4"/>'
        f'<text transform="translate({at:.1f} {begin:.1f}) rotate(90)">'
        f"{escape(_named(place, _NAME))}</text>"
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
            if y >= top or grid[y][x] == " ":
                grid[y][x] = "┊" if y < top else "█"
        for at, digit in enumerate(str(place.place)):
            if x + at < width:
                grid[end][x + at] = digit
    return ["═" * width, *("".join(row).rstrip() for row in grid)]
