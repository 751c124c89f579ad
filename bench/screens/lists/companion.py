"""What the lists ask of the app beyond what every screen asks of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from bench.screens.kit.companion import Companion

if TYPE_CHECKING:
    from bench.making.braid import Braid
    from bench.screens.journal_watch import Watch
    from bench.session import Session
    from bench.timing.pace_service import LivePace


class ListsCompanion(Companion, Protocol):
    """The app as the lists see it."""

    guard: Watch
    session: Session

    @property
    def pace(self) -> LivePace:
        """The pace of what was made so far."""
        ...

    def fill_home(self) -> None:
        """Make the first screen's list anew."""

    def read_settings_again(self) -> None:
        """Go by the settings as they are now, and say what is wrong with them."""

    def read_times(self) -> None:
        """Read and fit the maker's times in another thread; the screen that is up is told."""

    def say_on_list(self, said: str) -> None:
        """Say something over the list's keys."""

    def exit(self) -> None:
        """Close the program."""

    def ask_to_give_up(self, piece: str, name: str) -> None:
        """Ask why a piece in the making is given up; the answer gives it up."""

    def show_piece(self, piece: str) -> None:
        """Show what is kept of a piece, and what can be taken back."""

    def take_in_kept(self) -> str:
        """Take in what could not be saved when the program ended; return what to tell."""
        ...

    def take_up(self, piece: str) -> None:
        """Go on with a piece in the making."""

    def to_bench(self, braid: Braid) -> None:
        """Show the bench with a braid."""

    def stand_taken(self) -> str:
        """Say that a piece dries on the maker's stand; nothing while a stand is free."""
        ...

    def show_times(self) -> None:
        """Show the maker's times by pattern."""

    def draw_pattern(self, name: str, *, copy: bool) -> None:
        """Put a pattern on the drawing board; a copy of it, or one of the maker's to change."""

    def go_on_with_sketch(self, name: str) -> None:
        """Put a sketch on the drawing board again, as it was left."""

    def throw_sketch_away(self, name: str) -> None:
        """Throw a sketch away; the pattern that it came from stays."""

    def begin_pattern(self) -> None:
        """Begin a new pattern on the drawing board."""

    def show_commission(self, name: str) -> None:
        """Show the lots of a commission."""

    def begin_commission(self) -> None:
        """Begin a new commission."""
