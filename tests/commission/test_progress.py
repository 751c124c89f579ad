"""How an order stands: what is to come of it, and of pieces beyond it."""

from __future__ import annotations

from functools import partial

from bench.commission.begun import begun_pieces
from bench.commission.progress import CommissionProgress, lot_works, progress_of
from bench.documents.settings import Settings, WorkSettings
from bench.journal.frozen import frozen_work
from bench.journal.piece_times import piece_times
from bench.making.braid import Braid
from bench.pace.model import fit
from bench.screens.lists.commission_page import CommissionFigures, hours
from bench.screens.lists.lots_page import LotsPage
from tests.support.clock import ManualClock
from tests.support.two_benches import MADE, Bench, Benches

NOW = ManualClock().now()


def stood(bench: Bench) -> CommissionProgress:
    """How the door stands."""
    book, journal = bench.book("door"), bench.journal
    lots = book.lots(journal)
    ended = [s.uuid for s in journal.pieces(open_only=False) if not s.open]
    times = [piece_times(journal.timed(one), frozen_work(journal.started(one))) for one in ended]
    return progress_of(
        "door", book.commission, lot_works(bench.library, book.commission), times,
        list(begun_pieces(journal, lots)), fit([]), Settings(), NOW, lots_of=lots,
    )  # fmt: skip


def test_a_piece_beyond_what_is_agreed_has_its_hours(benches: Benches) -> None:
    """They are told as spare; nothing of them is awaited for the day, or in the whole."""
    bench, _ = benches
    order = bench.begin("door", "silver-eaves", pieces=1)
    (lot,) = bench.book("door").commission.lots
    begin = partial(
        Braid.start, bench.journal, MADE["silver-eaves"], stage="load", commission="door",
        lot="Lot 1", commission_id=order, lot_id=lot.id,
    )  # fmt: skip
    first = begin(number=1)
    before = stood(bench)
    assert before.lots[0].beyond is None
    begin(number=2)
    both = stood(bench)
    assert both.lots[0].beyond is not None
    assert both.to_come.quantile(0.5) == before.to_come.quantile(0.5)
    first.finish("good")
    after = stood(bench)
    (made,) = after.lots
    assert (made.to_make, after.finish, made.to_come.quantile(0.5)) == (0, None, 0.0)
    assert made.beyond is not None
    spare = hours(made.beyond.quantile(0.5))
    assert float(spare) > 0.5
    figures = CommissionFigures("x", NOW, WorkSettings(), progress=after)
    text = LotsPage(figures, print, 1).draw(80, 24).as_text()
    assert f"{spare} (" in text
    assert f"spare    about {spare} h in the making beyond what is agreed" in text
