"""What is thought likely before any look."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from bench.slips.suspect import Slip

RATES: Mapping[Slip, float] = {
    "missing": 0.05,
    "extra": 0.03,
    "wrong": 0.03,
    "swapped": 0.005,
    "reversed": 0.005,
    "end_for_end": 0.01,
    "doubles_exchanged": 0.002,
    "strands_exchanged": 0.008,
    "turned": 0.001,
    "wrong_tray": 0.01,
    "count_off": 0.20,
    "not_brought_in": 0.05,
    "two_brought_in": 0.04,
    "not_tucked": 0.10,
    "wrong_of_pair": 0.04,
    "cross_twice": 0.01,
    "round_off": 0.02,
    "other_piece": 0.005,
    "other": 0.002,
}
"""How many slips of a kind a piece has that has come this far. Rule of thumb, no source."""

CONCENTRATION = 30.0
"""How many slips of the maker's own weigh as much as the rule of thumb. No source."""


@dataclass(frozen=True)
class Priors:
    """Rates of slips, which can be set, and what they depend on. Rules of thumb, no source."""

    rates: Mapping[Slip, float] = field(default_factory=lambda: dict(RATES))
    same_letter: float = 0.8
    """Share of extra beads that are like their neighbours: a miscount."""
    foreign: float = 0.1
    """Share of wrong beads that are in no load at all: a mixed tray."""
    one_more: float = 0.05
    """Where one bead of a run is too few or too many, how often another one is so, too."""
    together: float = 5.0
    """How many times likelier a slip is where there is another one already: who is tired or was
    called away errs more."""
    both_hands: float = 0.5
    """Where one hand carried the wrong one of a pair, how often the other did so, too."""
    unseen: float = 0.5
    """Chance that a gap or a proud bead in the braid passes unseen while a row is made."""

    def learned(self, counts: Mapping[Slip, int]) -> Priors:
        """These priors after the slips that the maker really had, by kind.

        The sum of all rates stays; the shares are the mean of a Dirichlet posterior whose prior
        has the concentration CONCENTRATION.
        """
        total = sum(self.rates.values())
        seen = sum(counts.get(kind, 0) for kind in self.rates)
        rates = {
            kind: total
            * (CONCENTRATION * rate / total + counts.get(kind, 0))
            / (CONCENTRATION + seen)
            for kind, rate in self.rates.items()
        }
        return replace(self, rates=rates)
