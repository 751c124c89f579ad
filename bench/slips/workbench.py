"""The workbench: every mend of one slip, with its seconds and what will be seen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bench.craft.load import SKIP
from bench.slips.effects import (
    BACK_CAUTION,
    BREAK_CAUTION,
    HANG_CAUTION,
    NEEDLE_CAUTION,
    STRIP_CAUTION,
    Later,
    Mend,
    NewRemaining,
    SetCount,
    SewIn,
    TakeBack,
)
from bench.slips.likeness import FOREIGN
from bench.slips.looks import Costs
from bench.slips.scene import OF_THE_COUNT, Scene, Suspect, alike

FARTHEST_BACK = 4
"""No more rows than this are offered to be taken back. Rule of thumb, no source."""


class Workbench:
    """Works out mends for one moment, in no order."""

    def __init__(self, scene: Scene, costs: Costs) -> None:
        self.scene, self.plan, self.costs = scene, scene.plan, costs

    def single(self, s: Suspect) -> Iterator[Mend]:
        """The mends of one slip."""
        if s.slip == "misread":
            yield Mend("Carry on: the plan is right.", 0.0, "nothing")
            return
        if s.shift is not None and s.slip in OF_THE_COUNT:
            made = self.scene.made - s.shift
            yield Mend(
                f"Set the count to {made} crosses made; the braid stays as it is.",
                self.costs.set_count,
                "nothing",
                effects=(SetCount(made),),
            )
            return
        _, rest = self.scene.held((s,))
        if s.slip in ("missing", "extra", "wrong", "swapped"):
            yield from self._loaded(s, rest)
        elif s.at is not None:
            yield from self._braided(s, rest)
        else:
            yield from self._exchanged(s, rest)

    def _loaded(self, s: Suspect, rest: dict[int, str]) -> Iterator[Mend]:
        assert s.strand is not None
        planned = self.plan.remaining(s.strand, self.scene.made)
        actual = rest.get(s.strand, planned)
        fault = alike(planned, actual)
        braided = self.scene.braided((s,))
        where = self._place(s.strand)
        so_far = "beads out of their order"
        if s.slip in ("missing", "extra"):
            turn = "early" if s.slip == "missing" else "late"
            so_far = f"changes on this line {turn} by a row from the slip to here"
        if s.slip == "missing" and fault < len(planned):
            bead = planned[fault]
            yield Mend(
                f"{self._when(s.strand, fault)} move the strand now at {where} without a bead;"
                f" sew one {bead} in later.",
                self.costs.skip + self.costs.sew_in,
                f"{so_far}; the gap is closed by sewing" if braided else "nothing, once sewn in",
                1 if braided else 0,
                NEEDLE_CAUTION,
                self._skipped(s.strand, planned, fault),
            )
        elif s.slip == "extra" and fault == len(planned):
            yield Mend(
                f"At {where}, leave the bead that stays over at the free end; it comes off when the"
                " piece is done.",
                0.0,
                so_far if braided else "nothing",
                1 if braided else 0,
            )
        elif s.slip == "extra" and fault < len(actual):
            behind = _behind(actual[:fault])
            what = f"break one {_name(actual[fault])}"
            later = Later(s.strand, self._cross(s.strand, fault), what)
            yield Mend(
                f"At {where}, {what}{behind or ' now'}, before it is brought in.",
                self.costs.break_bead,
                so_far if braided else "nothing",
                1 if braided else 0,
                BREAK_CAUTION,
                later=(later,) if behind else (),
            )
        elif s.slip == "wrong" and fault < len(planned):
            yield Mend(
                f"At {where}, break the {_name(actual[fault])}{_behind(actual[:fault])}."
                f" {self._when(s.strand, fault)} move that strand without a bead;"
                f" sew one {planned[fault]} in later.",
                self.costs.break_bead + self.costs.skip + self.costs.sew_in,
                "nothing, once sewn in",
                0,
                f"{BREAK_CAUTION} {NEEDLE_CAUTION}",
                self._skipped(s.strand, planned, fault),
            )
        if s.slip in ("missing", "extra"):
            yield self.carry_on(rest, _out_of_step(planned, actual))
        else:
            yield self.carry_on(rest, "beads out of their order", seen=1)
        if braided:
            yield from self._back_to_fault(s, braided[0].cross)
        if rest:
            restring = self.restring(rest)
            yield replace(restring, shows=so_far, seen=1) if braided else restring

    def _skipped(self, strand: int, planned: str, fault: int) -> tuple[NewRemaining, SewIn]:
        return (
            NewRemaining(strand, _without(planned, fault)),
            SewIn(strand, self._cross(strand, fault), planned[fault]),
        )

    def _back_to_fault(self, s: Suspect, cross: int) -> Iterator[Mend]:
        """Take back until the fault of a load is next on its strand, and mend the load there."""
        assert s.strand is not None
        where = self._place(s.strand, cross - 1)
        costs, load = self.costs, self.plan.remaining(s.strand, cross - 1).replace(SKIP, "")
        anew = costs.rehitch + costs.restring_each * (len(load) + 1)
        if s.slip == "extra" and s.actual is not None and costs.break_bead <= anew:
            then = f", then break the {_name(s.actual)} that is next at {where}"
            yield from self._take_back(cross, then, costs.break_bead, BREAK_CAUTION)
            return
        then = f", then strip the strand at {where} from its free end to the fault and string anew"
        for mend in self._take_back(cross, then, anew, STRIP_CAUTION):
            yield replace(mend, string=((s.strand, load),))

    def _braided(self, s: Suspect, rest: dict[int, str]) -> Iterator[Mend]:
        assert s.strand is not None
        assert s.at is not None
        begun = self.scene.used(s.strand, s.at - 1)
        far = s.slip == "wrong_of_pair" or (s.first is not None and begun >= s.first)
        yield from self._take_back(s.at, self._redo(s, far=far), self.costs.tuck)
        if s.slip == "not_tucked":
            yield Mend("Carry on.", 0.0, "one bead stands proud and may work loose", 2)
            return
        if s.slip == "wrong_of_pair":
            shows = "a broken line where the two strands change over"
            yield from self._from_here_on(rest, shows)
            yield self.carry_on(rest, f"{shows}, and each in the other's place to the end")
            return
        where = self._place(s.strand)
        changed = any(spot.other_bead for spot in self.scene.braided((s,)))
        so_far = "changes on this line {} by a row from the slip to here; " if changed else ""
        planned = self.plan.remaining(s.strand, self.scene.made)
        actual = rest.get(s.strand, planned)
        spot = len(planned) - len(planned.lstrip(SKIP))
        if s.slip == "two_brought_in" and spot < len(planned):
            yield Mend(
                f"{self._when(s.strand, spot)} move the strand now at {where} without a bead.",
                self.costs.skip,
                f"{so_far.format('early')}two beads in one place, a small bump",
                1,
                "",
                (NewRemaining(s.strand, _without(planned, spot)),),
            )
        elif s.slip == "not_brought_in" and s.bead is not None:
            sew = f"sew one {s.bead} into the gap later"
            mend = Mend(
                f"At {where}, break the next bead ({_name(actual.replace(SKIP, '')[:1])}) before it"
                f" is brought in; {sew}.",
                self.costs.break_bead + self.costs.sew_in,
                f"{so_far.format('late')}the gap is closed by sewing"
                if changed
                else "nothing, once sewn in",
                1 if changed else 0,
                f"{BREAK_CAUTION} {NEEDLE_CAUTION}",
                (SewIn(s.strand, s.at, s.bead),),
            )
            if alike(planned, actual) == len(planned):
                do = f"At {where}, one bead stays over at the free end: leave it; {sew}."
                mend = replace(mend, do=do, seconds=self.costs.sew_in, caution=NEEDLE_CAUTION)
            yield mend
        yield self.carry_on(rest, _out_of_step(planned, actual))

    def _redo(self, s: Suspect, *, far: bool) -> str:
        """How a slip in braiding is made good once its cross is out; far: it may lie farther."""
        assert s.strand is not None
        assert s.at is not None
        where = self._place(s.strand, s.at - 1)
        bead = f"bead {s.bead}" if s.bead else "the bead"
        found, then = {
            "not_tucked": ("that bead", f"tuck {bead} at {where} under"),
            "not_brought_in": ("the gap", f"bring {bead} in at {where}"),
            "two_brought_in": ("the two in one place", f"bring in one bead only at {where}"),
            "wrong_of_pair": (
                "where the lines change over",
                f"carry the right one of the pair, {where}",
            ),
        }[s.slip]
        return f", or as far as {found}; then {then}" if far else f", then {then}"

    def _exchanged(self, s: Suspect, rest: dict[int, str]) -> Iterator[Mend]:
        strands = sorted(rest)
        if not any(self.scene.counts) and s.slip != "reversed" and strands:
            places = " and ".join(self._place(strand, 0) for strand in strands[:2])
            more = "" if len(strands) == 2 else f" and so on, {len(strands)} strands in all"
            tama = f"the tama where they belong ({places}{more})"
            yield Mend(
                f"Hang {tama}; no bead is in the braid yet."
                if self.scene.made == 0
                else f"Take back the plain crosses, then hang {tama}.",
                self.costs.rehitch / 3 * len(strands) + self.costs.take_back_each * self.scene.made,
                "nothing",
                0,
                HANG_CAUTION if self.scene.made == 0 else f"{BACK_CAUTION} {HANG_CAUTION}",
                (TakeBack(self.scene.made),) if self.scene.made else (),
            )
        yield from self._from_here_on(rest, "what was braided so far stays")
        shows = "beads of these strands stand in each other's places to the end"
        if s.slip == "reversed":
            shows = "this line has its beads in reverse to the end"
        yield self.carry_on(rest, shows)

    def _from_here_on(self, rest: dict[int, str], stays: str) -> Iterator[Mend]:
        """Swap what is left of two strands where that is enough, or string all of it anew."""
        if not rest:
            return
        found = [self.restring(rest)]
        planned = {strand: self.plan.remaining(strand, self.scene.made) for strand in rest}
        if len(rest) == 2 and [planned[s] for s in rest] == list(rest.values())[::-1]:
            costs, places = self.costs, " and ".join(self._place(s) for s in sorted(rest))
            found.append(
                Mend(
                    f"Swap the remaining beads of {places}: each load off over the free end onto a"
                    " spare thread, and from there onto the other strand.",
                    2 * costs.rehitch + costs.swap_each * sum(map(len, rest.values())),
                    "nothing",
                    0,
                    STRIP_CAUTION,
                )
            )
        if any(self.scene.counts):
            found = [replace(mend, shows=stays, seen=1) for mend in found]
        yield from found

    def carry_on(self, rest: dict[int, str], shows: str, seen: int = 2) -> Mend:
        """Braid what hangs there, with the plan made so."""
        kept = {strand: self._nameable(strand, left) for strand, left in sorted(rest.items())}
        effects = tuple(NewRemaining(strand, left) for strand, left in kept.items())
        return Mend("Carry on with what hangs there.", 0.0, shows, seen, "", effects)

    def _take_back(self, cross: int, then: str, more: float, caution: str = "") -> Iterator[Mend]:
        crosses = self.scene.made - cross + 1
        if 0 < crosses <= FARTHEST_BACK * self.plan.row_length:
            yield Mend(
                f"Take back {crosses} {'cross' if crosses == 1 else 'crosses'}{then}.",
                self.costs.take_back_each * crosses + more,
                "nothing",
                0,
                f"{caution} {BACK_CAUTION}".strip(),
                (TakeBack(crosses),),
            )

    def restring(self, rest: dict[int, str]) -> Mend:
        """Strip every strand of these from its free end to the fault and string it as planned."""
        seconds, string = 0.0, []
        for strand, actual in sorted(rest.items()):
            planned = self.plan.remaining(strand, self.scene.made)
            kept = alike(planned, actual)
            seconds += self.costs.rehitch
            seconds += self.costs.restring_each * (max(len(planned), len(actual)) - kept)
            string.append((strand, planned[kept:].replace(SKIP, "")))
        places = "; ".join(self._place(strand) for strand in sorted(rest)[:4])
        return Mend(
            f"Strip from the free end to the fault and string as planned: {places}"
            + (f" and {len(rest) - 4} more." if len(rest) > 4 else "."),
            seconds,
            "nothing",
            0,
            STRIP_CAUTION,
            string=tuple(string),
        )

    def _nameable(self, strand: int, left: str) -> str:
        """Beads without foreign ones, which a plan cannot name: for each stands a planned one."""
        planned = self.plan.remaining(strand, self.scene.made)
        usual = self.scene.loads[strand - 1][-1:] or min(self.plan.pattern.beads, default="")
        return "".join(
            (planned[at : at + 1].strip(SKIP) or usual) if bead == FOREIGN else bead
            for at, bead in enumerate(left)
        )

    def _place(self, strand: int, made: int | None = None) -> str:
        """Where a strand lies now, or once so many crosses are made."""
        made = self.scene.made if made is None else made
        return self.plan.structure.places[self.plan.place_of(strand, made) - 1]

    def _when(self, strand: int, entry: int) -> str:
        """In which cross a strand's bead to come is due: 'In 3 crosses (left and right),'."""
        cross = self._cross(strand, entry)
        ahead = cross - self.scene.made
        return (
            "In the next cross,"
            if ahead == 1
            else f"In {ahead} crosses ({self.plan.step(cross).call}),"
        )

    def _cross(self, strand: int, entry: int) -> int:
        return self.plan.cross_of(strand, self.plan.used(strand, self.scene.made) + entry)


def _without(planned: str, at: int) -> str:
    """What is left with a move without a bead in the place of one bead."""
    return planned[:at] + SKIP + planned[at + 1 :]


def _out_of_step(planned: str, actual: str) -> str:
    """What a bead too few or too many on a strand shows from here on if nothing is done."""
    if len({*planned, *actual} - {SKIP}) > 1:
        return "every later change on this line out of step by a row, uneven at its end"
    return "this line ends a row earlier or later than the others"


def _name(letter: str) -> str:
    return "foreign bead" if letter == "?" else f"bead {letter}"


def _behind(beads: str) -> str:
    """Where a bead hangs, behind these: nothing for the next one."""
    ahead = len(beads.replace(SKIP, ""))
    return "" if ahead == 0 else f" behind the next {'bead' if ahead == 1 else f'{ahead} beads'}"
