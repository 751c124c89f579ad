"""A suspect: one thing that may have gone wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Slip = Literal[
    "misread", "missing", "extra", "wrong", "swapped", "reversed", "end_for_end",
    "doubles_exchanged", "strands_exchanged", "turned", "wrong_tray", "count_off",
    "not_brought_in", "two_brought_in", "not_tucked", "wrong_of_pair", "cross_twice", "round_off",
    "other_piece", "other",
]  # fmt: skip

OF_THE_COUNT = frozenset({"count_off", "round_off"})
"""Slips of the count: the braid is as it should be, for another number of crosses."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A slip with its place; what a kind of slip does not have is None.

    strand, with_: the strands by the plan, with_ the one that a load or a move was exchanged
    with. bead is the planned one, actual what is there instead or besides. first and last count
    the strand's beads from 1 in order of release: the run of equal beads in which it lies. shift
    counts crosses (+: the program is ahead) or places. at is the cross, for a run of them the
    last. index is where the load differs, counted from 0. Beads from a wrong tray: a run, or
    without first and last all of that bead on the strand, or without a strand on all of them.
    """

    slip: Slip
    strand: int | None = None
    with_: int | None = None
    bead: str | None = None
    actual: str | None = None
    first: int | None = None
    last: int | None = None
    shift: int | None = None
    at: int | None = None
    index: int = 0

    def known(self) -> dict[str, object]:
        """What is known of it but its index, by the names that answers use."""
        values = {name: getattr(self, name) for name in self.__slots__ if name != "index"}
        return {name.rstrip("_"): value for name, value in values.items() if value is not None}


Slips = tuple[Suspect, ...]
"""One suspect, or several slips together."""
