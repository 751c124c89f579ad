"""Every mend of one slip, with its seconds and what will be seen; in no order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from bench.craft.load import SKIP
from bench.slips.costs import Costs
from bench.slips.likeness import FOREIGN
from bench.slips.mend import NOTHING, PLAIN, SLIGHT, Mend, mend_of
from bench.slips.mend_steps import MendStep, NewRemaining, SetCount, SewIn, StepKind, TakeBack
from bench.slips.planned_stand import PlannedStand, common_start
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import OF_THE_COUNT, Slip, Suspect

FARTHEST_BACK = 4
"""No more rows than this are offered to be taken back. Rule of thumb, no source."""

_MADE_GOOD_BY: Mapping[Slip, StepKind] = {
    "not_tucked": "tuck",
    "not_brought_in": "bring_in",
    "two_brought_in": "bring_in_one",
    "wrong_of_pair": "carry_the_right",
}

Remaining = Mapping[int, str]
"""By strand: all beads still to come where they are not the plan's, moves without one as `-`."""


class SingleMends:
    """Works out mends at one count of crosses."""

    def __init__(self, planned: PlannedStand, costs: Costs) -> None:
        self.planned, self.plan, self.costs = planned, planned.plan, costs

    def of(self, s: Suspect) -> Iterator[Mend]:
        """The mends of one slip."""
        if s.slip == "misread":
            yield mend_of(MendStep("plan_is_right"))
            return
        if s.slip == "other_piece":
            yield mend_of(MendStep("open_other", self.costs.open_other))
            return
        if s.shift is not None and s.slip in OF_THE_COUNT:
            yield mend_of(set_count(self.planned.made - s.shift, self.costs.set_count))
            return
        supposed = SupposedStand(self.planned, (s,))
        if s.slip in ("missing", "extra", "wrong", "swapped"):
            yield from self._loaded(s, supposed)
        elif s.slip == "wrong_tray":
            yield from self._from_wrong_tray(s, supposed)
        elif s.slip == "cross_twice" and s.at is not None:
            yield from self._made_twice(s.at)
        elif s.at is not None:
            yield from self._braided(s, supposed)
        else:
            yield from self._exchanged(s, supposed.remaining())

    # Slips in loading one strand

    def _loaded(self, s: Suspect, supposed: SupposedStand) -> Iterator[Mend]:
        assert s.strand is not None
        rest, braided = supposed.remaining(), supposed.irregularities()
        planned = self.plan.remaining(s.strand, self.planned.made)
        actual = rest.get(s.strand, planned)
        out_of_step = s.slip in ("missing", "extra")
        so_far = "beads out of their order"
        if out_of_step:
            turn = "early" if s.slip == "missing" else "late"
            so_far = f"changes on this line {turn} by a row from the slip to here"
        yield from self._without_restringing(s, planned, actual, so_far if braided else "")
        if out_of_step:
            yield self.carry_on(rest, _out_of_step(planned, actual))
        else:
            yield self.carry_on(rest, "beads out of their order", seen=SLIGHT)
        if braided:
            yield from self._back_to_fault(s, braided[0].cross)
        if rest:
            yield mend_of(self.restring(rest), shows=so_far if braided else "")

    def _from_wrong_tray(self, s: Suspect, supposed: SupposedStand) -> Iterator[Mend]:
        """Beads from a wrong tray: they stay, or are strung anew, or from the fault on."""
        rest, braided = supposed.remaining(), supposed.irregularities()
        shows = f"{s.actual} in place of {s.bead} on this line"
        if s.strand is None:
            shows = f"{s.actual} in place of {s.bead} all round"
        yield self.carry_on(rest, shows, seen=SLIGHT if s.strand is None else PLAIN)
        if braided and s.strand is not None:
            yield from self._back_to_fault(s, braided[0].cross)
        if rest:
            so_far = f"{s.actual} in place of {s.bead} where it is braided already"
            yield mend_of(self.restring(rest), shows=so_far if braided else "")

    def _made_twice(self, at: int) -> Iterator[Mend]:
        """Take back to before the cross that was made again, and make the next one."""
        again, due = self.plan.step(at), self.plan.step(at + 1)
        making = MendStep("make_the_next", self.costs.tuck, (again.call,), call=due.call)
        yield from self.take_back(at + 1, making)

    def _without_restringing(
        self, s: Suspect, planned: str, actual: str, so_far: str
    ) -> Iterator[Mend]:
        """Skip and sew, or break a bead; so_far: what of it is braided and will be seen."""
        assert s.strand is not None
        fault, place = common_start(planned, actual), self._place(s.strand)
        behind = len(actual[:fault].replace(SKIP, ""))
        if s.slip == "missing" and fault < len(planned):
            shows = f"{so_far}; the gap is closed by sewing" if so_far else "nothing, once sewn in"
            skip, sew = self._skip_and_sew(s.strand, planned, fault)
            yield mend_of(skip, sew, shows=shows, seen=SLIGHT if so_far else NOTHING)
        elif s.slip == "extra" and fault == len(planned):
            yield mend_of(MendStep("leave_over", places=(place,)), shows=so_far)
        elif s.slip == "extra" and fault < len(actual):
            due = (s.strand, self._cross(s.strand, fault)) if behind else None
            yield mend_of(self._break(place, actual[fault], behind, due), shows=so_far)
        elif s.slip == "wrong" and fault < len(planned):
            skip, sew = self._skip_and_sew(s.strand, planned, fault)
            breaking = self._break(place, actual[fault], behind)
            yield mend_of(breaking, skip, sew, shows="nothing, once sewn in", seen=NOTHING)

    def _skip_and_sew(self, strand: int, planned: str, fault: int) -> tuple[MendStep, MendStep]:
        sew = self.sew_in(strand, self._cross(strand, fault), planned[fault])
        return self._skip(strand, planned, fault), sew

    def _back_to_fault(self, s: Suspect, cross: int) -> Iterator[Mend]:
        """Take back until the fault of a load is next on its strand, and mend the load there."""
        assert s.strand is not None
        place, costs = self._place(s.strand, cross - 1), self.costs
        load = self.plan.remaining(s.strand, cross - 1).replace(SKIP, "")
        anew = costs.rehitch + costs.restring_each * (len(load) + 1)
        anew = costs.by_hand("restring", anew)
        breaking = costs.by_hand("break_bead", costs.break_bead)
        if s.slip == "extra" and s.actual is not None and breaking <= anew:
            yield from self.take_back(cross, self._break(place, s.actual))
        else:
            string = ((s.strand, load),)
            yield from self.take_back(cross, MendStep("restring", anew, (place,), string=string))

    # Slips in braiding

    def _braided(self, s: Suspect, supposed: SupposedStand) -> Iterator[Mend]:
        assert s.strand is not None
        assert s.at is not None
        rest = supposed.remaining()
        begun = self.planned.used(s.strand, s.at - 1)
        made_good = MendStep(
            _MADE_GOOD_BY[s.slip],
            self.costs.tuck,
            (self._place(s.strand, s.at - 1),),
            s.bead,
            farther=s.slip == "wrong_of_pair" or (s.first is not None and begun >= s.first),
        )
        yield from self.take_back(s.at, made_good)
        if s.slip == "not_tucked":
            shows = "one bead stands proud and may work loose"
            yield mend_of(MendStep("leave_proud"), shows=shows, seen=PLAIN)
            return
        if s.slip == "wrong_of_pair":
            shows = "a broken line where the two strands change over"
            yield from self._from_here_on(rest, shows)
            yield self.carry_on(rest, f"{shows}, and each in the other's place to the end")
            return
        planned = self.plan.remaining(s.strand, self.planned.made)
        actual = rest.get(s.strand, planned)
        changed = any(spot.other_bead for spot in supposed.irregularities())
        so_far = "changes on this line {} by a row from the slip to here; " if changed else ""
        entry = len(planned) - len(planned.lstrip(SKIP))
        if s.slip == "two_brought_in" and entry < len(planned):
            shows = f"{so_far.format('early')}two beads in one place, a small bump"
            yield mend_of(self._skip(s.strand, planned, entry), shows=shows, seen=SLIGHT)
        elif s.slip == "not_brought_in" and s.bead is not None:
            first = self._break(self._place(s.strand), actual.replace(SKIP, "")[:1])
            if common_start(planned, actual) == len(planned):
                first = MendStep("leave_over", places=first.places)
            shows = "nothing, once sewn in"
            if changed:
                shows = f"{so_far.format('late')}the gap is closed by sewing"
            sew = self.sew_in(s.strand, s.at, s.bead)
            yield mend_of(first, sew, shows=shows, seen=SLIGHT if changed else NOTHING)
        yield self.carry_on(rest, _out_of_step(planned, actual))

    # Whole loads

    def _exchanged(self, s: Suspect, rest: Remaining) -> Iterator[Mend]:
        made, costs = self.planned.made, self.costs
        if not any(self.planned.counts) and s.slip != "reversed" and rest:
            places = tuple(self._place(strand, 0) for strand in sorted(rest))
            seconds = costs.by_hand("hang", costs.rehitch / 3 * len(places))
            hang = MendStep("hang", seconds, places)
            seconds, back = costs.take_back_each * made, (TakeBack(made),)
            plain = MendStep("take_back_plain", seconds, crosses=made, effects=back)
            yield mend_of(plain, hang) if made else mend_of(hang)
        yield from self._from_here_on(rest, "what was braided so far stays")
        shows = "beads of these strands stand in each other's places to the end"
        if s.slip == "reversed":
            shows = "this line has its beads in reverse to the end"
        yield self.carry_on(rest, shows)

    def _from_here_on(self, rest: Remaining, stays: str) -> Iterator[Mend]:
        """Swap what is left of two strands where that is enough, or string all of it anew."""
        if not rest:
            return
        steps = [self.restring(rest)]
        planned = [self.plan.remaining(strand, self.planned.made) for strand in rest]
        if len(rest) == 2 and planned == list(rest.values())[::-1]:
            beads = sum(map(len, rest.values()))
            usual = 2 * self.costs.rehitch + self.costs.swap_each * beads
            seconds = self.costs.by_hand("swap", usual)
            places = tuple(self._place(strand) for strand in sorted(rest))
            steps.append(MendStep("swap", seconds, places))
        for step in steps:
            yield mend_of(step, shows=stays if any(self.planned.counts) else "")

    # Steps

    def carry_on(self, rest: Remaining, shows: str, seen: int = PLAIN) -> Mend:
        """Braid what hangs there, with the plan made so."""
        effects = tuple(
            NewRemaining(strand, self._nameable(strand, left))
            for strand, left in sorted(rest.items())
        )
        return mend_of(MendStep("carry_on", effects=effects), shows=shows, seen=seen)

    def take_back(self, cross: int, then: MendStep) -> Iterator[Mend]:
        """Take crosses back to the one before this, and then do what is to be done there."""
        crosses = self.planned.made - cross + 1
        if 0 < crosses <= FARTHEST_BACK * self.plan.row_length:
            seconds, effects = self.costs.take_back_each * crosses, (TakeBack(crosses),)
            back = MendStep("take_back", seconds, crosses=crosses, effects=effects)
            yield mend_of(back, then)

    def restring(self, rest: Remaining) -> MendStep:
        """Strip every strand of these from its free end to the fault and string it as planned."""
        seconds, string = 0.0, []
        for strand, actual in sorted(rest.items()):
            planned = self.plan.remaining(strand, self.planned.made)
            kept = common_start(planned, actual)
            seconds += self.costs.rehitch
            seconds += self.costs.restring_each * (max(len(planned), len(actual)) - kept)
            string.append((strand, planned[kept:].replace(SKIP, "")))
        places = tuple(self._place(strand) for strand, _ in string)
        seconds = self.costs.by_hand("restring", seconds)
        return MendStep("restring", seconds, places, string=tuple(string))

    def sew_in(self, strand: int, cross: int, bead: str) -> MendStep:
        """Sew a bead in where the strand makes this cross, once it is made."""
        effects = (SewIn(strand, cross, bead),)
        return MendStep("sew_in", self.costs.sew_in, bead=bead, effects=effects)

    def _skip(self, strand: int, planned: str, entry: int) -> MendStep:
        """Move a strand once without a bead, in the place of one bead to come, counted from 0."""
        cross = self._cross(strand, entry)
        without = planned[:entry] + SKIP + planned[entry + 1 :]
        return MendStep(
            "skip",
            self.costs.skip,
            (self._place(strand),),
            crosses=cross - self.planned.made,
            call=self.plan.step(cross).call,
            effects=(NewRemaining(strand, without),),
        )

    def _break(
        self, place: str, bead: str, behind: int = 0, due: tuple[int, int] | None = None
    ) -> MendStep:
        seconds = self.costs.by_hand("break_bead", self.costs.break_bead)
        return MendStep("break_bead", seconds, (place,), bead, behind=behind, due=due)

    def _nameable(self, strand: int, left: str) -> str:
        """Beads without foreign ones, which a plan cannot name: for each stands a planned one."""
        planned = self.plan.remaining(strand, self.planned.made)
        usual = self.planned.loads[strand - 1][-1:] or min(self.plan.pattern.beads, default="")
        return "".join(
            (planned[at : at + 1].strip(SKIP) or usual) if bead == FOREIGN else bead
            for at, bead in enumerate(left)
        )

    def _place(self, strand: int, made: int | None = None) -> str:
        """Where a strand lies now, or once so many crosses are made."""
        made = self.planned.made if made is None else made
        return self.plan.structure.places[self.plan.place_of(strand, made) - 1]

    def _cross(self, strand: int, entry: int) -> int:
        """The cross that brings in a strand's bead to come, counted from 0."""
        return self.plan.cross_of(strand, self.plan.used(strand, self.planned.made) + entry)


def set_count(made: int, seconds: float = 0.0) -> MendStep:
    """Set the count to so many crosses made."""
    return MendStep("set_count", seconds, crosses=made, effects=(SetCount(made),))


def _out_of_step(planned: str, actual: str) -> str:
    """What a bead too few or too many on a strand shows from here on if nothing is done."""
    if len({*planned, *actual} - {SKIP}) > 1:
        return "every later change on this line out of step by a row, uneven at its end"
    return "this line ends a row earlier or later than the others"
