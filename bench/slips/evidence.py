"""What was seen: reports and answers to looks, and how often they are wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.slips.looks import Answer, Look


@dataclass(frozen=True, slots=True)
class ErrorRates:
    """How often the maker's eyes are wrong. Rules of thumb, no source; all can be set.

    `report`: the chance that a bead in passing is taken for another one and reported; it is that
    of one bead, while slips are counted by the piece. `answer`: that of a wrong answer. `miscount`:
    that of a number that is wrong by one. `piece`: that of taking one piece for another.
    """

    report: float = 0.003
    answer: float = 0.06
    miscount: float = 0.05
    piece: float = 0.05


@dataclass(frozen=True, slots=True)
class Observation:
    """A report, or the answer to a look, at a count of crosses made, and how often it is wrong."""

    made: int
    look: Look
    answer: Answer
    error_rate: float
    miscount: float = 0.0

    @property
    def asked(self) -> bool:
        """Whether it answers a look; a report takes no seconds."""
        return self.look.seconds > 0


def answered_by(look: Look, evidence: Sequence[Observation]) -> bool:
    """Whether an answer to another look tells what this one would.

    The next three tell the next one, and a change among them how many are left up to it; a strand
    that was read off tells both.
    """
    return any(
        one.look.place == look.place
        and isinstance(one.answer, str)
        and (
            (one.look.kind == "read" and look.kind in ("next", "next3", "left"))
            or (
                one.look.kind == "next3"
                and (
                    (look.kind == "next" and one.look.bead is None)
                    or (
                        look.kind == "left"
                        and (len(one.answer) < 3 or len({*(one.look.bead or ""), *one.answer}) > 1)
                    )
                )
            )
        )
        for one in evidence
    )


def named_beads(evidence: Sequence[Observation]) -> dict[int, str | None]:
    """By place: the bead that was named as the next one there, None for nothing left."""
    return {
        one.look.place: one.answer
        for one in evidence
        if one.look.kind == "next" and not isinstance(one.answer, int)
    }
