"""The inquiry: from a report to what went wrong, one look at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from bench.craft.plan import Plan
from bench.slips.costs import Kind
from bench.slips.evidence import Observation, answered_by, named_beads
from bench.slips.likeness import Likeness
from bench.slips.looks import MORE, Answer, Look, candidates, mutual_information, predicted
from bench.slips.maker import Maker
from bench.slips.mends import mends
from bench.slips.posterior import EquivalenceClass, Hypothesis, Model
from bench.slips.suspect import OF_THE_COUNT

CLEAR = 0.93
"""One suspect above this, and no more is asked."""

TEMPERED_CLEAR = 0.93
"""The same under tempered priors."""

COUNT_LOOKS = 2
"""So many answers must say that the count is off, and by how much, before it is set."""

COSTLY_S = 60.0
"""A mend that takes so long is told after a look that could refute it. Rule of thumb, no source."""

WRONGLY_SET_S = 60.0
"""What it costs to find the place again after the count was set wrongly. Rule of thumb, no
source."""

READ_BELOW = 0.8
"""A strand is read off where nothing is likelier than this and no look is left."""

LONGEST_READ_S = 60.0
"""A strand that takes longer is not asked to be read off. Rule of thumb, no source."""

WIDE = 5
"""So many of the likeliest suspects say how many beads there may be to read off."""

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
        self._take(look, answer, rates.answer, rates.miscount)

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
        return self._likely and self._look_before_mending() is None

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
        clear = top.chance > CLEAR and top.tempered > TEMPERED_CLEAR
        return clear and top.sight is not None

    @property
    def _misread(self) -> bool:
        return self.classes[0].first.slips[0].slip == "misread"

    @property
    def _now(self) -> list[Observation]:
        """What was seen at this count of crosses."""
        return [one for one in self.evidence if one.made == self.planned.made]

    def _look_before_mending(self) -> Look | None:
        """The look that must still be answered before the likeliest suspect may be mended."""
        return self._second_look() or self._refuting_look()

    def _refuting_look(self) -> Look | None:
        """A cheap look that could refute the likeliest suspect, where its mend needs one.

        A count is set after COUNT_LOOKS answers that say so; a mend that takes COSTLY_S or spoils a
        bead is told after one that is not of the strand reported; and a count that is off by more
        than a row, or all strands from a wrong tray, may as well be another piece: a strand is read
        off. None where nothing can be asked, or only what costs more than the mend would if it were
        wrong.
        """
        top, now = self.classes[0], self._now
        if top.sight is None or not now or self._misread:
            return None
        about = now[0].look.place
        agree = {
            one.look.key: one.look.kind == "glance" or one.look.place != about
            for one in now
            if one.asked and predicted(one.look, top.sight, self.planned) == one.answer
        }
        of_the_count = any(slip.slip in OF_THE_COUNT for slip in top.first.slips)
        if of_the_count:
            if len(agree) >= COUNT_LOOKS:
                return self._whole_strand() if self._sweeping(top) else None
        elif any(agree.values()) or not self._costly(top):
            return self._whole_strand() if self._sweeping(top) else None
        asked = {one.look.key for one in now if one.asked} | self.set_aside
        places = range(1, self.planned.strands + 1)
        found = [
            look
            for look in candidates(self.planned, places, about, named_beads(now), self.maker.costs)
            if look.kind in ("glance", "next")
            and look.key not in asked
            and not answered_by(look, now)
            and (look.kind == "glance" or look.place != about)
            and look.seconds <= WRONGLY_SET_S
        ]
        return max(found, key=self._refutes) if found else None

    def _sweeping(self, top: EquivalenceClass) -> bool:
        """Whether a suspect says of all strands what another piece would show as well."""
        slips = top.first.slips
        shift = sum(slip.shift or 0 for slip in slips if slip.slip in OF_THE_COUNT)
        return abs(shift) > self.plan.row_length or any(
            slip.slip == "wrong_tray" and slip.strand is None for slip in slips
        )

    def _refutes(self, look: Look) -> float:
        """How surely a look refutes the likeliest suspect if it is something else, per second."""
        sight = self.classes[0].sight
        assert sight is not None
        right = predicted(look, sight, self.planned)
        surprise = self._model.unknown.surprise(look, [right], self.planned)
        others = sum(
            group.doubt
            for group in self.classes[1:]
            if group.sight is not None and predicted(look, group.sight, self.planned) != right
        )
        return (self._unknown * surprise + others) / look.seconds

    def _costly(self, top: EquivalenceClass) -> bool:
        """Whether the best mend of a suspect takes long or spoils a bead."""
        ways = mends(self.planned, top.first.slips, self.maker)
        return bool(ways) and (
            ways[0].seconds >= COSTLY_S or any(s.kind == "break_bead" for s in ways[0].steps)
        )

    def _second_look(self) -> Look | None:
        """The look that a report still needs before it may be taken for a misreading."""
        if not self._misread:
            return None
        for one in self._now:
            again = replace(one.look, seconds=self.maker.costs.of(one.look.kind))
            kinds = ("next", "next3") if one.look.kind == "next" else ("braid",)
            if (
                not one.asked
                and again.key not in self.set_aside
                and not any(
                    other.asked
                    and other.look.place == one.look.place
                    and other.look.kind in kinds
                    and other.look.bead is None
                    for other in self._now
                )
            ):
                return again
        return None

    @property
    def known(self) -> list[Hypothesis]:
        """The known suspects worth telling; among themselves where the unknown is likeliest."""
        known = [each for each in self.hypotheses if each.slips[0].slip != "other"]
        total = sum(each.chance for each in known) if self.classes[0].sight is None else 1.0
        shares = [replace(each, chance=each.chance / total) for each in known]
        return [each for each in shares if each.chance >= WORTH_TELLING or each is shares[0]]

    @property
    def nothing_fits(self) -> bool:
        """Whether neither a slip nor a pair of slips explains what was seen.

        A misreading does not, where the same was seen twice and no look is left to ask.
        """
        top = self.classes[0]
        if top.sight is None:
            single = [each.slips for each in self.known if len(each.slips) == 1]
            return not any(self._model.agrees(slips, self.evidence) for slips in single)
        if not self._misread or self.settled or self.look is not None:
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
            return self._look_before_mending()
        look = self._telling_look()
        if look is None and self.classes[0].chance < READ_BELOW:
            look = self._whole_strand()
        return look

    def _whole_strand(self) -> Look | None:
        """To read off the strand reported, where no cheaper look tells anything."""
        if not self._now:
            return None
        place = self._now[0].look.place
        beads = max(
            len(self._model.all_left(group.first.slips, place))
            for group in self.classes[:WIDE]
            if group.sight is not None
        )
        strand, seconds = self.planned.arrangement[place - 1], self.maker.costs.of("read", beads)
        look = Look("read", strand, place, seconds)
        read = {one.look.key for one in self._now} | self.set_aside
        return None if look.key in read or seconds > LONGEST_READ_S else look

    def _telling_look(self) -> Look | None:
        """The look with the most information expected per second; None where none tells enough."""
        live = [each for each in self.classes if each.doubt > NEGLIGIBLE and each.sight]
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
        ranked = [
            (self.rank(look, information) * AGAIN ** asked.count(look.key), look)
            for look, information in options
            if information > LEAST_INFORMATION and asked.count(look.key) < ASKED_AT_MOST
        ]
        return max(ranked, key=lambda option: option[0])[1] if ranked else None

    @property
    def _unknown(self) -> float:
        """The weight of something that no list knows."""
        return sum(each.doubt for each in self.classes if each.sight is None)

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
            shares[right] = shares.get(right, 0.0) + group.doubt
        if look.kind == "left":
            total = sum(shares.values())
            if shares.get(MORE, 0.0) > 0.01 * total:
                return look, 0.0
            beads = sum(n * share for n, share in shares.items() if isinstance(n, int)) / total
            look = replace(look, seconds=self.maker.costs.of("left", beads))
        rates = self.maker.error_rates
        number = look.kind in ("glance", "left")
        unknown = self._model.unknown.surprise(look, list(shares), self.planned)
        told = [*shares.values(), self._unknown * unknown]
        return look, mutual_information(told, rates.answer + (rates.miscount if number else 0.0))
