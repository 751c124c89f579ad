"""The pace screen: what pieces took and will take, where it gets slow, which gaps are breaks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import partial

from textual.worker import get_current_worker

from bench.journal.errors import JournalError
from bench.making.piece_verdicts import correct_break
from bench.making.reasons import UNSAID
from bench.screens.kit.list_screen import FIXED_KEYS, ListMode, ListScreen, bindings
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.expected_times import finished_news
from bench.screens.lists.pace_figures import PatternTimes
from bench.screens.lists.pace_list import PaceList
from bench.screens.lists.pattern_in_short import in_short_of, pieces_of
from bench.screens.lists.pattern_pages import PatternPages
from bench.screens.lists.piece_gaps import PieceGaps, gaps_to_show
from bench.timing.piece_history import Course, Gap, course_of

LATEST = 30
"""Pieces that rows, stages and the list of pieces are read from."""
PAGE_KEYS = FIXED_KEYS | {"back": "escape,backspace,q,Q"}
"""The fixed keys of a page: the one that closes the list goes back, too."""


class PaceScreen(ListScreen):
    """Three depths: the patterns with a plot, one pattern's pages, one piece's gaps."""

    BINDINGS = [*bindings("the pages", PAGE_KEYS)]
    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.patterns = PaceList(self._open, self.leave, companion.pace)
        self.mode = self.patterns

    def leave(self) -> None:
        """Go back to the list."""
        self.app.pop_screen()

    def on_mount(self) -> None:
        """Show the times once the screen is up."""
        self.call_after_refresh(self.times_read)

    def on_screen_resume(self) -> None:
        """Read anew what is open: a piece may have been taken in hand again meanwhile."""
        self.companion.pace.renew()
        self.companion.pace.want_fit()
        self.companion.read_times()
        self.mode.said = finished_news(self.companion.pace)
        if isinstance(self.mode, PatternPages):
            self._read_latest(self.mode)
        self.redraw()

    def times_read(self) -> None:
        """Make the list and the plot anew."""
        self.patterns.read()
        self.redraw()

    def _show(self, mode: ListMode) -> None:
        self.mode = mode

    # One pattern

    def _open(self, line: PatternTimes) -> None:
        pages = PatternPages(
            self.companion, self._open_gaps, partial(self._show, self.patterns), line
        )
        self.mode = pages
        self._read_latest(pages)

    def _read_latest(self, pages: PatternPages) -> None:
        pages.in_short = in_short_of(self.companion.pace, pages.line)
        pieces = pieces_of(self.companion.pace, pages.line)
        latest = [times.piece for times in pieces[-LATEST:]]
        spoilt = [t.piece for t in pieces if t.status in {"second", "given up"} and not t.trial]
        read = partial(self._read, pages, latest, spoilt)
        self.run_worker(read, thread=True, exclusive=True, exit_on_error=False)

    def _read(self, pages: PatternPages, pieces: Sequence[str], spoilt: Sequence[str]) -> None:
        """Read the latest pieces, in another thread and through a journal of its own.

        Of spoilt ones the reason is read.
        """
        worker, courses, said = get_current_worker(), list[Course](), ""
        reasons = Counter[str]()
        assert self.companion.journal is not None
        try:
            with self.companion.session.another_reader() as reader:
                courses = [course_of(reader, p) for p in pieces if not worker.is_cancelled]
                why = [reader.state(p).reason for p in spoilt if not worker.is_cancelled]
            reasons.update(reason for reason in why if reason and reason not in UNSAID)
        except JournalError as error:
            said = str(error)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._was_read, pages, courses[::-1], reasons, said)

    def _was_read(
        self, pages: PatternPages, courses: Sequence[Course], reasons: Counter[str], said: str
    ) -> None:
        pages.said = said
        pages.fill(courses, reasons.most_common())
        self.redraw()

    # One piece

    def _open_gaps(self, course: Course) -> None:
        pages = self.mode
        assert isinstance(pages, PatternPages)
        gaps = PieceGaps(
            lambda gap: self._correct(pages, gaps, gap),
            partial(self._show, pages),
            course,
            gaps_to_show(course),
        )
        self.mode = gaps

    def _correct(self, pages: PatternPages, gaps: PieceGaps, gap: Gap) -> None:
        """Keep that a gap is a break, or is none, and read the piece anew."""
        journal, piece = self.companion.journal, gaps.course.times.piece
        if self.companion.cannot_write or journal is None:
            gaps.said = self.companion.cannot_write
            return
        try:
            correct_break(journal, piece, gap.event, is_break=not gap.is_break)
            course = course_of(journal, piece)
        except JournalError as error:
            gaps.said = str(error)
            return
        gaps.take(course)
        pages.fill([course if c.times.piece == piece else c for c in pages.courses])
        self.companion.pace.touch(piece)
        self.companion.pace.renew()
        self.companion.read_times()
