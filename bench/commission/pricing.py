"""An offer out of the maker's pace, stock and settings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import accumulate, pairwise

from bench.commission.lot_number import Settled
from bench.commission.materials import materials_of
from bench.commission.money import decimal_of, rounded
from bench.commission.needs import needs_of
from bench.commission.offer import LotCost, Offer, offer
from bench.commission.overview import worked_lots
from bench.commission.progress import LotWork, lot_works
from bench.commission.stock_tubes import read_shelf
from bench.commission.versions import read_history
from bench.craft.text import Fault
from bench.documents.commission import Commission
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.pace.model import Model
from bench.pace.weeks import Weeks
from bench.pace.work_ahead import spaced, works_ahead

NO_RATE = (
    "no hourly rate is set: hourly_rate under [work] in settings.toml, which"
    " `braid-bench where` names"
)


class NoRate(Fault):
    """An hour has no rate yet, and not every price is agreed."""


def read_offer(
    journal: Journal,
    library: Library,
    settings: Settings,
    commission: Commission,
    model: Model,
    today: dt.date,
) -> Offer:
    """Work out what all of a commission costs, as if nothing of it were made yet.

    Pieces that are charged beyond a lowered count are among those of their lot.
    Raises NoRate without an hourly rate where not every price is agreed, DocumentError or Fault for
    a wrong pattern or stock.
    """
    per_hour = settings.work.hourly_rate
    agreed = all(lot.price is not None for lot in commission.lots)
    if per_hour is None and not (agreed and commission.terms.design_hours == 0):
        raise NoRate(NO_RATE)
    commission = _with_charged(journal, commission)
    works = lot_works(library, commission)
    jobs = [work.job for work in works for _ in range(work.lot.pieces)]
    jobs = list(spaced(model, jobs, Weeks(settings.work.hours_per_week)))
    ends = [*accumulate((work.lot.pieces for work in works), initial=0)]
    *hours, whole = works_ahead(model, jobs, [*pairwise(ends), (0, len(jobs))])
    materials = _materials(journal, library, settings, works)
    costs = [
        LotCost(work.lot, of, cost, unpriced)
        for work, of, (cost, unpriced) in zip(works, hours, materials, strict=True)
    ]
    rate = None if per_hour is None else decimal_of(per_hour)
    return offer(commission, costs, whole, settings, rate, today)


def _with_charged(journal: Journal, commission: Commission) -> Commission:
    """The commission with as many pieces of each lot as the customer gets."""
    history = replace(read_history(journal, commission.id or ""), cancelled=None)
    settled = history.settled(commission)
    lots = []
    for lot in commission.lots:
        pieces = settled.get(lot.id or "", Settled()).promised(lot.pieces)
        lots.append(lot.model_copy(update={"pieces": pieces}))
    return commission.model_copy(update={"lots": tuple(lots)})


def _materials(
    journal: Journal, library: Library, settings: Settings, works: tuple[LotWork, ...]
) -> Iterator[tuple[Decimal | None, tuple[str, ...]]]:
    """What each lot's beads, thread and notions cost, and what of them has no price."""
    shelf = read_shelf(journal, library)
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    for lot in worked_lots(journal, library, settings, works, weighed):
        needs = needs_of(lot.name, [lot], shelf, settings)
        found = materials_of(needs, shelf.stock, settings.thumb)
        if found is None:
            yield None, ("beads and thread",)
        elif found.currency != settings.work.currency:
            yield None, (f"what is priced in {found.currency}",)
        else:
            yield rounded(decimal_of(found.amount)), found.unpriced
