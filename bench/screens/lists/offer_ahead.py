"""The offer of a commission, worked out beside the keys and kept as long as nothing changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from textual.screen import Screen

from bench.commission.book import CommissionBook
from bench.commission.forecast import level_of
from bench.commission.offer import Offer
from bench.commission.pricing import NoRate, read_offer
from bench.pace.model import Model
from bench.screens.lists.apart import work_apart
from bench.screens.lists.companion import ListsCompanion

BEING_WORKED_OUT = "The offer is being worked out."
NO_RATE = "No hourly rate is set yet: say on the line “rates” what an hour costs."


@dataclass(frozen=True)
class OfferFound:
    """An offer, and how often its ranges hold (None: they are a guess); or what is `wrong`."""

    offer: Offer | None
    level: float | None
    wrong: str = ""


class OfferAhead:
    """The offer that was worked out last, and what it rests on."""

    def __init__(self, companion: ListsCompanion) -> None:
        self._companion = companion
        self._rests_on: object = None
        self._asked: Screen[None] | None = None
        self.found: OfferFound | None = None
        """None while it is worked out."""

    def want(self, screen: Screen[None], book: CommissionBook, tell: Callable[[], None]) -> None:
        """See to it that the offer is worked out, in another thread of a screen; then `tell`."""
        model = self._companion.pace.model
        rests_on = self._rests_on_now(book, model)
        if rests_on == self._rests_on and (self.found is not None or self._asked is screen):
            return
        self._rests_on, self._asked, self.found = rests_on, screen, None

        def take(found: OfferFound) -> None:
            self.found = found
            tell()

        work_apart(
            screen, "offer", partial(self._read, book, model, take),
            lambda wrong: take(OfferFound(None, None, wrong)),
        )  # fmt: skip

    def _rests_on_now(self, book: CommissionBook, model: Model) -> object:
        session, settings = self._companion.session, self._companion.settings
        said = None if session.journal is None else session.journal.mark_of_all()
        return book.commission, model, said, session.stamps(), settings, dt.date.today()

    def _read(
        self, book: CommissionBook, model: Model, take: Callable[[OfferFound], None]
    ) -> Callable[[], None]:
        app, today = self._companion, dt.date.today()
        try:
            with app.session.another_reader() as reader:
                found = read_offer(reader, app.library, app.settings, book.commission, model, today)
        except NoRate:
            return partial(take, OfferFound(None, None, NO_RATE))
        return partial(take, OfferFound(found, level_of(model.is_guess)))
