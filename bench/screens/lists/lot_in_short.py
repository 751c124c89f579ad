"""What a lot will be: how large its pieces get, how long they take, what an offer asks for one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from bench.commission.changing import with_lot
from bench.commission.money import shown
from bench.commission.piece_figures import piece_figures
from bench.commission.pricing import NoRate, read_offer
from bench.commission.stock_tubes import read_shelf
from bench.craft.words import duration, plural
from bench.documents.commission import Commission, Lot
from bench.journal.store import Journal
from bench.making.calibration import calibration_of
from bench.making.kept_worked import kept_worked
from bench.pace.model import Model
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.surety_words import holds


def lot_in_short(
    companion: ListsCompanion, model: Model, draft: Commission, lot: Lot
) -> Sequence[str]:
    """Work out a lot of an order, and say it in lines. Raises as reading and working it out do.

    draft: the order, that has a lot of that id.
    """
    library, settings = companion.library, companion.settings
    with companion.session.another_reader() as reader:
        shelf = read_shelf(reader, library)
        weighed = tuple(shelf.weighed(settings.stand.scale_g))
        known = calibration_of(reader, settings, *lot.kind, weighed)
        made = kept_worked(library, settings, lot.pattern, lot.kind, known)
        found = piece_figures(made, shelf, companion.pace.figures, settings)
        cost = _cost(reader, companion, model, draft, lot)
    size = f"{plural(found.beads, 'bead')}, {found.length} long, {found.thickness} thick"
    names = dict.fromkeys(bead.name for bead in made.pattern.beads.values() if bead.name)
    beads = (f"beads: {', '.join(names)}",) if names else ()
    return (f"a piece: {size}", *beads, *cost)


def _cost(
    reader: Journal, companion: ListsCompanion, model: Model, draft: Commission, lot: Lot
) -> Sequence[str]:
    """What a piece takes in its turn, and what the offer asks for it where none is agreed."""
    values = lot.model_dump(exclude={"id"}) | {"price": None}
    order = with_lot(draft, lot.id or lot.name, values)
    try:
        offer = read_offer(
            reader, companion.library, companion.settings, order, model, dt.date.today()
        )
    except NoRate:
        return ("say what an hour costs (7 shop, rates), and it is priced",)
    found = next(one for one in offer.lots if one.lot.id == lot.id)
    pieces, hours = found.lot.pieces, found.hours
    low, middle, high = (duration(s / pieces) for s in (hours.low_s, hours.median_s, hours.high_s))
    sure = holds(is_guess=model.is_guess)
    time = f"takes {middle} on the average of {pieces}, {sure} {low} and {high}"
    beads = f", without {', '.join(found.unpriced)}" if found.unpriced else ""
    return (time, f"the offer asks {shown(found.each)} {offer.currency} by itself{beads}")
