"""Pieces that were loaded without the program: their beads are taken out of the tubes, or not."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.later_draws import draws_for, not_from
from bench.commission.tube_book import read_tubes
from bench.commission.tube_entry import amount_of
from bench.commission.undrawn import undrawn
from bench.craft.text import Fault
from bench.journal.piece_state import PieceState
from bench.screens.kit.foot import Key
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import readable, write

MOST_SAID = 4
"""So many tubes are named in the line that tells what a piece took."""


class UndrawnScreen(FormScreen):
    """Each piece on a line; ENTER draws what it took, X says that it took nothing of these."""

    keeps = ""
    names = 40
    heading = "loaded without the program"
    own_help = (
        ("ENTER", "its beads, thread and end pieces are taken out of the tubes"),
        ("X", "it took nothing of these tubes"),
    )

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.pieces: list[PieceState] = []
        self._read()

    def _read(self) -> None:
        journal = readable(self.companion)
        self.tubes = read_tubes(journal)
        self.pieces = undrawn(journal, [*self.tubes.values()])

    def rows(self) -> Sequence[FormRow]:
        """The pieces."""
        rows = [
            FormRow(piece.name, f"{piece.status}: ENTER draws it", opens=partial(self._draw, piece))
            for piece in self.pieces
        ]
        return rows or (FormRow("nothing", "is left to be drawn"),)

    def below(self) -> Sequence[str]:
        """What the keys do."""
        return ("What was made without loading here took beads too: the tubes hold less by that.",)

    def keys(self) -> Sequence[Key]:
        """Besides those of a form: that it took nothing."""
        first, *rest = super().keys()
        return (first, ("X", "nothing of these", "x"), *rest) if self.pieces else (first, *rest)

    def other_key(self, key: str) -> None:
        """Say of the picked piece that it took nothing of these tubes."""
        if key != "x":
            super().other_key(key)
            return
        if not self.pieces:
            raise Fault("Nothing is left to be drawn.")
        piece = self.pieces[self.picked]
        write(self.companion, None, (not_from(next(iter(self.tubes.values()))), piece.uuid, None))
        self.said = f"{piece.name} took nothing of these tubes."
        self._read()

    def _draw(self, piece: PieceState) -> None:
        companion = self.companion
        draws = draws_for(readable(companion), companion.library, companion.settings, piece)
        write(companion, None, *((one, piece.uuid, None) for one in draws))
        taken = [
            f"{amount_of(self.tubes[one.tube].taken, one.held)} of {self.tubes[one.tube].name}"
            for one in draws
        ]
        more = f" and {len(taken) - MOST_SAID} more" if len(taken) > MOST_SAID else ""
        self.said = f"Drawn: {', '.join(taken[:MOST_SAID])}{more}."
        self._read()
