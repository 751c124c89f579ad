"""Mends: what can be done about a slip, the cheapest first, with what will be seen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bench.craft.load import SKIP

from .likeness import FOREIGN
from .looks import Costs
from .scene import GAP, PROUD, TWO, Scene, Suspect, alike

BREAK_CAUTION = (
    "Goggles on. Cover the bead with a cloth, draw the thread aside, break it from inside the"
    " hole or with pliers; clear up every splinter, then feel along the thread: nicked, change it."
    " Never under tension on nylon."
)
STRIP_CAUTION = "Stick in first, then the weight off; only then unhitch the tama."
NEEDLE_CAUTION = "Count the needle out and in again; draw the thread, do not force the needle."
BACK_CAUTION = "Ease the weight by hand; push each bead out over the rim and let the hitch out."

FARTHEST_BACK = 4
"""No more rows than this are offered to be taken back. Rule of thumb, no source."""


@dataclass(frozen=True, slots=True)
class SetCount:
    """The count is set to so many crosses made; nothing is unbraided."""

    made: int


@dataclass(frozen=True, slots=True)
class TakeBack:
    """So many crosses are taken back, one at a time, with their reverse moves."""

    crosses: int


@dataclass(frozen=True, slots=True)
class NewRemaining:
    """What is left on a strand from here on; `-` is a move without a bead."""

    strand: int
    letters: str


@dataclass(frozen=True, slots=True)
class SewIn:
    """A bead to be sewn in later where the strand made this cross: a reminder until done."""

    strand: int
    cross: int
    bead: str


Effect = SetCount | TakeBack | NewRemaining | SewIn


@dataclass(frozen=True, slots=True)
class Mend:
    """One way out.

    seconds are the maker's. seen is 0 for nothing, 1 for what one must look for, 2 for what
    anyone sees; shows says it. effects are what the bench carries out, in order: afterwards its
    plan is what hangs on the strands. Without effects the plan holds as it is.
    """

    do: str
    seconds: float
    shows: str
    seen: int = 0
    caution: str = ""
    effects: tuple[Effect, ...] = ()
    string: tuple[tuple[int, str], ...] = ()
    """The beads that each strand is to be strung with anew, the first to go on first."""


@dataclass(frozen=True, slots=True)
class Regret:
    """What a maker would give, in seconds, not to have it seen. Rule of thumb, no source."""

    slight: float = 300.0
    plain: float = 1200.0

    def of(self, mend: Mend) -> float:
        """Seconds and regret together: what mends are ranked by."""
        return mend.seconds + (0.0, self.slight, self.plain)[mend.seen]


def mends(
    scene: Scene,
    slips: Sequence[Suspect],
    costs: Costs | None = None,
    regret: Regret | None = None,
) -> tuple[Mend, ...]:
    """Every mend of a slip, or of several together, the best first; none for `other`."""
    kinds = {slip.slip for slip in slips}
    if "other" in kinds or not slips:
        return ()
    work = Workbench(scene, costs or Costs())
    found = list(work.together(slips) if len(slips) > 1 else work.single(slips[0]))
    rank = regret or Regret()
    return tuple(sorted(found, key=rank.of))


class Workbench:
    """Works out mends for one moment; `mends` ranks them."""

    def __init__(self, scene: Scene, costs: Costs) -> None:
        self.scene, self.plan, self.costs = scene, scene.plan, costs

    def single(self, s: Suspect) -> Iterator[Mend]:
        """The mends of one slip."""
        if s.slip == "misread":
            yield Mend("Carry on: the plan is right.", 0.0, "nothing")
            return
        if s.shift is not None and s.slip in ("count_off", "round_off"):
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

    def together(self, slips: Sequence[Suspect]) -> Iterator[Mend]:
        """The mends of several slips at once."""
        made, rest = self.scene.held(slips)
        shows = "what was braided so far stays; changes lie out of line"
        if made != self.scene.made:
            # The strands lie elsewhere than the count says: all else is told as it is once set.
            counted = Workbench(Scene(self.plan, made), self.costs)
            ways = [counted.carry_on(rest, shows), *([counted.restring(rest)] if rest else [])]
            for way in ways:
                do = f"Set the count to {made} crosses made. {way.do}"
                yield replace(way, do=do, effects=(SetCount(made), *way.effects))
            return
        yield self.carry_on(rest, shows)
        if rest:
            yield self.restring(rest)
        else:
            yield from self._back(slips)

    def _back(self, slips: Sequence[Suspect]) -> Iterator[Mend]:
        crosses = [s.at for s in slips if s.at is not None]
        if crosses:
            yield from self._take_back(
                min(crosses), "and make them again as planned", self.costs.tuck
            )

    def _loaded(self, s: Suspect, rest: dict[int, str]) -> Iterator[Mend]:
        assert s.strand is not None
        planned = self.plan.remaining(s.strand, self.scene.made)
        actual = rest.get(s.strand, planned)
        k = self.scene.counts[s.strand - 1]
        fault = alike(planned, actual)
        begun = s.index < k
        ahead = len(planned[:fault].replace(SKIP, ""))
        when = "now" if ahead == 0 else f"after {_beads(ahead)} more"
        where = self._place(s.strand)
        turn = "early" if s.slip == "missing" else "late"
        so_far = f"changes on this line {turn} by a row from the slip to here"
        if s.slip == "missing" and fault < len(planned):
            bead = planned[fault]
            sewn = SewIn(s.strand, self._cross(s.strand, fault), bead)
            skipped = _without(planned, fault)
            yield Mend(
                f"Move the strand at {where} once without a bead {when}; sew one {bead} in later.",
                self.costs.skip + self.costs.sew_in,
                f"{so_far}; the gap is closed by sewing" if begun else "nothing, once sewn in",
                1 if begun else 0,
                NEEDLE_CAUTION,
                (NewRemaining(s.strand, skipped), sewn),
            )
        elif s.slip == "extra" and fault < len(actual):
            yield Mend(
                f"At {where}, break one {_name(actual[fault])} {_before(ahead)} it is brought in.",
                self.costs.break_bead,
                so_far if begun else "nothing",
                1 if begun else 0,
                BREAK_CAUTION,
            )
        elif s.slip == "wrong" and fault < len(planned):
            bead = planned[fault]
            yield Mend(
                f"At {where}, break the {_name(actual[fault])}, move that strand once without a"
                f" bead {when}, and sew one {bead} in later.",
                self.costs.break_bead + self.costs.skip + self.costs.sew_in,
                "nothing, once sewn in",
                0,
                f"{BREAK_CAUTION} {NEEDLE_CAUTION}",
                (
                    NewRemaining(s.strand, _without(planned, fault)),
                    SewIn(s.strand, self._cross(s.strand, fault), bead),
                ),
            )
        if s.slip in ("missing", "extra"):
            shows = "every later change on this line out of step by a row, uneven at its end"
            yield self.carry_on(rest, shows, seen=2)
        else:
            yield self.carry_on(rest, "one or two beads out of their order", seen=1)
        restring = self.restring(rest)
        if begun:
            restring = replace(restring, shows=so_far, seen=1)
            yield from self._take_back(
                self.scene.cross_of(s.strand, s.index),
                "then strip that strand from its free end to the fault and string it anew",
                self.costs.rehitch + self.costs.restring_each * (len(planned) + k - s.index),
                STRIP_CAUTION,
            )
        yield restring

    def _braided(self, s: Suspect, rest: dict[int, str]) -> Iterator[Mend]:
        assert s.strand is not None
        assert s.at is not None
        where = self._place(s.strand)
        redo = {
            "not_tucked": "and tuck that bead under",
            "not_brought_in": "and bring that bead in",
            "two_brought_in": "and bring in one bead only",
            "wrong_of_pair": "and carry the right one of the pair",
        }[s.slip]
        found = {
            "not_tucked": "that bead",
            "not_brought_in": "the gap",
            "two_brought_in": "the two in one place",
            "wrong_of_pair": "where the lines change over",
        }[s.slip]
        begun = self.scene.used(s.strand, s.at - 1)
        if s.slip == "wrong_of_pair" or (s.first is not None and begun >= s.first):
            redo = f"or as far as {found}, {redo}"
        yield from self._take_back(s.at, redo, self.costs.tuck)
        if s.slip == "not_tucked":
            yield Mend("Carry on.", 0.0, "one bead stands proud and may work loose", 2)
            return
        if s.slip == "wrong_of_pair":
            shows = "a broken line where the two strands change over"
            yield from self._from_here_on(rest, shows)
            yield self.carry_on(rest, f"{shows}, and each in the other's place to the end", seen=2)
            return
        changed = any(x.what not in (GAP, TWO, PROUD) for x in self.scene.braided((s,)))
        so_far = "changes on this line {} by a row from the slip to here; " if changed else ""
        planned = self.plan.remaining(s.strand, self.scene.made)
        spot = len(planned) - len(planned.lstrip(SKIP))
        if s.slip == "two_brought_in" and spot < len(planned):
            yield Mend(
                f"Move the strand at {where} once without a bead now.",
                self.costs.skip,
                f"{so_far.format('early')}two beads in one place, a small bump",
                1,
                "",
                (NewRemaining(s.strand, _without(planned, spot)),),
            )
        elif s.slip == "not_brought_in" and s.bead is not None:
            surplus = rest.get(s.strand, FOREIGN).replace(SKIP, "")[:1]
            yield Mend(
                f"At {where}, break the next bead ({_name(surplus)}) before it is brought in; sew"
                f" one {s.bead} into the gap later.",
                self.costs.break_bead + self.costs.sew_in,
                f"{so_far.format('late')}the gap is closed by sewing"
                if changed
                else "nothing, once sewn in",
                1 if changed else 0,
                f"{BREAK_CAUTION} {NEEDLE_CAUTION}",
                (SewIn(s.strand, s.at, s.bead),),
            )
        yield self.carry_on(rest, "every later change on this line out of step by a row", seen=2)

    def _exchanged(self, s: Suspect, rest: dict[int, str]) -> Iterator[Mend]:
        strands = sorted(rest)
        if not any(self.scene.counts) and s.slip != "reversed" and strands:
            places = " and ".join(self._place(strand) for strand in strands[:2])
            more = "" if len(strands) == 2 else f" and so on, {len(strands)} strands in all"
            yield Mend(
                f"Hang the tama where they belong ({places}{more}); no bead is in the braid yet."
                if self.scene.made == 0
                else "Take back the plain crosses and hang the tama where they belong.",
                self.costs.rehitch / 3 * len(strands) + self.costs.take_back_each * self.scene.made,
                "nothing",
                0,
                "Stick in first, then the weight off.",
                (TakeBack(self.scene.made),) if self.scene.made else (),
            )
        yield from self._from_here_on(rest, "what was braided so far stays")
        shows = "beads of these strands stand in each other's places to the end"
        yield self.carry_on(rest, shows, seen=2)

    def _from_here_on(self, rest: dict[int, str], stays: str) -> Iterator[Mend]:
        """Swap what is left of two strands where that is enough, or string all of it anew."""
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
                f"Take back {crosses} {'cross' if crosses == 1 else 'crosses'}, {then}.",
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

    def _place(self, strand: int) -> str:
        return self.plan.structure.places[self.plan.place_of(strand, self.scene.made) - 1]

    def _cross(self, strand: int, entry: int) -> int:
        return self.plan.cross_of(strand, self.plan.used(strand, self.scene.made) + entry)


def _without(planned: str, at: int) -> str:
    """What is left with a move without a bead in the place of one bead."""
    return planned[:at] + SKIP + planned[at + 1 :]


def _beads(count: int) -> str:
    return "one bead" if count == 1 else f"{count} beads"


def _name(letter: str) -> str:
    return "foreign bead" if letter == "?" else f"bead {letter}"


def _before(fault: int) -> str:
    return "now, before" if fault == 0 else f"behind the next {_beads(fault)}, before"
