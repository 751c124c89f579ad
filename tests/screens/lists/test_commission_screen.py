from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from bench.commission.closing import closing
from bench.commission.identity import with_ids
from bench.commission.lot_number import next_number
from bench.commission.lot_refs import LotRef, LotRefs
from bench.commission.materials import materials_of
from bench.commission.needs import WorkedLot, needs_of
from bench.commission.pieces_ahead import lots_ahead, pieces_in_turn
from bench.commission.progress import (
    BegunPiece,
    CommissionProgress,
    lot_works,
    progress_of,
)
from bench.commission.starting import begun_last_with, number_of_next, start_of_lot
from bench.commission.turns import in_turn
from bench.documents.commission import Commission, Lot
from bench.documents.library import Library
from bench.documents.settings import Settings, WorkSettings
from bench.documents.stock import Shelf, Stock, StockBead, StockThread
from bench.journal.piece_times import PieceTimes
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.pace.model import Model, fit
from bench.screens.bench.screen import BenchScreen
from bench.screens.lists.closing_page import ClosingPage
from bench.screens.lists.commission_page import CommissionFigures, date, hours
from bench.screens.lists.commission_screen import CommissionScreen
from bench.screens.lists.lots_page import LotsPage
from bench.screens.lists.tonight_page import odds
from bench.timing.finished_pieces import FinishedPieces
from bench.timing.piece_records import record_of
from tests.support.clock import ManualClock
from tests.support.events import times_of

from ..conftest import Sit, Sitting
from ..tour import settled

COMMISSION = "stair-window"


def screen_of(sitting: Sitting) -> CommissionScreen:
    """The commission screen, which must be up."""
    screen = sitting.app.screen
    assert isinstance(screen, CommissionScreen)
    return screen


async def opened(sitting: Sitting) -> CommissionScreen:
    """Open the commission from the list."""
    await settled(sitting)
    await sitting.pick(COMMISSION)
    await sitting.press("enter")
    await settled(sitting)
    return screen_of(sitting)


def now_at(home: Path) -> float:
    """The present moment by the journal in a folder: when its last piece was finished."""
    with Journal.open(home / "journal.db", write=False) as journal:
        book = FinishedPieces(journal.path, Library(home), keep=False)
        book.read_all(journal)
    return max((t.finished_at or 0.0 for t in book.pieces.values()), default=1.8e9)


def stood(
    home: Path, commission: Commission, settings: Settings | None = None
) -> tuple[CommissionProgress, Model]:
    """How a commission stands by the journal in a folder, with no piece in the making."""
    library = Library(home)
    with Journal.open(home / "journal.db", write=False) as journal:
        book = FinishedPieces(journal.path, library, keep=False)
        book.read_all(journal)
    times = list(book.pieces.values())
    now = ManualClock(now_at(home)).now()
    model = fit([r for t in times if (r := record_of(t)) is not None], today=now.wall / 86_400)
    orders = lot_works(library, commission)
    return progress_of(
        COMMISSION, commission, orders, times, [], model, settings or Settings(), now
    ), model


@pytest.fixture
def shipped(home: Path) -> Commission:
    """The shipped commission."""
    library = Library(home)
    return with_ids(COMMISSION, library.commission(library.commission_path(COMMISSION)))


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40)])
async def test_how_the_commission_stands(sit: Sit, sixty: Path, size: tuple[int, int]) -> None:
    """The lots say made, begun, hours and date; below stand the sum, the finish and the price."""
    async with sit(*size) as sitting:
        screen = await opened(sitting)
        found = screen.figures.progress
        assert found is not None
        good = sum(len(lot.good) for lot in found.lots)
        assert f"{good} of 60 pieces good" in sitting.shown
        for lot in found.lots:
            assert lot.work.lot.name[:12] in sitting.shown
            assert f"{len(lot.good)}/{lot.work.lot.pieces}" in sitting.shown
        assert "h a week" in sitting.shown
        assert "what an hour costs" in sitting.shown
        assert "L back" in sitting.shown


