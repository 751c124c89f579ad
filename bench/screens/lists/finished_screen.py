"""The finished stock: pieces of no order, what lowered counts left over, and what has left."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.finished_stock import StockPiece, brought, read_finished
from bench.craft.words import plural
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.finished_piece_form import FinishedPieceForm
from bench.screens.lists.form import FormRow, FormScreen


class FinishedScreen(FormScreen):
    """Every piece on a line; its own page says what becomes of it."""

    keeps = ""
    names = 56
    heading = "finished stock"

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.pieces: Sequence[StockPiece] = ()
        self._read()

    def _read(self) -> None:
        journal = self.companion.journal
        self.pieces = () if journal is None else read_finished(journal, self.companion.library)

    def on_screen_resume(self) -> None:
        """Read them anew: something may have become of one."""
        self._read()
        super().on_screen_resume()

    def rows(self) -> Sequence[FormRow]:
        """What is there first, then what has left."""
        rows = [self._row(piece) for piece in self.pieces]
        return rows or (FormRow("nothing", "is in stock: good pieces of no order are kept here"),)

    def _row(self, piece: StockPiece) -> FormRow:
        name = piece.came_from or piece.state.name
        return FormRow(name, piece.says, opens=partial(self._open_piece, piece))

    def _open_piece(self, piece: StockPiece) -> None:
        self.app.push_screen(FinishedPieceForm(self.companion, piece))

    def below(self) -> Sequence[str]:
        """What the picked piece is, how many are there, and what the others brought."""
        there = sum(piece.is_there for piece in self.pieces)
        lines = [f"{plural(there, 'piece')} in stock, {len(self.pieces) - there} not any more"]
        apart = "no part of any order's sum"
        lines += [f"brought {amount}, {apart}" for amount in brought(self.pieces)]
        picked = self.pieces[self.picked : self.picked + 1]
        return [*(piece.state.name for piece in picked), *lines]
