"""One lot of an order: its name, pattern, size, colourway, count, day and price."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial

from bench.commission.money import read_amount, shown
from bench.craft.text import Fault
from bench.documents.commission import MOST_PIECES, Commission, Lot
from bench.documents.errors import DocumentError
from bench.screens.lists.apart import work_apart
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.lot_in_short import lot_in_short
from bench.screens.lists.typed_values import AMOUNT_ASKS, DAY_ASKS, day_to_come

USUAL = "as written"
ANOTHER = "the one before, the next"
SAME_PRICE = "for every lot of this pattern and size"
STILL_S = 0.15
"""So long no key changes the lot before it is worked out."""


class LotScreen(FormScreen):
    """Changes one lot and hands it to `take` when it is left; the order is where it is kept.

    `take_out` takes it out of the order, `move` makes it earlier or later and says its place;
    `price_all` gives its price to every lot of its pattern and size.
    """

    keeps = ""
    heading = "a lot"

    def __init__(
        self,
        companion: ListsCompanion,
        lot: Lot,
        take: Callable[[Lot], None],
        take_out: Callable[[Lot], None] | None,
        move: Callable[[int], str],
        price_all: Callable[[Lot], None],
        draft: Commission,
        agreed: Decimal | None,
    ) -> None:
        """Change a lot of an order; draft: the order; agreed: the price that was accepted."""
        super().__init__(companion)
        self.first = self.lot = lot
        self._take, self._take_out, self._move = take, take_out, move
        self._place = move(0)
        self._price_all = price_all
        self._draft, self._agreed = draft, agreed
        self._patterns = [entry.name for entry in companion.library.patterns()]
        self._in_short: Sequence[str] = ()
        """What a piece of it will be."""

    def on_mount(self) -> None:
        """Work out what it will be."""
        self._look_ahead()

    def _look_ahead(self) -> None:
        lot, model = self.lot, self.companion.pace.model

        def read() -> Callable[[], None]:
            return partial(self._show, lot, lot_in_short(self.companion, model, self._draft, lot))

        work_apart(self, "in short", read, lambda wrong: self._show(lot, (wrong,)), STILL_S)

    def _show(self, lot: Lot, said: Sequence[str]) -> None:
        if lot == self.lot:
            self._in_short = said
            self.redraw()

    def rows(self) -> Sequence[FormRow]:
        """The lot's values."""
        lot = self.lot
        sizes, colourways = self._choices()
        price = "– (as the offer works it out)" if lot.price is None else shown(lot.price)
        if self._agreed is not None:
            price = f"{shown(self._agreed)} agreed, and frozen"
        rows = [
            FormRow("called", lot.name, typed=lambda text: self._set(name=text), starts=lot.name),
            FormRow(
                *("pattern", self._of(lot.pattern, self._patterns)),
                turn=self._turn_pattern,
                turns=ANOTHER,
            ),
            FormRow(
                *("size", self._of(lot.size, [None, *sizes])),
                turn=lambda step: self._turn("size", [None, *sizes], step),
                turns=ANOTHER,
            ),
            FormRow(
                *("colourway", self._of(lot.colourway, [None, *colourways])),
                turn=lambda step: self._turn("colourway", [None, *colourways], step),
                turns=ANOTHER,
            ),
            FormRow(
                *("pieces", str(lot.pieces)),
                turn=lambda step: self._set(pieces=lot.pieces + step),
                typed=self._set_pieces,
                asks="How many pieces.",
            ),
            FormRow(
                *("due on its own day", str(lot.due or "–")),
                typed=lambda text: self._set(due=day_to_come(text)),
                asks=DAY_ASKS,
            ),
            *self._like(),
            FormRow("price of a piece", price, typed=self._set_price, asks=AMOUNT_ASKS),
            *(
                [FormRow("the same price", SAME_PRICE, opens=self._same_price)]
                if lot.price is not None
                else []
            ),
            FormRow("made in its turn", self._place, turn=self._turn_place),
            FormRow(
                *("hangs with the others", "yes" if lot.hangs else "no"),
                turn=lambda _: self._set(hangs=not lot.hangs),
            ),
        ]
        if self._take_out is not None:
            rows.append(FormRow("take it out", "of the order", opens=self._out))
        return rows

    def below(self) -> Sequence[str]:
        """What a piece of it will be, and when it is kept."""
        kept = "Going back takes it over; K on the order's page keeps it all."
        return (*self._in_short, kept)

    def _of(self, value: str | None, values: Sequence[str | None]) -> str:
        """A value with its place among those that there are."""
        name = value or USUAL
        if value not in values or len(values) < 2:
            return name
        return f"{name}  ({values.index(value) + 1} of {len(values)})"

    def _turn_place(self, step: int) -> None:
        self._place = self._move(step)

    def _choices(self) -> tuple[Sequence[str], Sequence[str]]:
        """The sizes and colourways of the pattern; none of one that is gone."""
        library = self.companion.library
        try:
            pattern = library.plan(library.pattern_path(self.lot.pattern)).pattern
        except (DocumentError, Fault):
            return (), ()
        return tuple(pattern.sizes), tuple(pattern.colourways)

    def _same_price(self) -> None:
        self._price_all(self.lot)
        self.first = self.lot
        price = shown(self.lot.price or Decimal(0))
        self.said = f"Every lot of this pattern and size has {price} a piece."

    def _turn_pattern(self, step: int) -> None:
        names = self._patterns
        at = (names.index(self.lot.pattern) + step) % len(names) if self.lot.pattern in names else 0
        self._set(pattern=names[at], size=None, colourway=None)

    def _like(self) -> Sequence[FormRow]:
        """The piece whose card it was begun from, while it is of the same kind."""
        like = self.lot.like
        if like is None or self.lot.kind != self.first.kind:
            return ()
        return (FormRow("made like", like.called),)

    def _turn(self, key: str, values: Sequence[str | None], step: int) -> None:
        now = getattr(self.lot, key)
        at = values.index(now) + step if now in values else 0
        self._set(**{key: values[at % len(values)]})

    def _set_pieces(self, text: str) -> None:
        if not text.isdecimal():
            raise Fault(f"'{text}' is no number of pieces")
        self._set(pieces=int(text))

    def _set_price(self, text: str) -> None:
        self._set(price=None if text == "none" else read_amount(text, "A price"))

    def _set(self, **values: object) -> None:
        if not 1 <= int(str(values.get("pieces", 1))) <= MOST_PIECES:
            said = f"A lot has 1 to {MOST_PIECES:,} pieces; take it out of the order to have none."
            raise Fault(said)
        before, self.lot = self.lot, self.lot.model_copy(update=values)
        if (self.lot.kind, self.lot.pieces) != (before.kind, before.pieces):
            self._in_short = ("a piece: it is being worked out",)
            self._look_ahead()

    def _out(self) -> None:
        assert self._take_out is not None
        self._take_out(self.first)
        self.app.pop_screen()

    def leave(self, *, again: bool) -> None:
        """Hand the lot over, where it is other than it was."""
        if self.lot != self.first:
            self._take(self.lot)
        self.app.pop_screen()
