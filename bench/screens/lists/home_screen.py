"""The first screen: the list, or the card of a pattern before its piece is started.

Nothing is imported before the first paint but what draws the list.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from bench.screens.kit.list_screen import ListMode, ListScreen, bindings
from bench.screens.kit.themes import shows_colours
from bench.screens.lists.first_list import A_NEW_ONE, keep_pieces
from bench.screens.lists.home_entry import HomeEntry
from bench.screens.lists.home_list import FIND, HomeList
from bench.screens.lists.pattern_card import PatternCard

if TYPE_CHECKING:
    from textual import events
    from textual.timer import Timer
    from textual.widgets import Input

    from bench.screens.kit.canvas import Canvas
    from bench.screens.kit.line_screen import LineInput
    from bench.screens.lists.companion import ListsCompanion


REST_S = 0.08
"""How long no line is picked before the braid of the picked one is worked out."""
FIND_KEY = "slash"
MOST_TYPED = 60
MOST_NOTES = 12
"""The latest notes of a pattern's pieces that its card shows."""


class HomeScreen(ListScreen):
    """Lists pieces in the making, patterns and commissions."""

    BINDINGS = [*bindings("the list")]
    DEFAULT_CSS = """
    HomeScreen { layers: page line; }
    HomeScreen Board { layer: page; }
    """
    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.home = HomeList(companion, self._open, self.read_rows)
        self.mode: ListMode = self.home
        self.line: LineInput | None = None
        """Where a part of a name is typed, while it is."""
        self._braid_timer: Timer | None = None

    def interrupt(self) -> None:
        """Act on Ctrl+C: close the program, as by its own key."""
        self.action_act("close" if self.mode is self.home else "back")

    def told(self, said: str) -> None:
        """Say how the piece was left."""
        self.home.said = said

    def on_screen_resume(self) -> None:
        """Read the list anew: a piece may have changed."""
        if not self.home.loading:
            self.companion.fill_home()

    def documents_changed(self) -> None:
        """Read the list anew, and the card that is up."""
        self.companion.fill_home()
        if isinstance(self.mode, PatternCard):
            self._fill_card(self.mode)
        self.redraw()

    def times_read(self) -> None:
        """Show the times in the list."""
        self.companion.fill_home()

    def show_braid_soon(self) -> None:
        """Show the picked line's braid once the keys rest: no key waits for it."""
        if self._braid_timer is not None:
            self._braid_timer.stop()
        self._braid_timer = self.set_timer(REST_S, self._show_braid)

    def _show_braid(self) -> None:
        from bench.screens.lists.home_entries import braid_of

        home, before = self.home, self.home.braid
        home.braid = None if home.entry is None else braid_of(self.companion.session, home.entry)
        home.colours = shows_colours(self.app.console)
        if home.braid is not before:
            self.redraw()

    # The line on which a part of a name is typed

    async def on_key(self, event: events.Key) -> None:
        """Open the line, or type on it: what comes before it has the focus, too."""
        character = event.character
        if self.line is not None and event.is_printable and character is not None:
            self.line.insert_text_at_cursor(character)
        elif event.key == FIND_KEY and self.mode is self.home and self.companion.is_ready:
            self.companion.heard()
            self._find()
        else:
            await super().on_key(event)
            return
        event.stop()
        event.prevent_default()

    def _find(self) -> None:
        """Open the line, but for a program that is closing."""
        if not self.is_attached:
            return
        from bench.screens.kit.line_screen import LineInput

        if self.line is None:
            self.home.clear()
            self.home.typing = True
            self.home.notes = self._notes()
            self.line = LineInput(MOST_TYPED)
            self.line.value = self.home.narrowed
            self.mount(self.line)
            self.set_focus(self.line)
        self.redraw()

    def _notes(self) -> Mapping[tuple[str, str], Sequence[str]]:
        """What was kept with pieces: by the piece, its pattern, and its commission."""
        from bench.commission.identity import order_ids
        from bench.commission.lot_refs import LotRefs
        from bench.making.notes import notes_of

        found = defaultdict[tuple[str, str], list[str]](list)
        refs = LotRefs(self.companion.journal, {})
        names = {order: name for name, order in order_ids(self.companion.library).items()}
        for note in notes_of(self.companion.journal, lambda piece: True):
            piece = note.piece
            found["pattern", piece.pattern_name].append(note.text)
            found["piece" if piece.open else "made", piece.uuid].append(note.text)
            lot = refs.of(piece)
            found["commission", names.get(lot.order, "") if lot else ""].append(note.text)
        return found

    def _leave_line(self) -> None:
        """Close the line; what was typed on it still holds."""
        self.home.typing = False
        if self.line is not None:
            self.line.remove()
            self.line = None

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what goes with what is typed now."""
        if event.input is self.line:
            self.companion.heard()
            self.home.narrow(event.value)
            self.redraw()

    def on_input_submitted(self) -> None:
        """Open the picked line."""
        self.action_act("open")

    def action_act(self, action: str) -> None:
        """Do what a key stands for; some of them close the line."""
        if action == "narrow":
            self._find()
            return
        if action in {"open", "next_page", "back"}:
            self._leave_line()
        super().action_act(action)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw what is up; the line lies over it."""
        if self.line is not None:
            self.line.styles.offset = (len(FIND) + 1, height - 2)
            self.line.styles.width = width - len(FIND) - 2
        return super().draw(width, height)

    def fill(self) -> None:
        """Make the list anew, and read the documents that are in sight."""
        from bench.screens.lists.expected_times import finished_news
        from bench.screens.lists.home_entries import list_rows

        companion, home = self.companion, self.home
        session, pace = companion.session, companion.pace
        here = home.entry if home.picked else None
        sought = [home.sought, *([here.ref] if here is not None else [])]
        pace.renew()
        home.sought = ""
        home.show_rows(list_rows(session, pace.pieces if pace.known else ()), sought)
        home.news = finished_news(pace) or home.news
        if not (companion.looking_on or companion.guard.waiting):
            keep_pieces(session.index, home.rows, session.journal_path)
        self.read_rows()
        self.redraw()
        session.index.save()

    def read_rows(self) -> None:
        """Read the documents of the lines in sight."""
        if not self.companion.is_ready:
            return
        from bench.screens.lists.home_entries import read_rows

        home, session, height = self.home, self.companion.session, self.app.size.height
        in_sight = home.shown[max(0, home.picked - height) : home.picked + height]
        home.rows = read_rows(session, self.companion.pace, home.rows, in_sight)
        self.show_braid_soon()

    def _open(self, entry: HomeEntry) -> None:
        """Open what a line stands for."""
        self._leave_line()
        if entry.kind == "piece":
            self.companion.take_up(entry.ref)
        elif entry.kind == "kept":
            self.home.said = self.companion.take_in_kept()
        elif entry.kind == "made":
            self.companion.show_piece(entry.ref)
        elif entry.kind == "sketch":
            self.companion.go_on_with_sketch(entry.ref)
        elif entry.wrong and entry.kind != "commission":
            self.home.said = f"{entry.title}: {entry.wrong}"
        elif entry.kind == "pattern":
            self._open_card(entry.ref)
        elif entry == A_NEW_ONE:
            self.companion.begin_commission()
        else:
            self.companion.show_commission(entry.ref)

    # The card of a pattern

    def _open_card(self, name: str) -> None:
        from bench.making.notes import notes_of
        from bench.screens.kit.note_entry import note_of_piece
        from bench.screens.lists.card_facts import choices_of

        title, choices = choices_of(self.companion.session, name)
        card = PatternCard(
            self._fill_card, self._start, self._close_card, title, choices, picked=2, ref=name
        )
        card.colours = shows_colours(self.app.console)
        notes = notes_of(self.companion.journal, lambda piece: piece.pattern_name == name)
        card.notes = [note_of_piece(note) for note in reversed(notes[-MOST_NOTES:])]
        self._fill_card(card)
        self.mode = card

    def _close_card(self) -> None:
        self.mode = self.home

    def _fill_card(self, card: PatternCard) -> None:
        """Work a card's facts out for what is chosen on it."""
        from bench.screens.lists.card_facts import beginning_of, fill_card

        fill_card(self.companion.session, self.companion.pace, card)
        card.said = self.companion.stand_taken() if beginning_of(card) != "load" else ""

    def _start(self, card: PatternCard) -> None:
        """Start a piece of a card's pattern, the first of one's own as the sample."""
        from bench.commission.starting import is_first
        from bench.journal.errors import JournalError
        from bench.making.braid import Braid
        from bench.screens.lists.card_facts import beginning_of, worked_up

        if self.companion.cannot_write:
            self.home.said = self.companion.cannot_write
            return
        journal, session = self.companion.journal, self.companion.session
        assert journal is not None
        try:
            made = worked_up(session, card)
            own = session.library.pattern_path(made.name).is_relative_to(session.home)
            sample = own and is_first(journal, made)
            stage = beginning_of(card)
            self.companion.to_bench(Braid.start(journal, made, stage=stage, as_sample=sample))
        except JournalError as error:
            self.home.said = str(error)