async def test_enter_goes_on_with_a_lot_or_starts_its_next_piece(sit: Sit, sixty: Path) -> None:
    """Enter begins the piece with its number, its commission and its lot, and then goes on with it.

    N begins another one; the lines above the foot say both.
    """
    async with sit() as sitting:
        screen = await opened(sitting)
        assert screen.figures.progress is not None
        number = screen.figures.progress.lots[3].next_number
        screen.lots.begin = "braid"
        await sitting.press("down", "down", "down", "w", "enter")
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        state = bench.braid.state
        assert (state.commission, state.lot, state.stage) == (COMMISSION, "Pearls, grey", "load")
        assert state.title == f"Pearls, grey {number}"
        await sitting.press("space", "l")
        begins = f"begins piece {number + 1} of this lot with loading"
        assert begins in sitting.shown, "at once, before the rest is read anew"
        await settled(sitting)
        assert "read anew" not in sitting.shown
        found = screen_of(sitting).figures.progress
        assert found is not None
        lot = found.lots[3]
        assert [making.state.uuid for making in lot.making] == [state.uuid]
        assert lot.to_make == 10 - len(lot.good) - 1
        assert f"ENTER goes on with {bench.braid.state.name}: loading" in sitting.shown
        assert f"N {begins}" in sitting.shown
        await sitting.press("enter")
        again = sitting.app.screen
        assert isinstance(again, BenchScreen)
        assert again.braid.piece == state.uuid
        await sitting.press("l", "n")
        other = sitting.app.screen
        assert isinstance(other, BenchScreen)
        assert other.braid.state.title == f"Pearls, grey {number + 1}"
        await sitting.press("l")
        assert "was not begun: nothing was counted of it yet." in sitting.shown
        await sitting.press("l")
        assert "IN THE MAKING" in sitting.shown


async def test_no_number_is_given_twice(sit: Sit) -> None:
    """After a piece that was given up with nothing done, the next one after a later one's."""
    async with sit() as sitting:
        await opened(sitting)
        screen, app = screen_of(sitting), sitting.app
        lot = screen.commission.lots[0]

        def start() -> Braid:
            assert app.journal is not None
            made = app.session.work_up(lot.pattern, lot.size, lot.colourway)
            order = screen.commission.id or ""
            own = (LotRefs(app.journal, {}), LotRef(order, lot.id or ""))
            number = number_of_next(app.journal, app.pace.pieces, *own)
            return start_of_lot(app.journal, made, COMMISSION, order, lot, number, "braid")

        first, second = start(), start()
        second.cross()
        first.give_up("nothing was counted")
        app.pace.touch(first.piece)
        app.pace.renew()
        assert start().state.title.endswith(" 3")


def test_a_piece_begins_as_the_one_begun_last(tmp_path: Path, clock: ManualClock) -> None:
    """What was begun last counts, not what was touched or finished last."""
    made = WorkedPattern.from_library(Library(tmp_path), Settings(), "silver-eaves", None, None)
    with Journal.open(tmp_path / "journal.db", write=True, clock=clock) as journal:
        assert begun_last_with(None) == begun_last_with(journal) == "braid"
        loaded = Braid.start(journal, made, stage="load")
        assert begun_last_with(journal) == "load"
        clock.advance(60)
        Braid.start(journal, made, stage="braid")
        clock.advance(60)
        loaded.end_stage()
        assert begun_last_with(journal) == "braid"
        clock.advance(60)
        loaded.finish("good")
        assert begun_last_with(journal) == "braid"
        clock.advance(60)
        Braid.start(journal, made, stage="set_up").give_up("another day")
        assert begun_last_with(journal) == "set_up"
        clock.advance(60)
        Braid.start(journal, made, stage="load", as_sample=True)
        assert begun_last_with(journal) == "set_up", "a sample is loaded first, whatever is usual"


def test_the_next_number_is_past_every_one_that_a_piece_bore() -> None:
    """The next one is above all; pieces without a number leave it."""
    assert next_number([]) == 1
    assert next_number([1, 2]) == 3
    assert next_number([4, None]) == 5
    assert next_number([17, 16]) == 18


async def test_more_time_finishes_no_fewer_pieces(sit: Sit, sixty: Path) -> None:
    """Left and right change the time at hand; what fits grows with it and never exceeds it."""
    async with sit() as sitting:
        screen = await opened(sitting)
        await sitting.press("2")
        await settled(sitting)
        finished: list[int] = []
        for _ in range(3):
            page = screen.tonight
            assert page.evening is not None
            assert all(60 * step.end_min <= page.at_hand_s + 30 for step in page.evening.steps)
            finished.append(len(page.evening.finished))
            await sitting.press("right", "right", "right", "right")
            await settled(sitting)
        assert finished == sorted(finished)
        assert finished[-1] > finished[0]
        assert page.evening is not None
        assert f"chance: {odds(page.evening.chance or 0.0)}" in sitting.shown
        screen.tonight.at_hand_s = 1800.0
        await sitting.press("left", "left", "left")
        await settled(sitting)
        assert screen.tonight.at_hand_s == 900.0


