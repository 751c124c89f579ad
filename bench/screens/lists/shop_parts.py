"""The pages that belong to a commission, by their names, and what opens each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from textual.screen import Screen

from bench.commission.book import CommissionBook
from bench.screens.lists.benches_screen import BenchesScreen
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.finished_screen import FinishedScreen
from bench.screens.lists.hanging_screen import HangingScreen
from bench.screens.lists.money_screen import MoneyScreen
from bench.screens.lists.offer_ahead import OfferAhead
from bench.screens.lists.pieces_screen import PiecesScreen
from bench.screens.lists.rates_screen import RatesScreen
from bench.screens.lists.recipes_screen import RecipesScreen
from bench.screens.lists.shop_page import Part
from bench.screens.lists.tags_screen import TagsScreen
from bench.screens.lists.tubes_screen import TubesScreen

Make = Callable[[CommissionBook], Screen[None]]
"""Makes a screen for a commission."""


def parts_of(companion: ListsCompanion, show: Callable[[Make], None]) -> Sequence[Part]:
    """The parts of the shop's page in the order of the work; `show` shows what is made."""

    def part(name: str, says: str, make: Make) -> Part:
        return name, says, partial(show, make)

    ahead = OfferAhead(companion)
    return (
        part("money", "the offer, accepting it, deposit and payments",
             lambda book: MoneyScreen(companion, book, ahead)),
        part("pieces", "measure, inspect, sign off, pack, hand over",
             lambda book: PiecesScreen(companion, book)),
        part("tags", "a tag for each piece, to print", lambda book: TagsScreen(companion, book)),
        part("recipe cards", "as it was made; once more of it",
             lambda book: RecipesScreen(companion, book)),
        part("hanging", "which piece hangs where, what to cut",
             lambda book: HangingScreen(companion, book)),
        part("rates", "an hour's price, tax, tolerances, stands",
             lambda book: RatesScreen(companion)),
        part("finished stock", "pieces of no order: sold, lent, lost, into an order",
             lambda book: FinishedScreen(companion)),
        part("tubes", "bought, counted, empty, given away", lambda book: TubesScreen(companion)),
        part("another bench", "events given out, and taken in",
             lambda book: BenchesScreen(companion)),
    )  # fmt: skip
