"""What the bench can be in the middle of, and what such a mode may ask of the bench."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Literal, Protocol

from bench.craft.growth import Growth
from bench.making.braid import Braid
from bench.screens.bench.companion import BenchCompanion
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed, FootKey, foot_of
from bench.screens.kit.help_page import Lines
from bench.screens.kit.view import View
from bench.slips.case import Case
from bench.slips.looks import Look


class Mode(ABC):
    """One thing that the bench is in the middle of: its keys, its page and its help."""

    asked = False
    """Whether a key has opened it; it then stays until it is closed."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.braid = bench.braid

    def enter(self) -> None:
        """Do what is done once when it comes up."""

    @abstractmethod
    def press(self, key: str, character: str | None) -> None:
        """Act on a key as the terminal names it, and the character that it types, if any."""

    def page(self, view: View) -> Canvas:
        """Return its page with its keys at the foot; nothing else happens."""
        return self.draw(replace(view, foot=self.foot()))

    @abstractmethod
    def draw(self, view: View) -> Canvas:
        """Return its page; nothing else happens."""

    def deeds(self) -> Sequence[Deed]:
        """What its keys do, as it is now: in the order of foot and help."""
        return ()

    def foot(self) -> tuple[FootKey, ...]:
        """The keys at the foot of its page."""
        return foot_of(self.deeds())

    def help_lines(self) -> Lines:
        """Its keys and what they do; none where there is no help."""
        return tuple((deed.key, deed.help) for deed in self.deeds() if deed.help)

    def answers(self) -> Sequence[str]:
        """Keys that are answers here, so that none of them asks for help."""
        return ()

    @abstractmethod
    def spoken(self) -> str:
        """What the hands do next, to be said aloud."""

    def pass_time(self, idle_s: float) -> bool:
        """Look at the clock, so many seconds after the last key; return whether to draw anew."""
        return False

    def come_back(self) -> None:
        """Take in what another screen has kept."""

    def leave(self) -> None:
        """Leave the bench for the list."""


class Asked(Mode):
    """A mode that a key has opened over the one `under` it."""

    asked = True

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.under = bench.mode

    def closes(self, key: str) -> bool:
        """Whether a key goes back: Escape, or the key that leaves the bench."""
        return key == "escape" or self.bench.companion.keys.action(key) == "leave"

    def spoken(self) -> str:
        """What the mode under it says: nothing new."""
        return self.under.spoken()

    def leave(self) -> None:
        """Leave the bench as from the mode under it."""
        self.under.leave()


class Bench(Protocol):
    """The bench as a mode sees it."""

    companion: BenchCompanion
    braid: Braid
    mode: Mode
    said: str
    """What is said of the key just pressed: a refusal, a question."""
    done: str
    """What was counted or kept last."""
    paused_here: bool
    """Whether the maker has paused since the bench was opened."""
    per: Literal["cross", "row"]
    """What a press counts: as set, until the maker changes it here."""
    leaving: bool
    """Whether the pause was begun by the key that leaves; that key then leaves."""
    counted_here: bool
    """Whether the maker has made or taken back a cross since the bench was opened."""
    told_unsaved: bool
    """Whether the maker has read that something is not saved."""
    offers: dict[int, Look]
    """The looks that are offered over the piece, by crosses made."""
    growth: Growth | None
    """How the braid is predicted to grow; None before it is braided."""
    slip_left: Case | None
    """The case of a slip that was left without a mend."""

    def now(self) -> float:
        """Seconds that only grow."""
        ...

    def too_soon(self, action: str) -> bool:
        """Whether this press came within the guard after the last of its kind; it is said."""
        ...

    def open(self, mode: Mode) -> None:
        """Go over to a mode."""

    def close(self) -> None:
        """Leave a mode that was asked for: back to where the braid stands."""

    def crossed(self) -> None:
        """A cross was counted: what the next one will show is drawn while the hands are busy."""

    def write_note(self) -> None:
        """Ask for a line of the maker's own, and keep it with the piece."""

    def ask_reason(
        self, asks: str, reasons: Sequence[str], keep: Callable[[str | None], None]
    ) -> None:
        """Ask for one of these reasons or one of the maker's own, and give it to `keep`."""

    def ring(self, mark: tuple[int, str]) -> None:
        """Ring once for a mark, if the maker wants it."""
