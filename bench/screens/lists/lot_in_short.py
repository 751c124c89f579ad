"""What a lot will be: how large its pieces get, how long they take, what they cost."""

from __future__ import annotations

from collections.abc import Sequence

from bench.commission.piece_figures import PieceFigures, piece_figures
from bench.commission.stock_tubes import read_shelf
from bench.craft.words import duration, plural
from bench.documents.commission import Lot
from bench.making.calibration import calibration_of
from bench.making.kept_worked import kept_worked
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.surety_words import holds


def lot_in_short(companion: ListsCompanion, lot: Lot) -> Sequence[str]:
    """Work out a piece of a lot, and say it in lines. Raises as reading and working it out do."""
    library, settings = companion.library, companion.settings
    with companion.session.another_reader() as reader:
        shelf = read_shelf(reader, library)
        weighed = tuple(shelf.weighed(settings.stand.scale_g))
        known = calibration_of(reader, settings, *lot.kind, weighed)
    made = kept_worked(library, settings, lot.pattern, lot.kind, known)
    found = piece_figures(made, shelf, companion.pace.figures, settings)
    size = f"{plural(found.beads, 'bead')}, {found.length} long, {found.thickness} thick"
    names = dict.fromkeys(bead.name for bead in made.pattern.beads.values() if bead.name)
    beads = (f"beads: {', '.join(names)}",) if names else ()
    return (f"a piece: {size}", *beads, *_cost(found))


def _cost(found: PieceFigures) -> Sequence[str]:
    """What a piece takes, and what it comes to."""
    hours = found.hands_on
    low, middle, high = map(duration, (hours.low_s, hours.median_s, hours.high_s))
    time = f"takes {middle}, {holds(is_guess=found.level is None)} {low} and {high}"
    if found.price is None:
        return (f"{time}; say what an hour costs (7 shop, rates), and it is priced",)
    price = f"{found.price.median:,.2f} {found.currency}"
    return (f"{time}", f"comes to about {price}: {found.price_says}")
