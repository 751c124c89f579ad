"""What answers to expect where another piece lies on the stand than the one that is meant."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.slips.evidence import Observation
from bench.slips.likeness import FOREIGN
from bench.slips.looks import ANOTHER, ANY_ANSWER, Answer, Look, predicted
from bench.slips.planned_stand import PlannedStand
from bench.slips.supposed_stand import Sight

AS_SUPPOSED = 0.3
"""How often the first look is answered as one suspect or another would have it, for pieces are
like each other. Rule of thumb, no source."""

AS_SUPPOSED_AGAIN = 0.75
"""How often a further look is, for the strands of a piece are like each other, too. Rule of thumb,
no source."""

AS_PLANNED = 0.03
"""How often a look elsewhere than at the place of the report is answered as planned. Rule of thumb,
no source."""

UNUSUAL = 0.1
"""How often what hangs of another piece is in no load of this one, or is nothing any more. Rule of
thumb, no source."""

SOUND_BRAID = 0.99
"""How often its braid shows nothing on a strand's line. Rule of thumb, no source."""


OF_THE_LOT = 0.02
"""Where all looks as if the count were off: how often a piece of the same pattern, not as far on or
farther, lies there instead. Rule of thumb, no source."""


class AnotherPiece:
    """The odds that another piece lies on the stand, after this evidence.

    prior: the odds before it.
    """

    def __init__(
        self,
        evidence: Sequence[Observation],
        planned_at: Callable[[int], PlannedStand],
        prior: float,
    ) -> None:
        self.odds = prior
        self._about = evidence[0].look.place if evidence else 0
        self.of_the_lot = OF_THE_LOT
        """The odds that another piece of the lot lies there, against those of a count off."""
        self._told_elsewhere = False
        self._answers: dict[object, Answer] = {}
        for one in evidence:
            self.odds *= self._likelihood(one, planned_at(one.made))
            if one.look.kind == "piece":
                another = (1 - one.error_rate) / one.error_rate
                self.of_the_lot *= another if one.answer == ANOTHER else 1 / another
            self._told_elsewhere |= one.asked and self._elsewhere(one.look)
            self._answers[one.made, one.look.key] = one.answer

    def as_supposed(self, look: Look) -> float:
        """How often a look would be answered as one suspect or another has it."""
        if look.kind == "read":
            return 0.0
        return AS_SUPPOSED_AGAIN if self._told_elsewhere else AS_SUPPOSED

    def _likelihood(self, one: Observation, planned: PlannedStand) -> float:
        look, answer = one.look, one.answer
        if look.kind == "piece":
            return 1 - one.error_rate if answer == ANOTHER else one.error_rate
        key = one.made, look.key
        if key in self._answers:
            return 1 - one.error_rate if self._answers[key] == answer else one.error_rate
        if look.kind == "braid":
            return SOUND_BRAID if answer == "nothing" else (1 - SOUND_BRAID) / 2
        if look.kind == "read":
            return ANY_ANSWER["read"]
        if one.asked and self._elsewhere(look) and answer == predicted(look, _NOTHING, planned):
            return AS_PLANNED
        unusual = answer in (None, "") or (isinstance(answer, str) and FOREIGN in answer)
        expected = self.as_supposed(look) if one.asked else AS_SUPPOSED
        return expected * (UNUSUAL if unusual else 1.0)

    def _elsewhere(self, look: Look) -> bool:
        return look.kind == "glance" or (look.kind != "piece" and look.place != self._about)


_NOTHING = Sight({}, {})
