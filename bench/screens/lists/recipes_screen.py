"""Recipe cards of what was made: as it was made, what is different by now, and once more of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.answers.recipe import RecipeAnswer
from bench.commission.again import as_before
from bench.commission.book import CommissionBook
from bench.commission.origin import like_of
from bench.commission.pieces import CommissionPieces, read_pieces
from bench.commission.recipe import card_of, read_recipe, sample_piece
from bench.craft.text import Fault
from bench.craft.words import full_name
from bench.documents.commission import Lot
from bench.documents.errors import DocumentError
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.order_ahead import begun_from
from bench.screens.lists.order_screen import OrderScreen
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.shop_writing import readable
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.recipe import recipe_html, recipe_lines


class RecipesScreen(FormScreen):
    """Each lot on a line; its card is that of its sample, or of its first good piece."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: recipe cards"
        self.found = self._read()

    def _read(self) -> CommissionPieces:
        return read_pieces(readable(self.companion), self.book)

    def rows(self) -> Sequence[FormRow]:
        """The lots with what their card is of."""
        return tuple(
            FormRow(lot.name, self._said(lot), opens=partial(self._show, lot))
            for lot in self.book.commission.lots
        )

    def _said(self, lot: Lot) -> str:
        try:
            piece = sample_piece(self.found, lot)
        except Fault:
            none = f"{full_name(lot.pattern, lot.size, lot.colourway)}; none is made yet"
            return none if lot.like is None else f"as {lot.like.called}; none is made yet"
        return f"as {piece.name} was made" + (", the sample" if piece.state.sample else "")

    def below(self) -> Sequence[str]:
        """What the cards are for."""
        return ("ENTER shows the card: print it, or begin another order from it.",)

    def _show(self, lot: Lot) -> None:
        told = self._told(lot)
        name = f"{self.book.name}-recipe-{lot.id or lot.name}.html"
        card = SheetScreen(
            self.companion,
            f"recipe card: {told.piece}",
            lambda width: recipe_lines(told, width),
            (WrittenSheet("p", "print", name, partial(recipe_html, told)),),
            (("n", "again: another order from it", partial(self._again, lot, told)),),
        )
        self.app.push_screen(card)

    def _told(self, lot: Lot) -> RecipeAnswer:
        companion, journal = self.companion, readable(self.companion)
        try:
            return read_recipe(
                *(journal, companion.library, companion.settings, self.book, lot),
                *(companion.pace.model, lot.pieces),
            )
        except DocumentError as error:
            raise Fault(str(error)) from None

    def _again(self, lot: Lot, told: RecipeAnswer) -> None:
        try:
            card = card_of(readable(self.companion), self.companion.library, self.book, lot)
            like = lot.model_copy(update={"like": like_of(card.piece, card.book)})
            book = begun_from(self.companion, self.book, like)
        except DocumentError as error:
            raise Fault(str(error)) from None
        differs = told.differs or ("nothing is different from when it was made",)
        said = (as_before(self.book, like), *differs)
        self.app.push_screen(OrderScreen(self.companion, book, told=said))
