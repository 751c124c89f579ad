"""How an inquiry stands: what is believed, what was told at this count, and by whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from bench.slips.evidence import Observation
from bench.slips.looks import Answer, Look
from bench.slips.maker import Maker
from bench.slips.planned_stand import PlannedStand
from bench.slips.posterior import EquivalenceClass, Model

LONGEST_READ_S = 60.0
"""A strand that takes longer is not asked to be read off. Rule of thumb, no source."""

WIDE = 5
"""So many of the likeliest suspects say how many beads there may be to read off."""


@dataclass(frozen=True)
class Standing:
    """What the next look is chosen from.

    classes: the likeliest first. now: what was told at this count of crosses, the report first.
    set_aside: the keys of looks that cannot be answered.
    """

    model: Model
    classes: Sequence[EquivalenceClass]
    now: Sequence[Observation]
    set_aside: set[tuple[str, int, str | None]]
    maker: Maker

    @property
    def planned(self) -> PlannedStand:
        """What hangs by the plan."""
        return self.model.planned

    @property
    def top(self) -> EquivalenceClass:
        """What is likeliest."""
        return self.classes[0]

    @cached_property
    def another_piece(self) -> float:
        """The weight of another piece lying on the stand."""
        return sum(each.chance for each in self.classes if each.slip == "other_piece")

    @cached_property
    def unknown(self) -> float:
        """The weight of something that no list knows."""
        return sum(each.chance for each in self.classes if each.slip == "other")

    @property
    def told_of_the_piece(self) -> list[Answer]:
        """What was answered so far about which piece lies there."""
        return [one.answer for one in self.now if one.look.kind == "piece"]

    def surprise(self, look: Look, answers: Sequence[Answer]) -> float:
        """The weight of what would answer a look by none of these: another piece, or unknown."""
        unknown = self.unknown * self.model.unknown.surprise(look, answers, self.planned)
        return unknown + self.another_piece * (1 - self.model.another.as_supposed(look))

    def piece_look(self) -> Look | None:
        """The look at which piece lies there; None where it cannot be answered."""
        if not self.now:
            return None
        place = self.now[0].look.place
        strand = self.planned.arrangement[place - 1]
        look = Look("piece", strand, place, self.maker.costs.of("piece"))
        return None if look.key in self.set_aside else look

    def whole_strand(self) -> Look | None:
        """To read off the strand reported; None where that was done, or takes too long."""
        if not self.now:
            return None
        place = self.now[0].look.place
        beads = max(
            len(self.model.all_left(group.first.slips, place))
            for group in self.classes[:WIDE]
            if group.sight is not None
        )
        strand, seconds = self.planned.arrangement[place - 1], self.maker.costs.of("read", beads)
        look = Look("read", strand, place, seconds)
        read = {one.look.key for one in self.now} | self.set_aside
        return None if look.key in read or seconds > LONGEST_READ_S else look
