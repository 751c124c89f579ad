from __future__ import annotations

import io
from pathlib import Path

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.csv_import import import_csv
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.pace.records import Variant
from bench.screens.app import BenchApp
from bench.screens.bench.screen import BenchScreen
from bench.screens.lists.pace_figures import PatternTimes, stage_shares
from bench.screens.lists.pace_list import PaceList
from bench.screens.lists.pace_screen import PaceScreen
from bench.screens.lists.pattern_pages import PatternPages
from bench.screens.lists.piece_gaps import PieceGaps
from bench.timing.finished_pieces import FinishedPieces
from bench.timing.kept_figures import with_check
from bench.timing.pace_service import LivePace
from bench.timing.piece_history import RowTime, course_of
from tests.support.clock import ManualClock

from ..conftest import Sit, Sitting
from ..tour import settled

LINE = PatternTimes(Variant("cistern"), "Cistern", 4, 3000.0, 3600.0, 4200.0, None)


def pace(sitting: Sitting) -> PaceScreen:
    """The pace screen, which must be up."""
    screen = sitting.app.screen
    assert isinstance(screen, PaceScreen)
    return screen


def pages_of(line: PatternTimes) -> PatternPages:
    """The pages of a pattern, of which no piece was read yet."""
    return PatternPages(BenchApp(), print, print, line)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40)])
async def test_times_of_sixty_pieces(sit: Sit, sixty: Path, size: tuple[int, int]) -> None:
    """T lists each pattern with its next piece, and plots the picked one with its band."""
    async with sit(*size) as sitting:
        await settled(sitting)
        await sitting.press("t")
        await settled(sitting)
        shown = sitting.shown
        assert "YOUR TIMES" in shown
        assert "60 pieces" in shown
        assert "Gutter Pearl" in shown
        assert "●" in shown
        assert "next" in shown
        assert "L back" in shown
        for line in pace(sitting).patterns.lines:
            assert 30 * 60 < line.low_s < line.median_s < line.high_s < 120 * 60


async def test_the_plot_turns_to_a_stage(sit: Sit, sixty: Path) -> None:
    """Left and right show a single stage; its minutes are fewer than the whole piece's."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.press("t")
        await settled(sitting)
        whole = [spot.value for spot in pace(sitting).patterns.points if spot.value is not None]
        await sitting.press("right")
        assert "LOAD ONLY" in sitting.shown
        load = [spot.value for spot in pace(sitting).patterns.points if spot.value is not None]
        assert len(load) == len(whole)
        assert all(a < b for a, b in zip(load, whole, strict=True))
        await sitting.press("left")
        assert "WHOLE PIECE" in sitting.shown


async def test_pages_of_a_pattern(sit: Sit, sixty: Path) -> None:
    """Enter shows where within a piece it gets slow, the stages' shares, and the pieces."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.press("t")
        await settled(sitting)
        await sitting.press("enter")
        await settled(sitting)
        in_short = " ".join(sitting.shown.split())
        assert "the next 10 together" in in_short
        assert "11 pieces in 11 h" in in_short
        assert "10 good, 1 second" in in_short
        assert "1 of 11 (9 %) seconds or given up" in in_short
        assert "seconds a cross: row" in in_short
        await sitting.press("right")
        assert "SECONDS A CROSS BY ROW" in sitting.shown
        assert sitting.shown.count("slowest") == 1
        await sitting.press("right")
        stages = pace(sitting).mode
        assert isinstance(stages, PatternPages)
        assert sum(part.share for part in stages.stages) == pytest.approx(1.0)
        assert "rework" in sitting.shown
        await sitting.press("right")
        assert "Pearls, grey 8" in sitting.shown
        await sitting.press("l")
        assert "YOUR TIMES" in sitting.shown


