"""The stand: which strand lies at which place; crosses made and taken back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.craft.structure import Structure, Way


@dataclass(frozen=True, slots=True)
class Transfer:
    """One strand's way in a cross. Slides have no way."""

    kind: Literal["carry", "slide"]
    strand: int
    start: int
    end: int
    way: Way | None

    def reversed(self) -> Transfer:
        """Return the move that takes this one back."""
        back: Way | None = None
        if self.way is not None:
            back = "anticlockwise" if self.way == "clockwise" else "clockwise"
        return Transfer(self.kind, self.strand, self.end, self.start, back)


class Stand:
    """The strands on the rim. `push` makes the next cross of the round, `pop` takes it back."""

    __slots__ = ("_at", "_structure", "made")

    def __init__(self, structure: Structure) -> None:
        self._structure = structure
        self._at = list(range(1, structure.strands + 1))
        self.made = 0
        """Crosses made since every strand lay at its own place."""

    @property
    def at(self) -> tuple[int, ...]:
        """The strand at each place, first place first."""
        return tuple(self._at)

    def push(self) -> tuple[Transfer, ...]:
        """Make the next cross; return its transfers, carried strands first."""
        transfers = self._transfers(self.made)
        self._move([(t.end, t.strand) for t in transfers])
        self.made += 1
        return transfers

    def pop(self) -> tuple[Transfer, ...]:
        """Take the last cross back; return the transfers that it had.

        Raises IndexError when no cross has been made.
        """
        if self.made == 0:
            raise IndexError("no cross has been made")
        cross = self._structure.round[(self.made - 1) % len(self._structure.round)]
        transfers = (
            *(Transfer("carry", self._at[e - 1], s, e, way) for s, e, way in cross.carried),
            *(Transfer("slide", self._at[e - 1], s, e, None) for s, e in cross.slide),
        )
        self._move([(t.start, t.strand) for t in transfers])
        self.made -= 1
        return transfers

    def _transfers(self, made: int) -> tuple[Transfer, ...]:
        cross = self._structure.round[made % len(self._structure.round)]
        return (
            *(Transfer("carry", self._at[s - 1], s, e, way) for s, e, way in cross.carried),
            *(Transfer("slide", self._at[s - 1], s, e, None) for s, e in cross.slide),
        )

    def _move(self, landings: list[tuple[int, int]]) -> None:
        for place, strand in landings:
            self._at[place - 1] = strand


def order(structure: Structure) -> int:
    """Rounds after which every strand is back at its own place."""
    stand = Stand(structure)
    home = stand.at
    rounds = 0
    while True:
        for _ in structure.round:
            stand.push()
        rounds += 1
        if stand.at == home:
            return rounds
