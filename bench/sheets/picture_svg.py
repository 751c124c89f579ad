"""The picture of a braid as an SVG drawing: columns unrolled, and from the side, new on top."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from bench.craft.text import cleaned
from bench.craft.words import full_name
from bench.sheets.side_view import seen
from bench.sheets.words import size_said

if TYPE_CHECKING:
    from bench.answers.picture import PictureAnswer, PicturedBead


MARGIN = 24.0
HEAD = 26.0
LEGEND = 18.0
TALL = 1400.0
"""A drawing is about so high where that leaves the beads between SMALL and LARGE px a mm."""
SMALL, LARGE = 3.0, 12.0
LEAST_WIDE = 560.0


def drawing(picture: PictureAnswer) -> str:
    """Return the drawing. Every bead has its letter; every text is escaped."""
    scale = min(LARGE, max(SMALL, TALL / picture.length_mm))
    widest = max((spot.diameter_mm for spot in picture.beads), default=0.0)
    columns = picture.columns or 0
    flat_wide = columns * widest * scale
    side_wide = picture.diameter_mm * scale
    top = MARGIN + HEAD + LEGEND * (len(picture.says) + len(picture.looks) + 2)
    braid = max((s.height_mm + s.diameter_mm / 2 for s in picture.beads), default=0.0) * scale
    wide = max(LEAST_WIDE, 3 * MARGIN + flat_wide + side_wide)
    high = top + braid + 2 * MARGIN
    foot = top + braid + MARGIN
    side_at = 2 * MARGIN + flat_wide + side_wide / 2
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.0f}" height="{high:.0f}"'
        f' viewBox="0 0 {wide:.0f} {high:.0f}" font-family="sans-serif">',
        f'<rect width="{wide:.0f}" height="{high:.0f}" fill="#ffffff"/>',
        *_head(picture),
    ]
    if picture.beads:
        parts.append(_words(MARGIN, top - 6, f"{columns} columns unrolled, seen from outside"))
        parts.append(_words(side_at - side_wide / 2, top - 6, "from the side"))
        parts += _flat(picture, scale, foot, widest)
        parts += _side(picture, scale, foot, side_at)
    return "\n".join([*parts, "</svg>", ""])


def _head(picture: PictureAnswer) -> Iterator[str]:
    title = full_name(picture.title, picture.size, picture.colourway)
    figures = size_said(picture)
    yield f"<title>{_text(f'{title}: predicted picture of the braid')}</title>"
    yield _words(MARGIN, MARGIN, f"{title}: {figures}", size=16)
    y = MARGIN + HEAD
    for sentence in picture.says:
        yield _words(MARGIN, y, sentence)
        y += LEGEND
    for look in picture.looks:
        yield (
            f'<circle cx="{MARGIN + 6:.1f}" cy="{y - 4:.1f}" r="6" fill="{look.colour}"'
            ' stroke="#333333"/>'
        )
        yield _words(MARGIN + 18, y, f"{look.bead}  {look.size}  {look.name}")
        y += LEGEND


def _flat(picture: PictureAnswer, scale: float, foot: float, widest: float) -> Iterator[str]:
    colours = _colours(picture)
    for spot in picture.beads:
        # What goes clockwise from above goes to the left for a viewer outside.
        across = MARGIN + ((picture.columns or 0) - spot.column - 0.5) * widest * scale
        yield _bead(spot, across, foot - spot.height_mm * scale, scale, colours[spot.bead])


def _side(picture: PictureAnswer, scale: float, foot: float, axis: float) -> Iterator[str]:
    colours = _colours(picture)
    for bead in seen(picture.beads):
        spot = bead.spot
        across = axis + bead.across_mm * scale
        yield _bead(
            spot,
            across,
            foot - bead.up_mm * scale,
            scale,
            colours[spot.bead],
            lettered=bead.near_mm > 0,
        )


def _bead(
    spot: PicturedBead, x: float, y: float, scale: float, colour: str, *, lettered: bool = True
) -> str:
    radius = spot.diameter_mm * scale / 2
    ball = (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{colour}" stroke="#333333"'
        f' stroke-width="{max(0.4, radius / 14):.1f}"/>'
    )
    if not lettered:
        return ball
    size = max(3.0, radius)
    return ball + (
        f'<text x="{x:.1f}" y="{y + size * 0.35:.1f}" font-size="{size:.1f}" text-anchor="middle"'
        f' fill="{_ink(colour)}">{spot.bead}</text>'
    )


def _colours(picture: PictureAnswer) -> dict[str, str]:
    return {look.bead: look.colour for look in picture.looks}


def _ink(colour: str) -> str:
    """Black or white, whichever has more contrast: relative luminance as in WCAG 2.1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else math.pow((p + 0.055) / 1.055, 2.4) for p in parts]
    light = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return "#000000" if light > 0.179 else "#ffffff"


def _words(x: float, y: float, text: str, size: int = 13) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="#222222">{_text(text)}</text>'


def _text(text: str) -> str:
    return escape(cleaned(text, 400))
