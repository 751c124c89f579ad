"""The inquiry: from a report to what went wrong, one look at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from bench.craft.plan import Plan
from bench.slips.before_mending import look_before_mending
from bench.slips.costs import Kind
from bench.slips.evidence import Observation, answered_by, named_beads
from bench.slips.likeness import Likeness
from bench.slips.looks import ANOTHER, MORE, Answer, Look, candidates, mutual_information, predicted
from bench.slips.maker import Maker
from bench.slips.posterior import EquivalenceClass, Hypothesis, Model
from bench.slips.standing import Standing

CLEAR = 0.87
"""One suspect above this, under the rules of thumb and under tempered priors alike, and no more is
asked."""

READ_BELOW = 0.8
"""A strand is read off where nothing is likelier than this and no look is left."""

WORTH_TELLING = 0.005
"""Chance below which a suspect is not told, but for the likeliest."""

NEGLIGIBLE = 1e-4
"""Chance too small to choose looks by."""

LEAST_INFORMATION = 0.02
"""A look that is expected to tell fewer bits than this is not worth asking."""

ASKED_AT_MOST = 2
"""So often a look is asked."""

AGAIN = 0.5
"""How much a look is worth that is asked a second time: who saw wrongly may do so again. Rule of
thumb, no source."""


class Inquiry:
    """What may have gone wrong with a piece, so many crosses counted.

    `report` and `answer` take evidence in; `classes`, `hypotheses`, `settled` and `look` say what
    follows. Earlier evidence is kept; `at` moves on to another count of crosses.
    """

    def __init__(
        self,
        plan: Plan,
        made: int,
        likeness: Likeness,
        maker: Maker | None = None,
        evidence: Sequence[Observation] = (),
    ) -> None:
        self.plan = plan
        self.likeness = likeness
        self.maker = maker or Maker()
        self.evidence = list(evidence)
        self.set_aside: set[tuple[str, int, str | None]] = set()
        self._model = Model(plan, made, likeness, self.maker.priors)
        self.planned = self._model.planned
        self.look: Look | None = None
        self._infer()

    def at(self, made: int) -> Inquiry:
        """The inquiry at another count of crosses made, with the evidence so far."""
        return Inquiry(self.plan, made, self.likeness, self.maker, self.evidence)

    # Evidence

    def report(self, place: int, saw: str | None) -> None:
        """Take in that the next bead at a place is not what the screen says."""
        self._take_report("next", place, saw)

    def report_braid(self, place: int, saw: str) -> None:
        """Take in a gap or a proud bead on the line of the strand at a place."""
        self._take_report("braid", place, saw)

    def _take_report(self, kind: Kind, place: int, saw: Answer) -> None:
        look = Look(kind, self.planned.arrangement[place - 1], place, 0.0)
        self._take(look, saw, self.maker.error_rates.report, 0.0)

    def answer(self, look: Look, answer: Answer) -> None:
        """Take in the answer to a look."""
        if look.kind == "left" and isinstance(answer, int):
            answer = min(answer, MORE)
        rates = self.maker.error_rates
        error_rate = rates.piece if look.kind == "piece" else rates.answer
        self._take(look, answer, error_rate, rates.miscount)

    def _take(self, look: Look, answer: Answer, error_rate: float, miscount: float) -> None:
        seen = Observation(self.planned.made, look, answer, error_rate, miscount)
        self.evidence.append(seen)
        self._infer()

    def skip(self, look: Look) -> None:
        """Set a look aside that the maker cannot answer."""
        self.set_aside.add(look.key)
        self.look = self._next_look()

    def _infer(self) -> None:
        self.classes = self._model.posterior(self.evidence)
        self._standing = Standing(self._model, self.classes, self._now, self.set_aside, self.maker)
        self.look = self._next_look()

    # What follows

    @property
    def hypotheses(self) -> list[Hypothesis]:
        """Every hypothesis by itself, the likeliest first; the chances add up to 1."""
        found = [each for group in self.classes for each in group.members]
        return sorted(found, key=lambda each: -each.chance)

    @property
    def settled(self) -> bool:
        """Whether one suspect is told apart from all others.

        It must be clear under tempered priors, too, and what its mend asks for must have been
        looked at: a misreading again, a count twice, a costly mend elsewhere.
        """
        return self.clear and self.classes[0].first.chance > CLEAR

    @property
    def clear(self) -> bool:
        """The same, but for suspects that no look tells from it."""
        return self._likely and look_before_mending(self._standing) is None

    @property
    def confirming(self) -> bool:
        """Whether the look asked is the one before a mend of what is likely already."""
        return self.look is not None and self._likely

    @property
    def asked_out(self) -> bool:
        """Whether nothing more can be asked though no suspect is told apart."""
        return bool(self.evidence) and self.look is None and not self.settled

    @property
    def _likely(self) -> bool:
        top = self.classes[0]
        return min(top.believed, top.tempered) > CLEAR and top.slip != "other"

    @property
    def _misread(self) -> bool:
        return self.classes[0].slip == "misread"

    @property
    def _now(self) -> list[Observation]:
        """What was seen at this count of crosses."""
        return [one for one in self.evidence if one.made == self.planned.made]

    @property
    def known(self) -> list[Hypothesis]:
        """The known suspects worth telling; among themselves where the unknown is likeliest."""
        known = [each for each in self.hypotheses if each.slips[0].slip != "other"]
        total = sum(each.chance for each in known) if self.classes[0].slip == "other" else 1.0
        shares = [replace(each, chance=each.chance / total) for each in known]
        return [each for each in shares if each.chance >= WORTH_TELLING or each is shares[0]]

    @property
    def nothing_fits(self) -> bool:
        """Whether neither a slip nor a pair of slips explains what was seen.

        A misreading does not, where the same was seen twice and no look is left to ask.
        """
        top = self.classes[0]
        if top.slip == "other":
            single = [each.slips for each in self.known if len(each.slips) == 1]
            return not any(
                slips[0].slip != "other_piece" and self._model.agrees(slips, self.evidence)
                for slips in single
            )
        if top.sight is None or not self._misread or self.settled or self.look is not None:
            return False
        against = [o for o in self._now if predicted(o.look, top.sight, self.planned) != o.answer]
        return any(
            (one.look.key, one.answer) == (two.look.key, two.answer)
            for one, two in combinations(against, 2)
        )

    def seen_before(self, look: Look) -> bool:
        """Whether a look asks again what was reported or answered at this count of crosses."""
        return any(one.look.key == look.key for one in self._now)

    # The next look

    def _next_look(self) -> Look | None:
        """The look that is asked next; None where none is needed, or none tells anything."""
        if not self.evidence:
            return None
        if self._likely:
            return look_before_mending(self._standing)
        if self._standing.told_of_the_piece == [ANOTHER] and self._standing.piece_look():
            return self._standing.piece_look()
        look = self._telling_look()
        if look is None and self.classes[0].chance < READ_BELOW:
            look = self._standing.whole_strand()
        return look

    def _telling_look(self) -> Look | None:
        """The look with the most information expected per second; None where none tells enough."""
        live = [each for each in self.classes if each.chance > NEGLIGIBLE and each.sight]
        if not live:
            return None
        now = self._now
        asked = [one.look.key for one in now if one.asked]
        about = (now or self.evidence[-1:])[0].look.place
        seen = {p for g in live if g.sight for p in (*g.sight.ahead, *g.sight.braid)}
        places = sorted(seen | {about})
        named = named_beads(now)
        options = [
            self.expected(look, live)
            for look in candidates(self.planned, places, about, named, self.maker.costs)
            if look.key not in self.set_aside and not answered_by(look, now)
        ]
        piece = self._standing.piece_look()
        if piece is not None and not self._standing.told_of_the_piece:
            options.append((piece, self._told_by_the_piece()))
        ranked = [
            (self.rank(look, information) * AGAIN ** asked.count(look.key), look)
            for look, information in options
            if information > LEAST_INFORMATION and asked.count(look.key) < ASKED_AT_MOST
        ]
        return max(ranked, key=lambda option: option[0])[1] if ranked else None

    def _told_by_the_piece(self) -> float:
        """The information in bits that the look at which piece lies there should tell."""
        another = self._standing.another_piece
        rest = sum(each.chance for each in self.classes) - another
        return mutual_information([rest, another], self.maker.error_rates.piece)

    def rank(self, look: Look, information: float) -> float:
        """What the next look is chosen by: the bits that it is expected to tell, per second."""
        return information / look.seconds

    def expected(self, look: Look, live: Sequence[EquivalenceClass]) -> tuple[Look, float]:
        """A look with its expected seconds, and the information in bits that it should tell.

        A count that may well be above the most that is counted tells nothing.
        """
        shares: dict[Answer, float] = {}
        for group in live:
            assert group.sight is not None
            right = predicted(look, group.sight, self.planned)
            shares[right] = shares.get(right, 0.0) + group.chance
        if look.kind == "left":
            total = sum(shares.values())
            if shares.get(MORE, 0.0) > 0.01 * total:
                return look, 0.0
            beads = sum(n * share for n, share in shares.items() if isinstance(n, int)) / total
            look = replace(look, seconds=self.maker.costs.of("left", beads))
        rates = self.maker.error_rates
        number = look.kind in ("glance", "left")
        told = [*shares.values(), self._standing.surprise(look, list(shares))]
        return look, mutual_information(told, rates.answer + (rates.miscount if number else 0.0))