async def test_needs_and_closing_sheet(sit: Sit, sixty: Path) -> None:
    """Page 3 lists what is still to be bought for, and that more is below; page 4 the hours."""
    async with sit() as sitting:
        screen = await opened(sitting)
        found = screen.figures.progress
        assert found is not None
        await sitting.press("3")
        left = sum(lot.to_make for lot in found.lots)
        assert f"Still to begin: {left} pieces" in sitting.shown
        assert "rain grey" in sitting.shown
        assert "more lines below: DOWN" in sitting.shown
        await sitting.press("4")
        assert "SO FAR" in sitting.shown
        total = closing(found)
        assert f"{total.good} good" in sitting.shown
        assert f"{hours(total.rework_s)} h" in sitting.shown


async def test_a_broken_run_is_said_on_the_list(sit: Sit, home: Path) -> None:
    """A commission whose file is wrong is not opened; the list says what is wrong."""
    (home / "commissions").mkdir(parents=True)
    text = 'format = 1\ntitle = "Odd"\n[[lots]]\nname = "x"\npattern = "cistern"\npieces = 0\n'
    (home / "commissions" / "odd.toml").write_text(text)
    async with sit() as sitting:
        await settled(sitting)
        await sitting.pick("odd")
        await sitting.press("enter")
        assert "BRAID BENCH" in sitting.shown
        assert "it takes 1 at the least" in sitting.shown


def test_hours_add_up(sixty: Path, shipped: Commission) -> None:
    """Hours spent are those of its pieces; the lots' hours to come make up the whole."""
    found, _ = stood(sixty, shipped)
    own = [times for lot in found.lots for times in lot.pieces]
    assert len(own) == 46
    assert found.done_s == pytest.approx(sum(times.spent_s for times in own))
    total = closing(found)
    parts = sum(total.stages.values()) + total.rework_s + total.whole_s
    assert parts == pytest.approx(found.done_s)
    assert total.rework_s > 600
    assert total.each_s == pytest.approx(found.done_s / total.timed)
    parts = sum(lot.to_come.quantile(0.5) for lot in found.lots)
    assert found.to_come.quantile(0.5) == pytest.approx(parts, rel=0.05)


def test_seconds_and_given_up_pieces_are_made_again(sixty: Path, shipped: Commission) -> None:
    """A lot is done by good pieces alone: each second or given-up piece leaves one more to make."""
    found, _ = stood(sixty, shipped)
    spoilt = [lot for lot in found.lots if lot.spoilt]
    assert spoilt
    for lot in found.lots:
        assert lot.to_make == lot.work.lot.pieces - len(lot.good)
    assert closing(found).seconds + closing(found).given_up == sum(len(x.spoilt) for x in spoilt)


def test_what_is_late_grows_with_the_hours(sixty: Path, shipped: Commission) -> None:
    """A lot due in a month is likely late at two hours a week, and not at forty."""
    with_due = []
    due = dt.date.fromtimestamp(now_at(sixty)) + dt.timedelta(days=30)
    for lot in shipped.lots:
        with_due.append(lot.model_copy(update={"due": due}))
    commission = shipped.model_copy(update={"lots": tuple(with_due)})
    late = []
    for week in (2.0, 8.0, 40.0):
        found, _ = stood(sixty, commission, Settings(work=WorkSettings(hours_per_week=week)))
        chances = [lot.late for lot in found.lots]
        assert None not in chances
        late.append(chances[-1] or 0.0)
    assert late[0] > 0.9
    assert late[0] >= late[1] >= late[2]
    assert late[2] < 0.1


def test_price_is_hours_materials_and_margin(sixty: Path, shipped: Commission) -> None:
    """The price is spent and coming hours at the rate, with materials, and the margin on both."""
    library, settings = Library(sixty), Settings(work=WorkSettings(hourly_rate=20.0, margin=0.1))
    found, model = stood(sixty, shipped, settings)
    now = ManualClock(now_at(sixty)).now()
    pieces = [times for lot in found.lots for times in lot.pieces]
    more = progress_of(
        COMMISSION, shipped, lot_works(library, shipped), pieces, [], model, settings, now, 100.0
    )
    assert found.price is not None
    assert more.price is not None
    whole_h = (found.done_s + found.to_come.quantile(0.5)) / 3600
    assert found.price.median == pytest.approx(whole_h * 20 * 1.1)
    assert more.price.median - found.price.median == pytest.approx(110.0, rel=0.01)


