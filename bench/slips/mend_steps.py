"""Steps of a mend: what the maker does, how long it takes, and what the bench carries out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bench.craft.cautions import BACK_OUT, BREAK_BEAD, NEEDLE_IN_BRAID, UNHITCH, WEIGHT_OFF


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

StepKind = Literal[
    "plan_is_right", "strand_is_right", "carry_on", "leave_proud", "leave_over", "set_count",
    "take_back", "take_back_plain", "make_again", "make_the_next", "open_other",
    "tuck", "bring_in",
    "bring_in_one", "carry_the_right", "skip", "sew_in", "break_bead", "hang", "swap", "restring",
]  # fmt: skip

CAUTIONS: Mapping[StepKind, str] = {
    "take_back_plain": BACK_OUT,
    "restring": UNHITCH,
    "swap": UNHITCH,
    "hang": WEIGHT_OFF,
    "break_bead": BREAK_BEAD,
    "take_back": BACK_OUT,
    "sew_in": NEEDLE_IN_BRAID,
}
"""The steps that can hurt hands, thread or braid, in the order in which cautions are told."""


@dataclass(frozen=True, slots=True)
class MendStep:
    """One thing to do, or to leave as it is.

    seconds are the maker's. places are where its strands lie, in words: at the crosses made now,
    or then, once crosses are taken back. bead is a letter, `?` or None. Which of the others hold
    depends on the kind.
    """

    kind: StepKind
    seconds: float = 0.0
    places: tuple[str, ...] = ()
    bead: str | None = None
    crosses: int = 0
    """How many are taken back; the count that is set; in how many crosses a skip is due."""
    call: str = ""
    """The call of the cross in which a skip is due, or that is to be made."""
    behind: int = 0
    """How many beads hang before the one that is broken."""
    farther: bool = False
    """Whether what is made good after taking back may lie farther back."""
    string: tuple[tuple[int, str], ...] = ()
    """Strands, and the beads that each is strung with anew, the first to go on first."""
    due: tuple[int, int] | None = None
    """The strand and cross before which it is to be done, where that is not now."""
    effects: tuple[Effect, ...] = ()

    @property
    def by_hand(self) -> bool:
        """Whether it is done by hand now, before the braid goes on."""
        return self.kind in ("restring", "swap", "hang", "break_bead") and self.due is None
