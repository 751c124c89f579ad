"""What a screen may ask of the app: the one that is running fits this, and screens know no more."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from bench.documents.library import Library
    from bench.documents.settings import Settings
    from bench.journal.clock import Clock
    from bench.journal.store import Journal
    from bench.making.braid import Braid
    from bench.screens.kit.canvas import Canvas
    from bench.screens.kit.keys import Keys


class Companion(Protocol):
    """The app as every screen sees it. Rooms that ask for more extend it.

    settings, keys and library are there once `is_ready`.
    """

    keys: Keys
    is_ready: bool
    """Whether settings, documents and journal have been read."""

    @property
    def settings(self) -> Settings:
        """The maker's settings."""
        ...

    @property
    def library(self) -> Library:
        """The documents, shipped and the maker's own."""
        ...

    @property
    def clock(self) -> Clock:
        """The clock that dates events."""
        ...

    @property
    def journal(self) -> Journal | None:
        """The journal that the sitting holds; None where it cannot be opened."""
        ...

    @property
    def looking_on(self) -> str:
        """Why nothing can be written, where another window writes to the journal; else empty."""
        ...

    @property
    def cannot_write(self) -> str:
        """Why nothing can be written, whatever the reason; else empty."""
        ...

    def heard(self) -> None:
        """Note that a key was pressed: what was told has been read."""

    def named_keys(self, label: str) -> str:
        """The usual names of keys in a foot, 'UP DOWN', as the maker's own keys are named."""
        ...

    def knows_keys(self) -> bool:
        """Whether keys are what the maker has set, be it as they were kept."""
        ...

    def hear_later(self, hear: Callable[[], object]) -> None:
        """Call this as soon as `is_ready`: to hear a key or a touch that came too soon."""

    def watch_over(self, canvas: Canvas) -> Canvas:
        """Return a drawn screen with what is wrong with the journal written over it."""
        ...

    def measure(self, braid: Braid) -> None:
        """Ask for the measures of a piece that is finished."""

    def ask_how_it_came_out(self, braid: Braid) -> None:
        """Go to the bench with a piece whose stages are done, and ask how it came out."""
