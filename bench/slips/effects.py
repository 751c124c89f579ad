"""What a mend is: what is to be done, its seconds, what will be seen, and what it does."""

from __future__ import annotations

from dataclasses import dataclass

BREAK_CAUTION = (
    "Goggles on. Lift that tama, cover the bead with a cloth, thread aside; break it from inside"
    " the hole or with pliers, never under tension. Clear up every splinter; feel along the"
    " thread: nicked, change it."
)
STRIP_CAUTION = "Stick in first, then the weight off; only then unhitch the tama."
HANG_CAUTION = "Stick in first, then the weight off."
NEEDLE_CAUTION = "Count the needle out and in again; never force it through a bead."
BACK_CAUTION = "Ease the weight by hand; push each bead out over the rim and let the hitch out."
CAUTIONS = (BACK_CAUTION, STRIP_CAUTION, HANG_CAUTION, BREAK_CAUTION, NEEDLE_CAUTION)
"""Each is one part of `Mend.caution`, in the order in which they are needed."""


@dataclass(frozen=True, slots=True)
class SetCount:
    """The count is set to so many crosses made; nothing is unbraided."""

    made: int


@dataclass(frozen=True, slots=True)
class TakeBack:
    """So many crosses are taken back, one at a time, with their reverse moves."""

    crosses: int


@dataclass(frozen=True, slots=True)
class NewRemaining:
    """What is left on a strand from here on; `-` is a move without a bead."""

    strand: int
    letters: str


@dataclass(frozen=True, slots=True)
class SewIn:
    """A bead to be sewn in later where the strand made this cross: a reminder until done."""

    strand: int
    cross: int
    bead: str


Effect = SetCount | TakeBack | NewRemaining | SewIn


@dataclass(frozen=True, slots=True)
class Later:
    """What is still to be done by hand on a strand before it makes a cross: 'break one bead d'."""

    strand: int
    cross: int
    what: str


@dataclass(frozen=True, slots=True)
class Mend:
    """One way out.

    seconds are the maker's. seen is 0 for nothing, 1 for what one must look for, 2 for what
    anyone sees; shows says it. effects are what the bench carries out, in order: afterwards its
    plan is what hangs on the strands. Without effects the plan holds as it is.
    """

    do: str
    seconds: float
    shows: str
    seen: int = 0
    caution: str = ""
    effects: tuple[Effect, ...] = ()
    string: tuple[tuple[int, str], ...] = ()
    """The beads that each strand is to be strung with anew, the first to go on first."""
    later: tuple[Later, ...] = ()

    @property
    def by_hand(self) -> bool:
        """Whether something is to be done by hand now, before the braid goes on."""
        broken = self.do.count("break ") > len(self.later)
        return broken or STRIP_CAUTION in self.caution or HANG_CAUTION in self.caution


@dataclass(frozen=True, slots=True)
class Regret:
    """What a maker would give, in seconds, not to have it seen. Rule of thumb, no source."""

    slight: float = 300.0
    plain: float = 1200.0

    def of(self, mend: Mend) -> float:
        """Seconds and regret together: what mends are ranked by."""
        return mend.seconds + (0.0, self.slight, self.plain)[mend.seen]
