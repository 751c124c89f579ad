"""What answers to expect where something went wrong that no list knows."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.slips.evidence import Observation
from bench.slips.likeness import FOREIGN
from bench.slips.looks import ANY_ANSWER, THIS, Answer, Look, predicted
from bench.slips.planned_stand import PlannedStand
from bench.slips.supposed_stand import Sight

ELSEWHERE_AS_PLANNED = 0.85
"""Where something unknown is wrong with one strand: how often a look at another one, or round the
rim, is answered as planned. Rule of thumb, no source."""

ALL_SHARE = 0.5
"""How often something unknown is wrong with all strands. Rule of thumb, no source."""

ALL_OVER = 0.4
"""Then, how often a look is answered as one suspect or another would have it. Rule of thumb, no
source."""

ALL_OVER_AS_PLANNED = 0.1
"""Then, how often a look elsewhere than at the place of the report is answered as planned. Rule of
thumb, no source."""

BRAID_AS_PLANNED = 0.7
"""How often the braid shows nothing on a strand's line. Rule of thumb, no source."""


class Unknown:
    """Something unknown, of one strand or of all of them, after this evidence."""

    def __init__(
        self,
        evidence: Sequence[Observation],
        planned_at: Callable[[int], PlannedStand],
        foreign: float,
    ) -> None:
        self._foreign = foreign
        self._about = evidence[0].look.place if evidence else 0
        strands = planned_at(evidence[0].made).strands if evidence else 1
        self._parts = [(1 - ALL_SHARE) / strands, ALL_SHARE]
        """The likelihood of the evidence if it is one strand, and if it is all of them."""
        self._answers: dict[object, Answer] = {}
        for one in evidence:
            key = one.made, one.look.key
            if one.look.kind == "piece":
                this = 1 - one.error_rate if one.answer == THIS else one.error_rate
                chances = this, this
            elif key in self._answers:
                same = self._answers[key] == one.answer
                again = 1 - one.error_rate if same else one.error_rate
                chances = again, again
            else:
                chances = self._of(one.look, one.answer, planned_at(one.made), one.asked)
            self._parts = [part * c for part, c in zip(self._parts, chances, strict=True)]
            self._answers[key] = one.answer
            if isinstance(one.answer, str) and FOREIGN in one.answer:
                self._foreign = 1.0

    @property
    def likelihood(self) -> float:
        """The probability of all evidence."""
        return sum(self._parts)

    def surprise(self, look: Look, answers: Sequence[Answer], planned: PlannedStand) -> float:
        """The probability that a look is answered by none of these.

        One that was asked, or reported, is answered as before.
        """
        if (planned.made, look.key) in self._answers:
            return float(self._answers[planned.made, look.key] not in answers)
        known = [0.0, 0.0 if look.kind == "read" else ALL_OVER]
        for answer in answers:
            known[0] += self._of(look, answer, planned, True)[0]
        total = sum(self._parts) or 1.0
        expected = sum(p * k for p, k in zip(self._parts, known, strict=True)) / total
        return max(0.0, 1.0 - expected)

    def _elsewhere(self, look: Look) -> bool:
        return look.kind == "glance" or look.place != self._about

    def _of(
        self, look: Look, answer: Answer, planned: PlannedStand, asked: bool
    ) -> tuple[float, float]:
        """The probability of an answer if it is one strand, and if it is all of them."""
        if look.kind == "braid":
            seen = BRAID_AS_PLANNED if answer == "nothing" else (1 - BRAID_AS_PLANNED) / 2
            return seen, seen
        foreign = self._foreign if isinstance(answer, str) and FOREIGN in answer else 1.0
        anything = ANY_ANSWER[look.kind] * foreign
        if asked and look.kind != "read" and self._elsewhere(look):
            here = (1 - ELSEWHERE_AS_PLANNED) * anything
            if answer == predicted(look, Sight({}, {}), planned):
                return here + ELSEWHERE_AS_PLANNED, ALL_OVER_AS_PLANNED
            return here, ALL_OVER * foreign
        return anything, anything if look.kind == "read" else ALL_OVER * foreign
