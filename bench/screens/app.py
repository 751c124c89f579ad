"""The full-screen app: what it holds, and how it goes from one screen to the next.

Only Textual is imported before the first paint; everything else is read after it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App

from .home import HomeScreen
from .themes import THEMES

if TYPE_CHECKING:
    from bench.braid import Braid
    from bench.clock import Clock
    from bench.journal.store import Journal
    from bench.library import Library
    from bench.settings import Settings

    from .desk import Desk
    from .home_view import Card, Row
    from .keys import Keys


class BenchApp(App[None]):
    """The companion at the stand."""

    TITLE = "braid-bench"
    ENABLE_COMMAND_PALETTE = False
    CSS = "Screen { background: $background; }"

    settings: Settings
    keys: Keys
    library: Library
    desk: Desk

    def __init__(self, home: Path | None = None, clock: Clock | None = None) -> None:
        super().__init__()
        self.home_path = home
        self.clock = clock
        self.journal: Journal | None = None
        self.looking_on = ""
        for theme in THEMES.values():
            self.register_theme(theme)
        self.theme = THEMES["dark"].name
        self.first = HomeScreen()

    def on_mount(self) -> None:
        """Show the first screen, and read everything once it is painted."""
        self.push_screen(self.first)
        self.call_after_refresh(self.read_all)

    def read_all(self) -> None:
        """Read settings, documents and journal; say what is wrong with any of them."""
        from .desk import Desk

        self.desk = Desk(self.home_path, self.clock)
        self.clock = self.desk.clock
        self.settings, self.keys = self.desk.settings, self.desk.keys
        self.library, self.journal = self.desk.library, self.desk.journal
        self.looking_on = self.desk.looking_on
        notices = list(self.desk.notices)
        wanted = self.settings.theme
        if wanted in THEMES:
            self.theme = THEMES[wanted].name
        elif wanted:
            notices.append(f"There is no theme '{wanted}'; known: {', '.join(THEMES)}.")
        self.first.home.notices = notices
        self.first.home.loading = False
        self.fill_home()

    def fill_home(self) -> None:
        """Make the list anew, and read the documents that are in sight."""
        home = self.first.home
        home.rows = self.desk.rows()
        home.picked = max(0, min(home.picked, len(home.rows) - 1))
        self.read_rows()

    def read_rows(self) -> None:
        """Read the documents of the lines in sight."""
        home = self.first.home
        reach = self.size.height
        home.rows = self.desk.read_rows(home.rows, home.picked - reach, home.picked + reach)
        self.first.redraw()

    def open_row(self, row: Row) -> None:
        """Open what a line stands for."""
        if row.kind == "piece":
            self.take_up(row.ref)
        elif row.wrong:
            self.first.home.said = f"{row.ref}: {row.wrong}"
        elif row.kind == "pattern":
            self.first.card = self.desk.card(row.ref)
        else:
            self.show_run(row.ref)

    def fill_card(self, card: Card) -> None:
        """Work a card's facts out for what is chosen on it."""
        self.desk.fill_card(card)

    def start_piece(self, card: Card) -> None:
        """Start a piece of a card's pattern and go to the bench."""
        from bench.journal.errors import JournalError

        if self.journal is None or self.looking_on:
            self.first.home.said = self.looking_on or "There is no journal to write to."
            return
        try:
            self.to_bench(self.desk.start(card))
        except JournalError as error:
            self.first.home.said = str(error)

    def take_up(self, piece: str) -> None:
        """Go on with a piece in the making."""
        from bench.braid import Braid

        assert self.journal is not None
        self.to_bench(Braid(self.journal, piece))

    def to_bench(self, braid: Braid) -> None:
        """Show the bench with a braid."""
        from .bench import BenchScreen

        self.push_screen(BenchScreen(braid))

    def show_times(self) -> None:
        """Show the maker's times by pattern."""
        from .lists import TableScreen

        self.push_screen(TableScreen(self.desk.times_table()))

    def show_run(self, name: str) -> None:
        """Show the lots of a commission; Enter starts the next piece of one."""
        from bench.documents import DocumentError
        from bench.journal.errors import JournalError

        from .lists import TableScreen

        try:
            table, run = self.desk.run_table(name)
        except (DocumentError, ValueError) as error:
            self.first.home.said = str(error)
            return

        def start(number: int) -> str | None:
            if self.journal is None or self.looking_on:
                return self.looking_on or "There is no journal to write to."
            try:
                braid = self.desk.start_lot(name, run, number)
            except JournalError as error:
                return str(error)
            self.pop_screen()
            self.to_bench(braid)
            return None

        self.push_screen(TableScreen(table, start))

    def leave_bench(self) -> None:
        """Go back to the list; the piece keeps its place."""
        self.pop_screen()

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready."""
        return self.desk.times_of(braid)

    def help_lines(self) -> list[tuple[str, str]]:
        """The bench's keys and what they do."""
        return self.desk.help_lines()

    async def on_unmount(self) -> None:
        """Let the journal go."""
        if self.journal is not None:
            self.journal.close()


def run(home: Path | None = None) -> None:
    """Run the app until it is closed."""
    BenchApp(home).run()
