"""What the bench asks of the app beyond what every screen asks of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, Protocol

from bench.screens.kit.companion import Companion

if TYPE_CHECKING:
    from bench.making.braid import Braid
    from bench.screens.bench.rests import Rests
    from bench.screens.bench.speaker import Speaker
    from bench.slips.maker import Maker


class BenchCompanion(Companion, Protocol):
    """The app as the bench sees it."""

    speaker: Speaker
    per_of: dict[str, Literal["cross", "row"]]
    """What a press counts at the pieces where the maker has changed that."""

    @property
    def rests(self) -> Rests:
        """How long the maker is at work, and what was said of it."""
        ...

    def maker(self) -> Maker:
        """The maker as the settings say, with what the journal has taught so far."""
        ...

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready."""
        ...

    def kept_of(self, piece: str) -> int:
        """How many changes of a piece could not be saved last time, and are not taken in yet."""
        ...

    def take_in_kept(self) -> str:
        """Take in what could not be saved when the program ended; return what to tell."""
        ...

    def weigh(self, braid: Braid) -> None:
        """Ask for the weight of some beads of a piece."""

    def load_next_set(self, braid: Braid) -> str:
        """Lay a loaded set aside and load the next one of its batch; else say why not."""

    def leave_bench(self, said: str = "") -> None:
        """Go back to the list, with something to say; the piece keeps its place."""
