"""What looks and parts of mends cost: the maker's seconds."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

Kind = Literal["glance", "next", "next3", "left", "braid", "read", "piece"]
"""The kinds of looks."""

Costed = Literal[
    "glance", "next", "next3", "left", "left_each", "braid", "read", "read_each", "piece",
    "set_count", "open_other", "skip", "sew_in", "break_bead", "tuck", "take_back_each", "rehitch",
    "restring_each", "swap_each",
]  # fmt: skip

HandWork = Literal["restring", "swap", "break_bead", "hang"]
"""What a mend asks of the hands at once, which the maker's own seconds are known of."""

PRIOR_ANSWERS = 5
"""So many answers of the maker's own weigh as much as the rule of thumb. No source."""

USUAL_LEFT = 5
"""Beads of the count, or of the strand read off, whose seconds stand for all of them."""

TAKING_OUT = 0.6
"""How much of taking a cross back and making it again is taking it out. Rule of thumb, no
source."""


@dataclass(frozen=True)
class Costs:
    """Seconds of looks and mends: rules of thumb, no source, until the maker's own are known."""

    glance: float = 3.0
    next: float = 2.0
    next3: float = 4.0
    left: float = 3.0
    left_each: float = 0.7
    braid: float = 5.0
    read: float = 5.0
    read_each: float = 1.5
    """A bead of a whole strand that is read off and typed."""
    piece: float = 3.0
    """The tag of the piece on the stand; without one, its beads and its braid."""
    set_count: float = 5.0
    open_other: float = 30.0
    """Leaving a piece and opening the one that lies on the stand."""
    skip: float = 5.0
    sew_in: float = 120.0
    break_bead: float = 60.0
    tuck: float = 20.0
    take_back_each: float = 25.0
    """Taking a cross back and making it again."""
    rehitch: float = 180.0
    """A strand's weight and tama off, the needle on; and hitched and weighted again."""
    restring_each: float = 20.0
    """A bead off and, by the needle, on again."""
    swap_each: float = 8.0
    """A bead onto a spare thread and from there onto another strand; nothing is counted anew."""
    own: Mapping[Kind, float] = field(default_factory=dict)
    """By kind of look: how many times as long as by the rule of thumb it takes this maker."""

    own_hands: Mapping[HandWork, float] = field(default_factory=dict)
    """By work by hand: how many times as long as by the rule of thumb it takes this maker."""

    def by_hand(self, work: HandWork, usual_s: float) -> float:
        """Seconds of work by hand that takes so long by the rule of thumb."""
        return usual_s * self.own_hands.get(work, 1.0)

    def with_hands(self, work: HandWork, ratios: Sequence[float]) -> Costs:
        """These costs with the maker's own: how many times the usual seconds such work took."""
        if not ratios:
            return self
        return replace(self, own_hands=dict(self.own_hands) | {work: pooled_ratio(ratios, 1.0)})

    def of(self, kind: Kind, beads: float = 0.0) -> float:
        """Seconds of a look; beads is how many a count is expected to count."""
        return self.usual(kind, beads) * self.own.get(kind, 1.0)

    def usual(self, kind: Kind, beads: float = 0.0) -> float:
        """The same by the rule of thumb."""
        seconds: float = getattr(self, kind)
        return seconds + beads * {"left": self.left_each, "read": self.read_each}.get(kind, 0.0)

    def with_looks(self, kind: Kind, seconds: Sequence[float]) -> Costs:
        """These costs with the maker's own seconds for a kind of look.

        Those of a count, or a strand read off, are to be brought to USUAL_LEFT beads before.
        """
        if not seconds:
            return self
        ratio = pooled_ratio(seconds, self.usual(kind, USUAL_LEFT))
        return replace(self, own=dict(self.own) | {kind: ratio})

    def with_taking_back(self, seconds: Sequence[float]) -> Costs:
        """These costs with the maker's own seconds for taking a cross out; making it is the rest.

        The share TAKING_OUT of `take_back_each` is taking it out.
        """
        if not seconds:
            return self
        usual = TAKING_OUT * self.take_back_each
        own = usual * pooled_ratio(seconds, usual)
        return replace(self, take_back_each=own + self.take_back_each - usual)


def pooled_ratio(seconds: Sequence[float], usual: float) -> float:
    """How many times the usual seconds these took, all above 0: the mean of their logarithms.

    It is drawn to 1 as by PRIOR_ANSWERS answers of the usual length.
    """
    mean_log = sum(map(math.log, seconds)) / len(seconds)
    weight = len(seconds) / (len(seconds) + PRIOR_ANSWERS)
    return math.exp((mean_log - math.log(usual)) * weight)
