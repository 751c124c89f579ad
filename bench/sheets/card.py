"""A customer's card in the terminal: the pieces beside each other, all to one scale."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rich.console import RenderableType
from rich.text import Text

from bench.sheets.card_words import lines_of, name_of
from bench.sheets.printing import line, on_colour
from bench.sheets.side_view import SeenCell, cells

if TYPE_CHECKING:
    from bench.answers.card import CardAnswer, CardPiece

WIDTH = 79
WORDS = 18
MOST_LINES = 44
"""Of a longer braid its first part is drawn."""


def lines(card: CardAnswer) -> Iterator[RenderableType]:
    """Yield the card: the colourways of each size beside each other as far as there is room."""
    yield line(card.title, "bold")
    drawn = [bead.diameter_mm for piece in card.pieces for bead in piece.beads]
    step_mm = min(drawn, default=1.0)
    if drawn:
        yield line(f"all to one scale: a line is {step_mm:g} mm; new on top, as predicted")
    band: list[_Block] = []
    for piece in card.pieces:
        block = _Block(card, piece, step_mm)
        wide = sum(one.wide + 2 for one in band) + block.wide
        if band and (wide > WIDTH or band[-1].piece.size != piece.size):
            yield from _side_by_side(band)
            band = []
        band.append(block)
    yield from _side_by_side(band)
    for written in filter(None, (card.html, card.svg)):
        yield line(f"drawn into {written}")


class _Block:
    """One piece: its braid in cells from the foot up, and what is said below it."""

    def __init__(self, card: CardAnswer, piece: CardPiece, step_mm: float) -> None:
        self.piece = piece
        across_mm = step_mm / 2
        braid_wide = math.ceil(piece.diameter_mm / across_mm) | 1
        self.wide = max(WORDS, braid_wide)
        self.colours = {look.bead: look.colour for look in piece.looks}
        high_mm = max((b.height_mm + b.diameter_mm / 2 for b in piece.beads), default=0.0)
        high = min(MOST_LINES, math.ceil(high_mm / step_mm))
        grid = cells(piece.beads, wide=self.wide, high=high, cell_mm=(across_mm, step_mm))
        self.braid = [row for row in grid if any(row)] if piece.beads else []
        self.said = [(name_of(piece), "bold")]
        self.said += [(text, "") for text in lines_of(card, piece, self.wide)]
        if high_mm / step_mm > MOST_LINES:
            self.said.append((f"first {MOST_LINES * step_mm:.0f} mm drawn", "dim"))
        if not piece.beads:
            self.said.append(("no columns known", "dim"))
        if "colours" in card.figures:
            self.said += [
                (f"{look.bead} {look.name}"[: self.wide], on_colour(look.colour))
                for look in piece.looks
            ]


def _side_by_side(band: list[_Block]) -> Iterator[Text]:
    yield Text("")
    high = max(len(block.braid) for block in band)
    for at in reversed(range(high)):
        text = Text()
        for block in band:
            row = block.braid[at] if at < len(block.braid) else [None] * block.wide
            for cell in row:
                text.append(*_face(cell, block.colours))
            text.append("  ")
        text.rstrip()
        yield text
    for number in range(max(len(block.said) for block in band)):
        text = Text()
        for block in band:
            said, style = block.said[number] if number < len(block.said) else ("", "")
            text.append(line(said).plain, style)
            text.append(" " * (block.wide - len(said) + 2))
        text.rstrip()
        yield text


def _face(cell: SeenCell | None, colours: dict[str, str]) -> tuple[str, str]:
    if cell is None:
        return " ", ""
    return (cell.bead if cell.middle else ":"), on_colour(colours[cell.bead])