async def test_a_break_is_put_right(sit: Sit, sixty: Path) -> None:
    """Enter on a break makes it work: the piece's hands-on time grows by it, and it is on disk."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.press("t")
        await settled(sitting)
        await sitting.press("enter")
        await settled(sitting)
        await sitting.press("left", "enter")
        gaps = pace(sitting).mode
        assert isinstance(gaps, PieceGaps)
        number = next(n for n, gap in enumerate(gaps.gaps) if gap.is_break)
        before = gaps.course.times.hands_on_s
        await sitting.press(*["down"] * number, "enter")
        after = pace(sitting).mode
        assert after is gaps
        gap = gaps.gaps[number]
        assert (gap.is_break, gap.corrected) == (False, True)
        assert "you said" in sitting.shown
        grown = gaps.course.times.hands_on_s - before
        assert 0.5 * gap.seconds < grown <= gap.seconds
        await settled(sitting)
        piece = gaps.course.times.piece
        book = {times.piece: times for times in sitting.app.pace.pieces}
        assert book[piece].hands_on_s == pytest.approx(gaps.course.times.hands_on_s)
    with Journal.open(sixty / "journal.db", write=False) as journal:
        said = [event.values for event in journal.events(piece, "break_corrected")]
    assert said == [{"event": gap.event, "is_break": False}]


async def test_times_are_tried_again_after_an_error(
    sit: Sit, sixty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error that nobody foresaw is told on the list, and the next visit reads the times."""

    def fails(*_: object) -> None:
        raise RuntimeError

    with monkeypatch.context() as broken:
        broken.setattr(LivePace, "work_out", fails)
        async with sit() as sitting:
            for _ in range(5):
                await sitting.pilot.pause(0.05)
            assert "times could not be worked out" in " ".join(sitting.app.first.home.notices)
            broken.undo()
            sitting.app.fill_home()
            for _ in range(40):
                await sitting.pilot.pause(0.05)
            assert sitting.app.pace.known


async def test_no_piece_yet(sit: Sit) -> None:
    """Without a finished piece the screen says how times come about."""
    async with sit() as sitting:
        await sitting.press("t")
        await settled(sitting)
        assert "No piece is finished yet" in sitting.shown
        await sitting.press("l")
        assert "BRAID BENCH" in sitting.shown


async def test_pieces_that_went_by_too_fast_are_told(sit: Sit, home: Path) -> None:
    """A piece whose keys were pressed through has no times; the screen says so, and why."""
    made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
    with Journal.open(home / "journal.db", write=True, clock=ManualClock()) as journal:
        braid = Braid.start(journal, made, stage="braid")
        braid.set_place(72)
        braid.finish("good")
    async with sit() as sitting:
        await settled(sitting)
        await sitting.press("t")
        await settled(sitting)
        assert "No piece with times is finished yet" in sitting.shown
        assert "1 piece is left out: keys pressed faster than hands work" in sitting.shown


async def test_a_finished_piece_is_compared(sit: Sit, sixty: Path) -> None:
    """Back on the list, one line says what the piece took and what was expected; a key clears it.

    Only the stages that were done at the bench are compared: this piece began with braiding.
    """
    async with sit() as sitting:
        await settled(sitting)
        await sitting.begin("cistern")
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        braid = screen.braid
        while braid.state.stage == "braid":
            forward = braid.mark_due is None and braid.next_step is not None
            await sitting.press("space" if forward else "m")
        await sitting.press("m", seconds=1800.0)
        await sitting.press("m", seconds=1100.0)
        await sitting.press("1", "escape")
        await settled(sitting)
        news = sitting.app.first.home.news
        assert news.startswith("Cistern: ")
        assert "for braid" in news
        assert "expected" in news
        assert news in sitting.shown
        await sitting.press("down")
        assert news not in sitting.shown


def test_finished_pieces_are_read_from_their_file(sixty: Path) -> None:
    """The kept sums say the same as the events, and are not used for a piece that has changed."""
    path = sixty / "journal.db"
    with Journal.open(path, write=False) as journal:
        first = FinishedPieces(path, Library(sixty), keep=True)
        first.read_all(journal)
        again = FinishedPieces(path, Library(sixty), keep=True)
        again.read_all(journal)
        assert len(first.pieces) == 60
        assert again.pieces == first.pieces
        assert again.records == first.records
        lines = (sixty / "times.cache").read_text().splitlines()
        assert len(lines) == 60
        piece, _, text = lines[0].split("\t")[1:]
        stale = f"{piece}\tx\t{text.replace('good', 'second')}"
        flipped = lines[1].replace('"finished_at": 1', '"finished_at": 2')
        assert flipped != lines[1]
        kept = [with_check(stale).strip(), flipped, "{broken", *lines[2:]]
        (sixty / "times.cache").write_text("\n".join(kept) + "\n")
        third = FinishedPieces(path, Library(sixty), keep=True)
        third.read_all(journal)
        assert third.pieces == first.pieces
    assert len((sixty / "times.cache").read_text().splitlines()) == 63