def test_pieces_in_the_making_wait_first(
    home: Path, clock: ManualClock, shipped: Commission
) -> None:
    """What is left of a begun piece is less than a whole one, and it lies on the stand.

    However few pieces are looked at, every lot has one among them.
    """
    library, settings = Library(home), Settings()
    made = WorkedPattern.from_library(library, settings, "silver-eaves")
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        braid = Braid.start(journal, made, commission=COMMISSION, lot="Eaves, grey")
        while braid.made < 36:
            clock.advance(20.0)
            if braid.mark_due is None:
                braid.cross()
            else:
                braid.mark_done()
        times = times_of(braid)
        making = [BegunPiece(braid.state, times, None)]
        orders = lot_works(library, shipped)
        found = progress_of(COMMISSION, shipped, orders, [], making, fit([]), settings, clock.now())
    few = pieces_in_turn(found, in_turn(lots_ahead(found)), clock.now(), 12)
    assert len(few) <= 12
    first, second = few[:2]
    assert first.on_stand
    assert not second.on_stand
    shares = dict(first.job.shares)
    assert shares["load"] == 0.0
    assert shares["braid"] == pytest.approx(0.5)
    assert shares["finish"] == 1.0
    assert found.lots[0].to_make == 15


def test_too_large_a_run_is_refused() -> None:
    """More pieces than can be forecast are refused in a sentence, not worked at for hours."""
    lots = tuple(Lot(name=name, pattern="cistern", pieces=10_001) for name in ("many", "more"))
    with pytest.raises(ValueError, match="20,000 pieces"):
        Commission(format=1, title="x", lots=lots)


def test_materials_are_shares_of_packs(home: Path) -> None:
    """Beads cost their grams' share of a tube, thread its metres' share of a spool."""
    settings = Settings()
    made = WorkedPattern.from_library(Library(home), settings, "silver-eaves")
    bead = StockBead(size="15/0", name="rain grey", tube_g=8.0, price=4.0)
    thread = StockThread(name="gel-spun 0.13 mm", spool_m=100.0, price=20.0)
    stock = Stock(beads=(bead,), threads=(thread,))
    needs = needs_of("one", [WorkedLot("x", made, 3)], Shelf(stock, None), settings)
    found = materials_of(needs, stock, settings.thumb)
    assert found is not None
    grams = next(n.grams for n in needs.beads if n.name == "rain grey")
    metres = needs.threads[0].metres
    assert found.amount == pytest.approx(grams / 8 * 4 + metres / 100 * 20)
    assert "11/0 wet slate" in found.unpriced
    assert materials_of(needs, Stock(), settings.thumb) is None


def test_a_finished_commission_has_its_closing_sheet(sixty: Path, shipped: Commission) -> None:
    """When every lot has its pieces nothing is to come, and the sheet says that it closes."""
    lots = []
    found, _ = stood(sixty, shipped)
    for lot in found.lots:
        if lot.good:
            lots.append(lot.work.lot.model_copy(update={"pieces": len(lot.good)}))
    done, _ = stood(sixty, shipped.model_copy(update={"lots": tuple(lots)}))
    assert done.done
    assert done.finish is None
    assert done.to_come.quantile(0.9) == 0.0
    figures = CommissionFigures("x", ManualClock().now(), WorkSettings(), progress=done)
    text = ClosingPage(figures, print, print).draw(80, 24).as_text()
    assert "CLOSING SHEET" in text
    assert "for each good piece" in text
    lots_text = LotsPage(figures, print, len(lots)).draw(80, 24).as_text()
    assert "nothing: every lot has its pieces" in lots_text


