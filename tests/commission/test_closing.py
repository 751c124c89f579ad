"""What an order took: materials by what tubes gave, hours by the pieces that were timed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bench.answers.closing import ClosingAnswer, ClosingLot
from bench.commission.closing import mean_s
from bench.commission.closing_answer import earned_per_hour
from bench.commission.materials_used import materials_used
from bench.commission.offer import Totals
from bench.journal.events import new_id
from bench.journal.inspection_payloads import PutIntoLot
from bench.journal.payloads import Loaded, Recorded, TriedOut
from bench.journal.piece_times import PieceTimes, piece_times
from bench.journal.tube_payloads import TubeDrawn, TubeTaken
from bench.making.braid import Braid
from bench.sheets.closing import closing_lines
from tests.support.two_benches import DAY, MADE, Bench, Benches

LOT = ClosingLot(
    lot="Eaves rain", pieces=4, good=4, seconds=0, spoilt=1, hours=2.4, each_h=0.79, timed=2,
    due=None, last_finished=None, handed_over=0, first_out=None, last_out=None, late_days=None,
)  # fmt: skip
CLOSING = ClosingAnswer(
    commission="door", title="Door", done=True, stages={}, rework_h=0.0, whole_h=0.0, hours=2.4,
    untimed=0, offered_h=38.9, timed=2, each_h=1.2, used=None, used_unpriced=(), drawn=0, begun=5,
    planned=None, planned_unpriced=(), offered_materials="10.20", due=None, tax=None,
    received="0.00", to_pay=None, earned_per_hour=None, currency="EUR", lots=(LOT,), invoice=(),
    to_stock=0, stock_brought=(), next_hours=40.3, next_cost="778.12", next_unpriced=(), file=None,
)  # fmt: skip


def said(found: ClosingAnswer) -> str:
    """The sheet in one line."""
    return " ".join(" ".join(closing_lines(found)).split())


def loaded(bench: Bench, tube: str, beads: int, lost: int = 0) -> str:
    """A piece of the door, with so many beads of a tube on its first strand."""
    order = bench.book("door")
    braid = Braid.start(
        *(bench.journal, MADE["silver-eaves"]), stage="load", commission="door", lot="Lot 1",
        commission_id=order.id, lot_id=order.commission.lots[0].id,
    )  # fmt: skip
    braid.load_to(1, beads, tube, lost=lost)
    return braid.piece


def test_materials_are_what_tubes_gave(benches: Benches) -> None:
    """Spoilt pieces and lost beads cost, beads that came off again do not; trials are left out."""
    bench, _ = benches
    bench.begin("door", "silver-eaves")
    tubes = {"drop": "6.00", "cloud": None}
    for name, price in tubes.items():
        taken = TubeTaken("beads", name, 300.0, DAY.isoformat(), "bought", size="6/0",
                          shape="round", price=price)  # fmt: skip
        bench.journal.append(taken, pieces=name)
    lots = bench.book("door").lots(bench.journal)
    assert materials_used(bench.journal, lots).amount is None
    first = loaded(bench, "drop", 24, lost=6)
    bench.journal.append(TubeDrawn("drop", 10.0, "core"), pieces=first)
    second = loaded(bench, "drop", 50)
    bench.journal.append(Loaded(1, 30, "drop"), pieces=second)
    Braid(bench.journal, second).give_up("a broken bead")
    tried = loaded(bench, "drop", 100)
    bench.journal.append(TriedOut(True), pieces=tried)
    found = materials_used(bench.journal, lots)
    assert found.amount == pytest.approx(float(Decimal("6.00") * (30 + 10 + 30) / 300))
    assert (found.drawn, found.begun, found.unpriced, found.is_whole) == (2, 2, (), True)
    book, away = bench.book("door"), new_id()
    bench.journal.append(_recorded(0.0), pieces=away)
    put = PutIntoLot("door", 9, book.id, book.commission.lots[0].id)
    bench.journal.append(put, pieces=away, lot="Lot 1")
    assert materials_used(bench.journal, lots).is_whole is False, "it is not drawn yet"
    bench.journal.append(TubeDrawn("drop", 20.0, "load"), pieces=away)
    made_away = materials_used(bench.journal, lots)
    assert (made_away.drawn, made_away.begun, made_away.is_whole) == (3, 3, True)
    assert made_away.amount == pytest.approx((found.amount or 0) + 0.4)
    loaded(bench, "cloud", 5)
    found = materials_used(bench.journal, lots)
    assert (found.unpriced, found.is_whole) == (("6/0 cloud",), False)


def _recorded(seconds: float) -> Recorded:
    return Recorded("silver-eaves", None, None, None, seconds, None, None, None, None, "good")


def test_pieces_without_hours_are_in_no_divisor(benches: Benches) -> None:
    """The mean is of the pieces whose hours are known, and says of how many."""
    bench, _ = benches
    bench.begin("door", "silver-eaves")
    state = bench.journal.timed(bench.make("door", "Lot 1"))
    untimed = piece_times(state, None)

    def timed(seconds: float) -> PieceTimes:
        return replace(untimed, recorded=(_recorded(seconds),))

    assert mean_s([untimed]) == (None, 0)
    assert mean_s([timed(3600.0), untimed, timed(1800.0)]) == (2700.0, 2)


def test_the_sheet_says_what_each_figure_is() -> None:
    """Each price that is missing is named, hours are held against the offer once all is made."""
    whole = said(CLOSING)
    assert "2.4 h in all, a good one 0.79 h (2 of them timed)" in whole
    assert "-36.5 against that" in whole
    untimed = replace(LOT, hours=0.0, each_h=None, timed=0)
    assert "1 spoilt; no hours known" in said(replace(CLOSING, lots=(untimed,)))
    assert "costs 778.12 EUR" in whole
    assert "used: not known, no tube is named" in whole
    begun = replace(
        CLOSING, done=False, used="0.40", used_unpriced=("15/0 plum",), drawn=1, planned="10.11",
        planned_unpriced=("15/0 plum", "gel-spun 0.13 mm"), next_unpriced=("15/0 moss",),
    )  # fmt: skip
    whole = said(begun)
    assert "38.9 hours; not all is made yet" in whole
    assert "against that" not in whole.replace("nothing is held against that", "")
    for part in (
        "used: 0.40 EUR, what tubes gave for 1 of 5 pieces; without 15/0 plum: no price",
        "planned: 10.11 EUR for all pieces, spare included; without 15/0 plum; gel-spun 0.13 mm",
        "costs 778.12 EUR; without 15/0 moss: no price",
    ):
        assert part in whole, part


def test_an_hour_earns_neither_tax_nor_materials() -> None:
    """It earns what is due before tax, less the materials, rounded to the cent."""
    amounts = map(Decimal, ("110", "10", "100", "20", "120", "0"))
    due = Totals(*amounts)
    assert earned_per_hour(due, Decimal("10.00"), 7.0) == Decimal("12.86")
    assert earned_per_hour(due, None, 8.0) == Decimal("12.50")