def test_nothing_is_kept_by_a_reader(sixty: Path) -> None:
    """A window that only looks on writes no file."""
    path = sixty / "journal.db"
    (sixty / "times.cache").unlink()
    with Journal.open(path, write=False) as journal:
        FinishedPieces(path, Library(sixty), keep=False).read_all(journal)
    assert not (sixty / "times.cache").exists()


def test_rows_of_a_long_rope_are_put_together() -> None:
    """A thousand rows find room: several together in one line, the slowest named once."""
    rows = [RowTime(n, 15.0 + (10.0 if n == 700 else 0.0), "a") for n in range(1, 1001)]
    pages = pages_of(LINE)
    pages.reading, pages.rows, pages.of_pieces, pages.page = False, rows, 3, "rows"
    text = pages.draw(80, 24).as_text()
    assert "1 to " in text
    assert text.count("slowest") == 1
    assert len(text.splitlines()) <= 24


def test_a_piece_given_up_half_way_tells_its_pace(home: Path, clock: ManualClock) -> None:
    """Half a braid at 20 s a cross says 20 s a cross, and as many minutes as a whole one."""
    made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        for crosses in (72, 36):
            braid = Braid.start(journal, made, stage="braid")
            while braid.made < crosses:
                if braid.mark_due is None:
                    clock.advance(20.0)
                    braid.cross()
                else:
                    braid.mark_done()
            if crosses == 36:
                braid.give_up("frayed")
            else:
                braid.finish("good")
        courses = [course_of(journal, state.uuid) for state in journal.pieces(open_only=False)]
    for some in (courses, courses[:1], courses[1:]):
        (line,) = stage_shares(some)
        assert line.unit_s == pytest.approx(20.0, rel=0.01)
        assert line.seconds == pytest.approx(72 * 20.0, rel=0.01)


def test_typed_rework_stands_among_the_pieces(home: Path, clock: ManualClock) -> None:
    """Rework that was typed in is shown; where nothing is known of it, no figure is."""
    rows = b"pattern,hands_on_s,rework_s\ncistern,3600,720\ncistern,3500,\n"
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        import_csv(journal, io.BytesIO(rows), now=clock.now().wall)
        courses = [course_of(journal, state.uuid) for state in journal.pieces(open_only=False)]
    pages = pages_of(LINE)
    pages.page = "pieces"
    pages.fill(courses)
    text = " ".join(pages.draw(80, 24).as_text().split())
    assert "1 h 00 12 min none" in text
    assert "58 min – none" in text


def test_foreign_names_cannot_steer_the_terminal() -> None:
    """Control characters in a pattern's name are shown as question marks."""
    line = PatternTimes(Variant("x"), "evil\x1b[31m", 1, 60.0, 60.0, 60.0, None)
    pace = LivePace(None, ManualClock(), Library(None), keep=False)
    patterns = PaceList(print, print, pace, [line], reading=False)
    text = patterns.draw(80, 24).as_text()
    assert "evil?[31m" in text
    assert "\x1b" not in text


def type_in(rows: bytes, home: Path, clock: ManualClock) -> None:
    """Put pieces into the journal whose times were only typed in."""
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        import_csv(journal, io.BytesIO(rows), now=clock.now().wall)


async def to_pieces(sitting: Sitting) -> PatternPages:
    """Open the pieces of the pattern that was made last."""
    await settled(sitting)
    await sitting.press("t")
    await settled(sitting)
    await sitting.press("enter")
    await settled(sitting)
    await sitting.press("left")
    pages = pace(sitting).mode
    assert isinstance(pages, PatternPages)
    assert pages.page == "pieces"
    return pages