def test_a_done_lot_dries_no_more(sixty: Path, shipped: Commission) -> None:
    """The finish waits for the drying of the last lot with pieces to come, not of a done one."""
    found, model = stood(sixty, shipped)
    first, *rest = shipped.lots
    good = found.lots[0].good
    done = first.model_copy(update={"pieces": len(good), "name": first.name})
    open_lot = rest[-1]
    settings, library = Settings(), Library(sixty)
    now = ManualClock(now_at(sixty)).now()

    def finish_days(dry_s: float) -> float:
        commission = shipped.model_copy(update={"lots": (open_lot, done)})
        orders = [
            replace(o, dry_s=d)
            for o, d in zip(lot_works(library, commission), (0.0, dry_s), strict=True)
        ]
        stands = progress_of(COMMISSION, commission, orders, good, [], model, settings, now)
        assert stands.finish is not None
        return stands.finish.median_days

    assert finish_days(0.0) == finish_days(5 * 86_400.0)


async def test_what_goes_wrong_while_a_commission_is_worked_out_is_said(
    sit: Sit, sixty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error that nobody foresaw leaves words on the screen, and coming back works it out."""
    async with sit() as sitting:
        screen = await opened(sitting)
        with monkeypatch.context() as broken:
            broken.setattr(screen, "_read", lambda: 1 / 0)
            screen.times_read()
            for _ in range(5):
                await sitting.pilot.pause(0.05)
            assert "could not be worked out" in sitting.shown
        screen.times_read()
        for _ in range(40):
            await sitting.pilot.pause(0.05)
        assert "could not be worked out" not in sitting.shown
        assert screen.figures.progress is not None


def test_the_words_below_the_lots_leave_no_question(sixty: Path, shipped: Commission) -> None:
    """Where the rate is set is named; lots that do not add up are explained."""
    found, _ = stood(sixty, shipped)
    figures = CommissionFigures("x", ManualClock().now(), WorkSettings(), progress=found)
    page = LotsPage(figures, print, len(found.lots))
    text = " ".join(page.draw(80, 24).as_text().split())
    assert "say what an hour costs: 7 shop, rates" in text
    shown = [round(lot.to_come.quantile(0.5) / 3600, 1) for lot in found.lots]
    differ = abs(sum(shown) - found.to_come.quantile(0.5) / 3600) >= 0.05
    assert ("need not add up" in text) == differ


def test_begun_pieces_of_one_name_are_told_apart(
    home: Path, clock: ManualClock, shipped: Commission
) -> None:
    """Two begun pieces of one title are numbered, not by their ids; each knows its lot."""
    library, settings = Library(home), Settings()
    made = WorkedPattern.from_library(library, settings, "silver-eaves")
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        braids = [
            Braid.start(journal, made, commission=COMMISSION, lot="Eaves, grey") for _ in range(2)
        ]
        making = [BegunPiece(b.state, times_of(b), None) for b in braids]
    orders = lot_works(library, shipped)
    found = progress_of(COMMISSION, shipped, orders, [], making, fit([]), settings, clock.now())
    ahead = pieces_in_turn(found, in_turn(lots_ahead(found)), clock.now(), 8)
    assert [w.name for w in ahead][:2] == ["Eaves, grey", "Eaves, grey, no. 2"]
    assert [w.lot for w in ahead][:2] == ["Eaves, grey"] * 2


def test_far_dates_are_written_by_month() -> None:
    """Days beyond most of a year are shown as month and year; beyond the calendar, as never."""
    now = ManualClock().now()
    assert date(now, 1.0) == "02 Mar"
    assert date(now, 400.0) == "Apr 2027"
    assert date(now, 1e9) == "never"


def test_pieces_of_other_runs_do_not_count(sixty: Path, shipped: Commission) -> None:
    """Pieces made before the commission count for the pace alone."""
    found, model = stood(sixty, shipped)
    own: list[PieceTimes] = [times for lot in found.lots for times in lot.pieces]
    assert {times.commission for times in own} == {COMMISSION}
    assert model.pieces == 60


async def test_a_full_lot_begins_nothing_by_enter(sit: Sit, sixty: Path) -> None:
    """Enter on a lot whose pieces are all made says so in full; N, which is named, begins one."""
    async with sit() as sitting:
        screen = await opened(sitting)
        await sitting.press("down", "down")
        found = screen.figures.progress
        assert found is not None
        assert not found.lots[2].to_make
        await sitting.press("enter")
        assert sitting.app.screen is screen
        assert "Nothing was begun: every piece of this lot is made or begun" in sitting.shown
        assert "N begins piece" in sitting.shown
        await sitting.press("w")
        assert "New pieces begin with" in sitting.shown
        await sitting.press("n")
        assert isinstance(sitting.app.screen, BenchScreen)
