"""Where the pieces of a customer's card lie on its pages, in millimetres.

A page is as wide and as high as both A4 and US Letter leave inside their margins, so that one card
prints on either at its true scale.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bench.sheets.card_words import lines_of, name_of
from bench.sheets.side_view import SideBead, seen

if TYPE_CHECKING:
    from bench.answers.card import CardAnswer, CardBead, CardPiece

WIDE, HIGH = 184.0, 250.0
"""A4 is 210 x 297 mm (ISO 216), US Letter 215.9 x 279.4 mm; margins of 12 mm."""
HEAD, FOOT = 18.0, 14.0
SLOT, GAP = 32.0, 4.0
"""How wide the words below a piece are at least, and what lies between two pieces."""
LINE = 3.8
LETTERS = 21
"""So many letters go on a line of a slot."""
MOST_COLOURS = 9


@dataclass(frozen=True, slots=True)
class Slot:
    """A piece with its words.

    `braid` are its beads from back to front, `foot_mm` the height of the lowest, `high` how much is
    drawn; `cut` says whether that is not all. `name`, `words` and `colours` are in lines.
    """

    piece: CardPiece
    braid: tuple[SideBead, ...]
    foot_mm: float
    high: float
    cut: bool
    name: tuple[str, ...]
    words: tuple[str, ...]
    colours: tuple[tuple[CardBead, tuple[str, ...]], ...]

    @property
    def wide(self) -> float:
        """How wide the slot is."""
        return max(SLOT, self.piece.diameter_mm if self.braid else 0.0)

    @property
    def words_high(self) -> float:
        """How high what stands below the braid is."""
        lines = len(self.name) + len(self.words) + self.cut
        rows = sum(colour_high(look, said) for look, said in self.colours)
        return LINE * (lines + 1) + rows


@dataclass(frozen=True, slots=True)
class Placed:
    """A slot on a page: its left edge, the top of its braid, the top of its words."""

    slot: Slot
    left: float
    top: float
    words_top: float


Page = tuple[Placed, ...]


def colour_high(look: CardBead, said: Sequence[str]) -> float:
    """How high a bead with its name is."""
    return max(LINE * len(said), look.diameter_mm + 0.6)


def pages(card: CardAnswer) -> tuple[Page, ...]:
    """Lay the pieces out in rows; each row has one size, in as many colourways as go beside."""
    found: list[Page] = []
    page: list[Placed] = []
    y = HEAD
    for row in _rows(card):
        words = max(slot.words_high for slot in row)
        shown = [_cut(slot, HIGH - HEAD - FOOT - words - GAP) for slot in row]
        high = max(slot.high for slot in shown)
        words = max(slot.words_high for slot in shown)
        if page and y + high + words + GAP > HIGH - FOOT:
            found.append(tuple(page))
            page, y = [], HEAD
        left = 0.0
        for slot in shown:
            page.append(Placed(slot, left, y, y + high + GAP))
            left += slot.wide + GAP
        y += high + words + 2 * GAP
    return (*found, tuple(page))


def _rows(card: CardAnswer) -> Iterator[list[Slot]]:
    row: list[Slot] = []
    for piece in card.pieces:
        slot = _slot(card, piece)
        wide = sum(one.wide + GAP for one in row) + slot.wide
        if row and (row[-1].piece.size != piece.size or wide > WIDE):
            yield row
            row = []
        row.append(slot)
    yield row


def _slot(card: CardAnswer, piece: CardPiece) -> Slot:
    braid = tuple(seen(piece.beads))
    foot = min((bead.up_mm - bead.spot.diameter_mm / 2 for bead in braid), default=0.0)
    colours = piece.looks[:MOST_COLOURS] if "colours" in card.figures else ()
    return Slot(
        piece=piece,
        braid=braid,
        foot_mm=foot,
        high=max(map(_head, braid), default=foot) - foot,
        cut=False,
        name=tuple(textwrap.wrap(name_of(piece), LETTERS - 2)),
        words=tuple(lines_of(card, piece, LETTERS)),
        colours=tuple(
            (look, tuple(textwrap.wrap(look.name, LETTERS - 5)[:2] or [""])) for look in colours
        ),
    )


def _head(bead: SideBead) -> float:
    return bead.up_mm + bead.spot.diameter_mm / 2


def _cut(slot: Slot, room: float) -> Slot:
    """Show of a braid that is longer than a page its first part, whole beads only."""
    if slot.high <= room:
        return slot
    braid = tuple(bead for bead in slot.braid if _head(bead) - slot.foot_mm <= room - LINE)
    return replace(slot, braid=braid, high=max(map(_head, braid)) - slot.foot_mm, cut=True)
