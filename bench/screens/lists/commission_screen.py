"""The commission screen: how a commission stands, what fits in the time at hand, what it needs."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

from textual.worker import get_current_worker

from bench.answers.needs import NeedsAnswer
from bench.commission.needs import needs_of
from bench.commission.overview import Overview, read_overview
from bench.commission.progress import CommissionProgress, lot_works, waiting
from bench.commission.starting import begun_last_with, in_hand, number_of_next, start_of_lot
from bench.craft.text import Fault
from bench.documents.commission import Lot
from bench.documents.errors import DocumentError
from bench.journal.errors import JournalError
from bench.journal.state import PieceState
from bench.journal.store import Journal
from bench.pace.what_fits import MOST_PIECES, Fit, what_fits
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.lists.commission_view import BEGINNINGS, PAGES, CommissionBoard, draw_commission
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.times_screen import BACK, moved
from bench.timing.piece_records import loose_of

STEP_S = 900.0
MOST_S = 12 * 3600.0
LOTS_HELP: Lines = (
    ("UP DOWN", "choose a lot"),
    ("ENTER", "go on with the lot's piece that is begun; else begin its next one"),
    ("N", "begin a new piece of the lot while another one is in the making"),
    ("W", "what a new piece begins with: loading, setting up or braiding"),
)
TIME_HELP: Lines = (
    ("LEFT RIGHT", "less or more time at hand; what fits into it is worked out anew"),
)
NEEDS_HELP: Lines = (("UP DOWN", "scroll; PAGE UP and PAGE DOWN go further"),)
RUN_HELP: Lines = (
    ("1 2 3 4", "the pages: lots, time at hand, what is needed, what it took; TAB too"),
    ("L", "back to the list"),
)


class CommissionScreen(BoardScreen):
    """One commission. What takes long is worked out in another thread and then shown."""

    key_set = "the pages"

    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion, name: str) -> None:
        """Read the commission. Raises DocumentError or Fault if it or a pattern of it is wrong."""
        super().__init__(companion)
        library = companion.library
        path = library.commission_path(name)
        self.commission_name = path.stem
        self.commission = library.commission(path)
        lot_works(library, self.commission)
        self.board_: CommissionBoard | None = None

    @property
    def shown(self) -> CommissionBoard:
        """What is shown; made when first asked for, since the app must be there."""
        if self.board_ is None:
            assert self.companion.clock is not None
            settings = str(self.companion.library.home / "settings.toml").replace(
                str(Path.home()), "~", 1
            )
            self.board_ = CommissionBoard(
                self.commission.title,
                self.companion.clock.now(),
                self.companion.settings.work,
                settings,
            )
            self.board_.begin = begun_last_with(self.companion.journal)
        return self.board_

    def on_screen_resume(self) -> None:
        """Read anew how it stands: a piece may have been made meanwhile."""
        outlook = self.companion.outlook
        outlook.renew()
        self.companion.read_times()
        if outlook.news:
            self.shown.said = outlook.news
        self.times_read()

    def told(self, said: str) -> None:
        """Say how the piece was left."""
        self.shown.said = said

    def times_read(self) -> None:
        """Work out how the commission stands, in another thread."""
        self.shown.reading = True
        self.redraw()
        if self.companion.outlook.known:
            self.run_worker(self._work_out, thread=True, exclusive=True, exit_on_error=False)

    def _work_out(self) -> None:
        worker = get_current_worker()
        show = partial(self._failed, "How the commission stands could not be worked out; go back.")
        try:
            show = partial(self._worked_out, *self._read())
        except (JournalError, DocumentError, Fault) as error:
            show = partial(self._failed, str(error))
        finally:
            if not worker.is_cancelled:
                self.app.call_from_thread(show)

    def _read(self) -> tuple[Overview, NeedsAnswer]:
        """Read how it stands, and what it still needs."""
        app, outlook = self.companion, self.companion.outlook
        assert app.clock is not None
        library, settings = app.library, app.settings
        with Journal.open(library.home / "journal.db", write=False) as reader:
            found = read_overview(
                reader, library, settings, self.commission_name, outlook.pieces,
                loose_of(outlook.pieces), outlook.model, app.clock.now(),
            )  # fmt: skip
        rest = [
            replace(need, pieces=lot.to_make)
            for need, lot in zip(found.needs, found.progress.lots, strict=True)
            if lot.to_make
        ]
        title = "Still to begin" if rest else "All of it (every piece is begun)"
        return found, needs_of(title, rest or found.needs, found.shelf, settings)

    def _failed(self, said: str) -> None:
        self.shown.trouble, self.shown.progress, self.shown.reading = said, None, False
        self.redraw()

    def _worked_out(self, found: Overview, needs: NeedsAnswer) -> None:
        board = self.shown
        assert self.companion.clock is not None
        board.now, board.progress = self.companion.clock.now(), found.progress
        board.materials, board.notes, board.needs = found.materials, found.notes, needs
        board.fit, board.trouble, board.reading = None, "", False
        self._fit()
        self.redraw()

    # The time at hand

    def _fit(self) -> None:
        """Work out what fits, in another thread, if that page is open and it is not known."""
        board = self.shown
        if board.page == "time" and board.fit is None and board.progress is not None:
            work = partial(self._work_out_fit, board.progress, board.at_hand_s)
            self.run_worker(work, thread=True, exclusive=True, group="fit", exit_on_error=False)

    def _work_out_fit(self, found: CommissionProgress, seconds: float) -> None:
        worker, app = get_current_worker(), self.companion
        assert app.clock is not None
        fit = what_fits(
            app.outlook.model,
            waiting(found, app.clock.now(), MOST_PIECES),
            seconds,
            stands=app.settings.stand.stands,
        )
        if not worker.is_cancelled:
            self.app.call_from_thread(self._fitted, seconds, fit)

    def _fitted(self, seconds: float, fit: Fit) -> None:
        if self.shown.at_hand_s == seconds:
            self.shown.fit = fit
            self.redraw()

    # Keys

    def touch(self, action: str) -> None:
        """Pick the touched lot; on the picked one, go on with its piece or start the next."""
        kind, _, number = action.partition(" ")
        if kind != "row":
            self.take(kind, None)
        elif int(number) == self.shown.picked:
            self.press("enter", None)
        else:
            self.shown.picked = int(number)

    def help_lines(self) -> Lines:
        """The keys of the page that is open."""
        own = {"lots": LOTS_HELP, "time": TIME_HELP, "needs": NEEDS_HELP}
        return own.get(self.shown.page, ()) + RUN_HELP

    def press(self, key: str, character: str | None) -> None:
        """Act on a key of the page that is open."""
        board, key = self.shown, key.lower()
        board.said = ""
        if key in BACK:
            self.app.pop_screen()
        elif key in {"1", "2", "3", "4"}:
            board.page = PAGES[int(key) - 1]
        elif key == "tab":
            board.page = PAGES[(PAGES.index(board.page) + 1) % len(PAGES)]
        elif board.page == "lots":
            self._press_lots(board, key)
        elif board.page == "time" and key in {"left", "right"}:
            step = STEP_S if key == "right" else -STEP_S
            board.at_hand_s = max(STEP_S, min(MOST_S, board.at_hand_s + step))
            board.fit = None
        elif board.page == "needs":
            steps = {"up": -1, "k": -1, "down": 1, "j": 1, "pageup": -15, "pagedown": 15}
            board.scroll = max(0, board.scroll + steps.get(key, 0))
        self._fit()

    def _press_lots(self, board: CommissionBoard, key: str) -> None:
        if key == "w":
            kinds = list(BEGINNINGS)
            board.begin = kinds[(kinds.index(board.begin) + 1) % len(kinds)]
        elif key == "enter" and board.progress is not None:
            piece = self._in_hand(board)
            if piece is None:
                self._start(board)
            else:
                self.companion.take_up(piece.uuid)
        elif key == "n" and board.progress is not None:
            self._start(board)
        else:
            board.picked = moved(board.picked, key, len(self.commission.lots))

    def _in_hand(self, board: CommissionBoard) -> PieceState | None:
        """The piece of the picked lot that Enter goes on with."""
        return in_hand(
            self.companion.journal, self.commission_name, self.commission.lots[board.picked].name
        )

    def _next_number(self, lot: Lot) -> int:
        finished = self.companion.outlook.pieces
        return number_of_next(self.companion.journal, finished, self.commission_name, lot.name)

    def _start(self, board: CommissionBoard) -> None:
        app = self.companion
        if app.journal is None or app.looking_on:
            board.said = app.looking_on or "There is no journal to write to."
            return
        try:
            lot = self.commission.lots[board.picked]
            made = app.session.work_up(lot.pattern, lot.size, lot.colourway)
            number = self._next_number(lot)
            app.to_bench(
                start_of_lot(app.journal, made, self.commission_name, lot, number, board.begin)
            )
        except (JournalError, DocumentError, Fault) as error:
            board.said = str(error)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the page that is open."""
        board = self.shown
        if board.page == "lots":
            board.in_hand = self._in_hand(board)
            board.next_number = self._next_number(self.commission.lots[board.picked])
        return draw_commission(board, width, height, self.named)
