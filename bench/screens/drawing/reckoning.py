"""What a piece of the sketch takes and comes to: time, price, what the stock lacks."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from bench.commission.piece_figures import PieceFigures, piece_figures
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.craft.words import duration
from bench.design.sheet import Sheet
from bench.documents.stock import Shelf
from bench.making.worked_pattern import WorkedPattern
from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.draft import Draft
from bench.screens.drawing.text_page import Line


def reckoning(
    draft: Draft, sheet: Sheet, shelf: Shelf, app: DrawingCompanion
) -> Callable[[], PieceFigures | None]:
    """What works the figures out, beside the keys; None while a cell is open or it cannot be."""
    settings, figures = app.settings, app.pace.figures
    name, chosen = draft.name, (draft.size, draft.colourway)

    def work() -> PieceFigures | None:
        if sheet.open_cells:
            return None
        try:
            plan = Plan(sheet.to_pattern(), sheet.structure)
            made = WorkedPattern.of_plan(name, plan, settings, *chosen)
            return piece_figures(made, shelf, figures, settings)
        except Fault:
            return None

    return work


def told(found: PieceFigures | None) -> Iterator[Line]:
    """How long a piece takes, what it comes to at the maker's rate, what the stock lacks."""
    if found is None:
        yield ("time and price follow once every cell has a bead", "dim")
        return
    low, high = duration(found.hands_on.low_s), duration(found.hands_on.high_s)
    basis = "a guess" if found.level is None else "by your own times"
    yield (f"a piece takes {low} to {high} ({basis})", "")
    if found.price is None:
        yield (f"no price: {found.price_says}; page 7 of an order sets it: shop, rates", "")
    else:
        said = f"{found.price.low:,.2f} to {found.price.high:,.2f} {found.currency}"
        yield (f"{said} a piece: {found.price_says}", "")
    if found.lacks:
        yield (f"to buy for it: {'; '.join(found.lacks)}", "")
