"""What was seen, and what is believed of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.slips.looks import Answer, Look
from bench.slips.scene import Suspect, World


@dataclass(frozen=True, slots=True)
class Habits:
    """How far the maker's eyes can be trusted. Rules of thumb, no source; all can be set.

    `false_report`: the chance that a bead in passing is taken for another one and reported; it is
    that of one bead, while slips are counted by the piece. `false_answer`: that of a wrong answer.
    """

    false_report: float = 0.006
    false_answer: float = 0.02


@dataclass(frozen=True, slots=True)
class Seen:
    """What was reported or answered, at a count of crosses made."""

    made: int
    look: Look
    answer: Answer
    false: float


@dataclass(frozen=True, slots=True)
class Belief:
    """One suspect, or several slips together, with the chance that it is what happened."""

    slips: tuple[Suspect, ...]
    chance: float


@dataclass(frozen=True, slots=True)
class Class:
    """Suspects that no look tells apart, the likeliest first, with their joint chance."""

    members: tuple[Belief, ...]
    chance: float
    doubted: float
    """The chance if slips were more alike in how likely they are beforehand."""
    world: World | None
    """None: something that this list does not know."""

    @property
    def first(self) -> Belief:
        """The likeliest of them."""
        return self.members[0]


def follows(look: Look, seen: Sequence[Seen]) -> bool:
    """Whether an answer to another look tells what this one would: the next three tell the next."""
    return any(
        one.look.place == look.place
        and one.look.kind == "next3"
        and isinstance(one.answer, str)
        and (
            look.kind == "next"
            or (look.kind == "left" and (len(one.answer) < 3 or len(set(one.answer)) > 1))
        )
        for one in seen
    )
