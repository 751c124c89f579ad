"""A customer's card as drawings at true scale: one unit of a drawing is one millimetre."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from bench.craft.text import cleaned
from bench.sheets.card_layout import (
    FOOT,
    HIGH,
    LINE,
    WIDE,
    Page,
    Placed,
    colour_high,
    pages,
)

if TYPE_CHECKING:
    from bench.answers.card import CardAnswer

RULE_MM = 50
"""The line that a printer is checked by."""
CHECK = f"Print at 100 %, not fitted to the page: this line is then {RULE_MM} mm long."

TRUE_SIZE = "drawn in its true size, as predicted"
NOT_DRAWN = "not drawn: how its beads lie round the braid is not known"


def card_drawing(card: CardAnswer) -> str:
    """Return the whole card as one drawing, its pages below each other."""
    laid = pages(card)
    drawn = (
        part
        for number, page in enumerate(laid)
        for part in (f'<g transform="translate(0 {number * HIGH:g})">', *_page(card, page), "</g>")
    )
    return "\n".join((_opened(HIGH * len(laid)), *drawn, "</svg>", ""))


def page_drawings(card: CardAnswer) -> Iterator[str]:
    """Yield each page as a drawing."""
    for page in pages(card):
        yield "\n".join((_opened(HIGH), *_page(card, page), "</svg>"))


def _opened(high: float) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}mm" height="{high:g}mm"'
        f' viewBox="0 0 {WIDE:g} {high:g}" font-family="sans-serif">'
        f'<rect width="{WIDE:g}" height="{high:g}" fill="#ffffff"/>'
    )


def _page(card: CardAnswer, page: Page) -> Iterator[str]:
    yield _words(0, 6.5, card.title, 6, "bold")
    drawn = any(placed.slot.braid for placed in page)
    yield _words(0, 12, TRUE_SIZE if drawn else NOT_DRAWN, 3)
    for placed in page:
        yield from _piece(placed)
    if not drawn:
        return
    y = HIGH - FOOT + 6
    yield f'<path d="M1 {y:g}h{RULE_MM}" stroke="#000000" stroke-width="0.3" fill="none"/>'
    ticks = "".join(f"M{mm + 1} {y - 1.5:g}v3" for mm in range(0, RULE_MM + 1, 10))
    yield f'<path d="{ticks}" stroke="#000000" stroke-width="0.2" fill="none"/>'
    yield _words(0, y + 5.5, CHECK, 2.8)


def _piece(placed: Placed) -> Iterator[str]:
    slot = placed.slot
    piece = slot.piece
    axis = placed.left + slot.wide / 2
    ground = placed.words_top - 4 if slot.braid else placed.top
    colours = {look.bead: look.colour for look in piece.looks}
    if slot.braid:
        top = ground - slot.high
        if slot.cut:
            yield (
                f'<path d="M{axis:.2f} {top:.2f}v-3" stroke="#777777" stroke-width="0.3"'
                ' stroke-dasharray="0.8 0.6" fill="none"/>'
            )
        for bead in slot.braid:
            y = ground - (bead.up_mm - slot.foot_mm)
            yield _bead(axis + bead.across_mm, y, bead.spot.diameter_mm, colours[bead.spot.bead])
    y = placed.words_top + LINE
    for said in slot.name:
        yield _words(placed.left, y, said, 3.2, "bold")
        y += LINE
    for said in slot.words:
        yield _words(placed.left, y, said, 2.8)
        y += LINE
    if slot.cut:
        yield _words(placed.left, y, f"the first {slot.high:.0f} mm drawn", 2.8)
        y += LINE
    y -= LINE * 0.6
    for look, name in slot.colours:
        high = colour_high(look, name)
        yield _bead(placed.left + 2.2, y + high / 2, look.diameter_mm, look.colour)
        first = y + high / 2 - LINE * (len(name) - 1) / 2 + 1
        for number, said in enumerate(name):
            yield _words(placed.left + 5.5, first + number * LINE, said, 2.8)
        y += high


def _bead(x: float, y: float, diameter: float, colour: str) -> str:
    """A bead whose outer edge is as wide as the bead, with its light from the upper left."""
    edge = diameter * 0.05
    return (
        f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{(diameter - edge) / 2:.3f}" fill="{colour}"'
        f' stroke="{_darker(colour)}" stroke-width="{edge:.3f}"/>'
        f'<circle cx="{x - diameter * 0.16:.3f}" cy="{y - diameter * 0.18:.3f}"'
        f' r="{diameter * 0.1:.3f}" fill="#ffffff" fill-opacity="0.5"/>'
    )


def _darker(colour: str) -> str:
    return "#" + "".join(f"{int(colour[at : at + 2], 16) * 55 // 100:02x}" for at in (1, 3, 5))


def _words(x: float, y: float, text: str, size: float, weight: str = "normal") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:g}" font-weight="{weight}"'
        f' fill="#222222">{escape(cleaned(text, 200))}</text>'
    )