async def test_a_finished_piece_is_taken_in_hand_again(sit: Sit, sixty: Path) -> None:
    """A leads from a finished piece back to the bench; it counts no more until it ends again."""
    async with sit() as sitting:
        pages = await to_pieces(sitting)
        assert "A in hand" in sitting.shown
        piece = pages.courses[0].times.piece
        await sitting.press("a")
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        assert bench.braid.piece == piece
        assert bench.braid.state.open
        await sitting.press("l")
        await settled(sitting)
        assert pace(sitting).mode is pages
        assert piece not in {course.times.piece for course in pages.courses}
        assert piece not in {times.piece for times in sitting.app.pace.pieces}
        await sitting.press("l", "l")
        assert sitting.app.first.home.rows[0].ref == piece
        assert "IN THE MAKING" in sitting.shown


async def test_pieces_known_only_as_a_whole_have_a_page_that_says_something(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """Typed times tell the next piece, the sum and the range; rows and stages say where to look."""
    rows = b"pattern,hands_on_s,rework_s\ncistern,3600,\ncistern,3000,600\ncistern,4200,\n"
    type_in(rows, home, clock)
    async with sit() as sitting:
        await to_pieces(sitting)
        await sitting.press("right")
        shown = " ".join(sitting.shown.split())
        assert "3 pieces in 3 h 10: 3 good" in shown
        assert "a whole piece took 1 h 00 to 1 h 10, in the middle 1 h 00" in shown
        assert "known by whole times alone" in shown
        await sitting.press("right")
        assert "Of 3 pieces the whole time is known" in sitting.shown


async def test_a_piece_of_a_file_cannot_be_taken_in_hand(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """What was only typed in has no place to go on from; the page says so."""
    rows = b"pattern,hands_on_s\ncistern,3600\n"
    type_in(rows, home, clock)
    async with sit() as sitting:
        await to_pieces(sitting)
        await sitting.press("a")
        assert "Only a piece that was made at the bench can be taken in hand again." in (
            sitting.shown
        )
        await sitting.press("m")
        assert "can be measured again." in sitting.shown


async def test_a_piece_that_was_given_up_is_taken_in_hand_but_not_measured(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """M is for what is finished; A lands on the cross at which the piece was given up."""
    made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        braid = Braid.start(journal, made, stage="braid")
        while braid.made < 36:
            clock.advance(20.0)
            if braid.mark_due is None:
                braid.cross()
            else:
                braid.mark_done()
        braid.give_up("frayed")
    async with sit() as sitting:
        await to_pieces(sitting)
        await sitting.press("m")
        assert "A piece that was given up is not measured." in sitting.shown
        await sitting.press("a")
        assert "cross 37 of 72" in sitting.shown


async def test_a_piece_is_marked_as_a_trial_and_counts_again(sit: Sit, sixty: Path) -> None:
    """C among the pieces sets one aside from the times, and takes that back."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.press("t")
        await settled(sitting)
        await sitting.press("enter")
        await settled(sitting)
        await sitting.press("left")
        before = len(sitting.app.pace.records)
        for said, fewer in (("is a trial: it counts for nothing", 1), ("counts again", 0)):
            await sitting.press("c")
            assert said in sitting.shown
            await settled(sitting)
            assert len(sitting.app.pace.records) == before - fewer
        await sitting.press("c")
        await settled(sitting)
        assert "  trial" in sitting.shown.splitlines()[3]


async def test_a_piece_in_the_making_is_marked_as_a_trial_on_the_list(sit: Sit) -> None:
    """C on a piece of the list marks it, says so, and takes that back."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.begin("silver-eaves")
        await sitting.press("space", "space", "l", "l")
        await settled(sitting)
        await sitting.press("home", "c")
        assert "is a trial now and counts for nothing" in sitting.shown
        await settled(sitting)
        assert "a trial:" in sitting.shown
        await sitting.press("c")
        assert "counts again" in sitting.shown
