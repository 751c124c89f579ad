"""Tags for the pieces of a commission: which, how large, and the page to print and cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bench.answers.tags import TagsAnswer
from bench.commission.book import CommissionBook
from bench.commission.pieces import read_pieces
from bench.commission.tags import tags_of
from bench.craft.text import Fault
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import readable
from bench.screens.lists.typed_values import typed_number
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.tags import tags_html, tags_lines

LEAST, MOST = (15.0, 8.0), (190.0, 277.0)
"""Width and height of a tag in mm: a page holds no larger one."""


class TagsScreen(FormScreen):
    """Chooses lots and size; nothing is written but the page."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: tags"
        self.lot = 0
        """0 for all lots, else which one."""
        self.size_mm = (60.0, 22.0)
        library = companion.library
        self._titles: Mapping[str, str] = {
            lot.pattern: library.plan(library.pattern_path(lot.pattern)).pattern.title
            for lot in book.commission.lots
        }

    def rows(self) -> Sequence[FormRow]:
        """The lots, and the size of a tag."""
        wide, high = self.size_mm
        return (
            FormRow("of", self._only or "all lots", turn=self._turn_lot),
            self._side("wide, mm", 0, wide),
            self._side("high, mm", 1, high),
        )

    def below(self) -> Sequence[str]:
        """Every tag on a line."""
        return list(tags_lines(self._told()))

    def written(self) -> Sequence[WrittenSheet]:
        """The page with dashed lines to cut along."""
        name = f"{self.book.name}-tags.html"
        return (WrittenSheet("p", "print", name, lambda: tags_html(self._told())),)

    @property
    def _only(self) -> str | None:
        return None if self.lot == 0 else self.book.commission.lots[self.lot - 1].name

    def _told(self) -> TagsAnswer:
        found = read_pieces(readable(self.companion), self.book)
        return tags_of(self.book, found, self._titles, self._only, *self.size_mm)

    def _turn_lot(self, step: int) -> None:
        self.lot = (self.lot + step) % (len(self.book.commission.lots) + 1)

    def _side(self, name: str, side: int, value: float) -> FormRow:
        return FormRow(
            *(name, f"{value:g}"),
            turn=lambda step: self._set_side(side, value + step),
            typed=lambda text: self._set_side(side, typed_number(text, "A tag")),
            asks=f"From {LEAST[side]:g} to {MOST[side]:g} mm.",
        )

    def _set_side(self, side: int, value: float) -> None:
        if not LEAST[side] <= value <= MOST[side]:
            raise Fault(f"A tag is {LEAST[side]:g} to {MOST[side]:g} mm.")
        wide, high = self.size_mm
        self.size_mm = (value, high) if side == 0 else (wide, value)
