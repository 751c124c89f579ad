"""One commission, read from the library and the journal: how it stands and what it takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bench.clock import Moment
from bench.journal.store import Journal
from bench.library import Library
from bench.materials import Materials, materials_of
from bench.measured import WeighedBeads, past_of
from bench.needs import Order as NeedsOrder
from bench.needs import needs_of
from bench.pace.model import Model
from bench.presses import piece_times
from bench.run import Run
from bench.settings import Settings
from bench.standing import Making, Order, Standing, orders_of, standing
from bench.stock import Shelf, read_stock
from bench.times import Kind, PieceTimes
from bench.workup import work_up


@dataclass(frozen=True)
class Commission:
    """A run with how it stands, its lots as needs take them, and what the materials cost."""

    standing: Standing
    needs: tuple[NeedsOrder, ...]
    """Every lot with all its pieces, made or not."""
    shelf: Shelf
    materials: Materials | None
    """None where the stock has no price for any of them."""
    notes: tuple[str, ...]
    """What the maker should know of pieces that count for no lot."""


def read_commission(
    journal: Journal,
    library: Library,
    settings: Settings,
    name: str,
    pieces: Sequence[PieceTimes],
    loose: Mapping[Kind, int],
    model: Model,
    now: Moment,
) -> Commission:
    """Read how a run stands.

    Args:
        journal: has the pieces in the making and what was measured.
        library: has the run and its patterns; the stock lies in its folder.
        settings: hours a week, rate and margin.
        name: the run's name or file.
        pieces: the times of the run's finished pieces; others do no harm.
        loose: how many good pieces were started for no run.
        model: the maker's pace.
        now: the present moment.

    Raises DocumentError or Fault for a wrong run, pattern or stock, JournalError.

    """
    path = library.run_path(name)
    run = library.run(path)
    orders = orders_of(library, run)
    shelf = read_stock(library.home)
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    needs = tuple(_needs(journal, library, settings, order, weighed) for order in orders)
    whole = needs_of(run.title, needs, shelf, settings)
    materials = materials_of(whole, shelf.stock, settings.thumb)
    known = materials is not None and materials.currency == settings.work.currency
    making = list(_making(journal, path.stem))
    stands = standing(
        path.stem, run, orders, pieces, making, model, settings, now,
        materials.amount if materials is not None and known else None,
    )  # fmt: skip
    return Commission(stands, needs, shelf, materials, tuple(_notes(path.stem, run, pieces, loose)))


def _needs(
    journal: Journal,
    library: Library,
    settings: Settings,
    order: Order,
    weighed: Sequence[WeighedBeads],
) -> NeedsOrder:
    lot = order.lot
    past = past_of(journal, settings, order.pattern, lot.size, lot.colourway, weighed)
    made = work_up(library, settings, lot.pattern, lot.size, lot.colourway, past)
    return NeedsOrder(lot.name, made, lot.pieces)


def _making(journal: Journal, run: str) -> Iterator[Making]:
    """The run's pieces in the making."""
    for state in journal.pieces():
        if state.run == run:
            events = list(journal.events(state.uuid))
            dry = [e.moment.wall for e in events if e.payload.get("stage") == "dry"]
            since = dry[-1] if state.stage == "dry" and dry else None
            yield Making(state, piece_times(events), since)


def _notes(
    name: str, run: Run, pieces: Sequence[PieceTimes], loose_of: Mapping[Kind, int]
) -> Iterator[str]:
    """Say how many finished pieces were started for no lot, or for one that is gone."""
    kinds = {(lot.pattern, lot.size, lot.colourway) for lot in run.lots}
    loose = sum(loose_of.get(kind, 0) for kind in kinds)
    if loose:
        said = "piece of its patterns is in no lot, and counts"
        if loose > 1:
            said = "pieces of its patterns are in no lot, and count"
        yield f"{loose} finished {said} for the pace alone"
    names = {lot.name for lot in run.lots}
    gone = sum(piece.run == name and piece.lot not in names for piece in pieces)
    if gone:
        said = "piece belongs to a lot that the commission no longer has, and counts"
        if gone > 1:
            said = "pieces belong to a lot that the commission no longer has, and count"
        yield f"{gone} {said} for the pace alone"
