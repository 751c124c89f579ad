"""The page of one piece: how it stands, its measures and notes, and what can be taken back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from bench.commission.finished_stock import away_words, in_stock
from bench.craft.words import elsewhere_words, plural
from bench.documents.key_names import DIGITS
from bench.journal.errors import JournalError
from bench.journal.payloads import Measured
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.notes import notes_of_piece
from bench.screens.kit import words
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.framed_page import MARGIN, draw_choices, draw_page_keys, framed_page
from bench.screens.kit.help_page import Lines
from bench.screens.kit.note_entry import note_entry, note_words
from bench.screens.kit.page import paragraph
from bench.screens.kit.view import View
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.finished_piece_form import FinishedPieceForm

HELP: Lines = (
    ("1 to 9", "what stands beside the number"),
    ("note", "keep a line of your own with the piece"),
    ("ESC", "back"),
)
Choice = tuple[str, str, Callable[[], None]]


class PieceScreen(BoardScreen):
    """One piece that was begun at the bench, in the making or ended."""

    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion, braid: Braid) -> None:
        super().__init__(companion)
        self.braid = braid
        self.said = ""
        self._read()

    def _read(self) -> None:
        """Read what is kept of the piece."""
        self.choices = self._choices()
        self.measures = self._measures()
        self.notes = notes_of_piece(self.braid.journal, self.braid.piece)

    def on_screen_resume(self) -> None:
        """Read anew what may have changed on another screen."""
        self._read()
        super().on_screen_resume()

    def help_lines(self) -> Lines:
        """The keys of the page."""
        return HELP

    def _choices(self) -> Sequence[Choice]:
        """What can be done with the piece as it stands: its name, what it means, and the deed."""
        state, braid = self.braid.state, self.braid
        found: list[Choice] = []
        if state.open:
            found.append(("go on", "at the bench, where you left it", self._go_on))
        elif state.away is None:
            how = f"take back: {state.status}"
            found.append((how, "it is in hand again, and asks how it came out", self._reopen))
        if state.status in {"good", "second"}:
            meaning = "again" if state.measured else "length, thickness, thread left, weight"
            found.append(("measure it", meaning, self._measure))
        if state.sample:
            meaning = "until a piece is begun that is planned by it"
            found.append(("take back: the sample", meaning, braid.undo_sign_off))
        if not state.open and in_stock(braid.journal, self.companion.library, braid.piece):
            meaning = "or given away, lost; into an order; and back again"
            found.append(("sold, lent …", meaning, self._leave_stock))
        if state.batch is not None and state.open:
            meaning = "until it is set up, or the next set of its batch is begun"
            found.append((f"take back: {state.batch.label}", meaning, braid.untag_set))
        if state.open:
            found.append(("give it up", "if it cannot be finished; asks why", self._give_up))
        return found

    def press(self, key: str, character: str | None) -> None:
        """Act on a choice's number, keep a note, or go back."""
        self.said = ""
        action = self.companion.keys.action(key)
        if key in {"escape", "backspace", "q"} or action == "leave":
            self.app.pop_screen()
        elif self.companion.looking_on:
            self.said = self.companion.looking_on
        elif action == "note":
            self.app.push_screen(note_entry(self.companion, self.braid, self._tell))
        elif key in DIGITS and 1 <= int(key) <= len(self.choices):
            try:
                self.choices[int(key) - 1][2]()
                self.companion.pace.touch(self.braid.piece)
            except (NotNow, JournalError) as refusal:
                self.said = str(refusal)
            self._read()

    def _tell(self, said: str) -> None:
        self.said = said
        self._read()
        self.redraw()

    def _go_on(self) -> None:
        self.app.pop_screen()
        self.companion.take_up(self.braid.piece)

    def _reopen(self) -> None:
        self.braid.reopen()
        self.app.pop_screen()
        self.companion.ask_how_it_came_out(self.braid)

    def _leave_stock(self) -> None:
        piece = in_stock(self.braid.journal, self.companion.library, self.braid.piece)
        if piece is not None:
            self.app.push_screen(FinishedPieceForm(self.companion, piece))

    def _give_up(self) -> None:
        self.app.pop_screen()
        self.companion.ask_to_give_up(self.braid.piece, self.braid.state.name)

    def _measure(self) -> None:
        self.companion.measure(self.braid)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw what is kept of the piece."""
        view = View(width, height, self.companion.keys)
        state = self.braid.state
        canvas = framed_page(view, state.name.upper())
        room = width - 2 * MARGIN
        y = 3
        for line in (self._stands(), self.measures):
            y = paragraph(canvas, y, line, "", None, MARGIN)
        choices = [(str(n), what, why) for n, (what, why, _) in enumerate(self.choices, 1)]
        y = draw_choices(canvas, y + 1, choices, gap=0)
        notes = self.notes
        lines = [line for note in notes for line in wrap(note_words(note), room)]
        least = max(0, height - 4 - (y + 2))
        head = "NOTES" if len(lines) <= least else "NOTES, the latest"
        canvas.text(MARGIN, y + 1, head if notes else "No note is kept with it.", "bold")
        for number, line in enumerate(lines[-least:] if least else [], y + 2):
            canvas.text(MARGIN, number, line, "", room)
        canvas.text(MARGIN, height - 3, self.said, "warn", room)
        draw_page_keys(canvas, view, (view.keys.name("note"), "note"), ("ESC", "back"))
        return canvas

    def _stands(self) -> str:
        state = self.braid.state
        when = dt.datetime.fromtimestamp(state.last_wall).astimezone()
        if not state.open:
            why = f", {state.reason}" if state.reason else ""
            sample = "; signed off as the sample" if state.sample else ""
            away = state.away
            stock = "" if away is None else f"; {away_words(away)}"
            return f"It is {state.status}{why}{sample}{stock}."
        made = f", {plural(state.made, 'cross')} made" if state.made else ""
        apart = elsewhere_words(state.made, (count for _, count in state.elsewhere))
        where = "find your place" if state.stage == "braid" else "say how it goes on"
        apart = f" It {apart}; {where} at the bench." if apart else ""
        lot = "" if state.lot is None else f", for the lot {state.lot}"
        stands = f"{words.doing(state)}{made}; last touched {when:%d %b %H:%M}"
        return f"In the making{lot}: {stands}.{apart}"

    def _measures(self) -> str:
        said = self.braid.state.measured or Measured(sample=False)
        known = (
            ("long, mm", said.length_mm),
            ("thick, mm", said.thickness_mm),
            ("thread left, mm", said.thread_left_mm),
            ("weight, g", said.weight_g),
        )
        figures = [f"{name} {value:g}" for name, value in known if value is not None]
        if not figures:
            return "" if self.braid.state.open else "It was not measured."
        return f"Measured: {'; '.join(figures)}"
