"""After a mend the plan is what hangs, however far crosses are taken back and made again."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.journal.state import replay
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.mending import carry_out
from bench.slips.mend import Mend
from bench.slips.mend_steps import TakeBack
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.suspect import OF_THE_COUNT, Slip, Suspect
from tests.slips.test_mends import begin, located
from tests.support.clock import ManualClock
from tests.support.slips_makers import DROPS, KINDS, Hands, plant, shipped
from tests.support.slips_walker import hangs_as_planned, mend_by_hand

STEPS = 24


class Stand:
    """A walked stand on which crosses can be taken out again, each with the beads it brought in."""

    def __init__(self, hands: Hands) -> None:
        self.hands = hands
        self.before: list[tuple[list[int], dict[int, list[str]]]] = []

    def braid_to(self, count: int) -> None:
        """Make crosses, the slip with them, until so many are counted."""
        for made in range(1, count + 1):
            at, beads = self._now()
            self.hands.count(made)
            self._note(at, beads)

    def cross(self, braid: Braid) -> None:
        """Make the cross that the program calls, as it calls it."""
        step, hands = braid.plan.step(braid.made + 1), self.hands
        at, beads = self._now()
        lifted = [(move, hands.at[move.transfer.start - 1]) for move in step.moves]
        for move, thread in lifted:
            hands.at[move.transfer.end - 1] = thread
            if move.bead is not None:
                hands.beads[thread].pop(0)
        self._note(at, beads)

    def back(self) -> None:
        """Take the last cross out: each bead that it brought in goes back onto its thread."""
        at, came = self.before.pop()
        self.hands.at[:] = at
        for thread, beads in came.items():
            self.hands.beads[thread][:0] = beads

    def _now(self) -> tuple[list[int], dict[int, list[str]]]:
        return list(self.hands.at), {s: list(beads) for s, beads in self.hands.beads.items()}

    def _note(self, at: list[int], beads: dict[int, list[str]]) -> None:
        came = {s: was[: len(was) - len(self.hands.beads[s])] for s, was in beads.items()}
        self.before.append((at, came))


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal."""
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as opened:
        yield opened


def planted(kind: Slip, rng: random.Random) -> tuple[str, Suspect, int] | None:
    """A pattern, a slip of a kind in it and the crosses made when it is mended, if there is one."""
    name = rng.choice(DROPS)
    plan = shipped(name)
    slip = plant(plan, kind, rng)
    if slip is None or slip.actual == "?":
        return None
    first = min(slip.at or 0, plan.last_bead_cross)
    made = min(plan.last_bead_cross, first + rng.randint(0, 12))
    return name, located(plan, slip), made


def go_about(stand: Stand, braid: Braid, do: str, rng: random.Random, steps: int) -> None:
    """Take crosses back and make them again at random; the plan is what hangs all the while."""
    for _ in range(steps):
        right = hangs_as_planned(stand.hands, braid.plan, braid.made, do)
        assert right, (do, braid.made, braid.started.pattern_name)
        if rng.random() < 0.6 and braid.made:
            stand.back()
            braid.take_back()
        elif braid.next_step is not None:
            while braid.mark_due is not None:
                braid.mark_done()
            stand.cross(braid)
            braid.cross()


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in OF_THE_COUNT])
def test_back_and_forth_after_a_mend(kind: Slip, journal: Journal) -> None:
    """For every kind of slip and every mend: at each count that is come by, the plan is what hangs.

    The events add up to the same state again.

    A mend that takes crosses back is left out: its crosses come out one by one, and it is done.
    """
    rng, compared = random.Random(3), 0
    for _ in range(10):
        found = planted(kind, rng)
        if found is None:
            continue
        name, slip, made = found
        for mend in mends(PlannedStand(shipped(name), made), (slip,)):
            if takes_back(mend):
                continue
            braid = begin(journal, name, made)
            stand = Stand(Hands(braid.plan, (slip,)))
            stand.braid_to(made)
            carry_out(braid, mend, (slip,), 0.99)
            mend_by_hand(stand.hands, braid.plan, braid.made, mend.do)
            go_about(stand, braid, mend.do, rng, STEPS)
            compared += 1
            assert replay(braid.piece, journal.events(braid.piece)) == braid.state
    assert compared > 3


@pytest.mark.parametrize("first", ["two_brought_in", "not_brought_in", "missing", "extra"])
def test_a_second_mend_on_a_strand_that_was_mended(first: Slip, journal: Journal) -> None:
    """A load found wrong on a strand that was mended before: both are right at every count."""
    rng, compared = random.Random(9), 0
    for _ in range(12):
        found = planted(first, rng)
        assert found is not None
        name, slip, made = found
        strand = slip.strand
        assert strand is not None
        ways = [m for m in mends(PlannedStand(shipped(name), made), (slip,)) if not takes_back(m)]
        braid = begin(journal, name, made)
        stand = Stand(Hands(braid.plan, (slip,)))
        stand.braid_to(made)
        mend = rng.choice([way for way in ways if "stays over" not in way.do])
        carry_out(braid, mend, (slip,), 0.99)
        mend_by_hand(stand.hands, braid.plan, braid.made, mend.do)
        thread = stand.hands.beads[strand]
        if len(thread) < 4:
            continue
        scene = PlannedStand(braid.plan, made)
        again = Suspect("missing", strand, None, thread[2], index=scene.counts[strand - 1] + 2)
        del thread[2]
        way = next(m for m in mends(scene, (again,)) if "without a bead" in m.do)
        carry_out(braid, way, (again,), 0.99)
        go_about(stand, braid, way.do, rng, 30)
        compared += 1
    assert compared > 4


@pytest.mark.parametrize("kind", ["two_brought_in", "not_brought_in"])
def test_two_slips_in_braiding_one_strand(kind: Slip, journal: Journal) -> None:
    """Each cross of the two gives back what it brought in as it is taken out."""
    rng, plan = random.Random(2), shipped("gutter-pearl")
    slips = tuple(located(plan, Suspect(kind, 1, at=plan.cross_of(1, index))) for index in (2, 5))
    made = plan.cross_of(1, 7)
    for mend in mends(PlannedStand(plan, made), slips):
        if takes_back(mend):
            continue
        braid = begin(journal, "gutter-pearl", made)
        stand = Stand(Hands(plan, slips))
        stand.braid_to(made)
        carry_out(braid, mend, slips, 0.99)
        mend_by_hand(stand.hands, braid.plan, braid.made, mend.do)
        go_about(stand, braid, mend.do, rng, 60)


def takes_back(mend: Mend) -> bool:
    """Whether a mend takes crosses back."""
    return any(isinstance(effect, TakeBack) for effect in mend.effects)


def test_what_was_undone_is_as_it_was(journal: Journal) -> None:
    """A mend undone leaves everything as before it: also the one before it, and what it asks."""
    plan = shipped("gutter-pearl")
    early = located(plan, Suspect("two_brought_in", 1, at=plan.cross_of(1, 4)))
    made = plan.cross_of(1, 4) + 2
    missing = located(plan, Suspect("missing", 2, index=14))
    misread = Suspect("misread")
    for kind in ("skip", "back"):
        braid = begin(journal, "gutter-pearl", made)
        ways = mends(PlannedStand(plan, made), (early,))
        carry_out(braid, next(w for w in ways if takes_back(w) == (kind == "back")), (early,), 0.9)
        if kind == "back":
            braid.take_back()
        for slip in (misread, missing):
            for mend in mends(PlannedStand(braid.plan, braid.made), (slip,)):
                if takes_back(mend):
                    continue
                before, loads = braid.state, braid.plan.loads
                carry_out(braid, mend, (slip,), 0.9)
                braid.undo_mend()
                after = braid.state
                assert braid.plan.loads == loads
                for part in ("made", "back", "mending", "restores", "later", "seen", "sew_ins"):
                    assert getattr(after, part) == getattr(before, part), (kind, mend.do, part)
                with pytest.raises(NotNow):
                    braid.undo_mend()


def test_setting_the_place_ends_what_can_be_undone(journal: Journal) -> None:
    """Once the place was found anew, the mend before it is not undone."""
    plan = shipped("gutter-pearl")
    slip = located(plan, Suspect("missing", 1, index=6))
    braid = begin(journal, "gutter-pearl", 30)
    carry_out(braid, mends(PlannedStand(plan, 30), (slip,))[0], (slip,), 0.9)
    braid.set_place(28)
    with pytest.raises(NotNow):
        braid.undo_mend()


def test_a_bead_to_be_broken_later_outlives_another_talk(journal: Journal) -> None:
    """What a mend still asks of the hands stays until its cross, whatever is mended meanwhile."""
    plan = shipped("gutter-pearl")
    slip = Suspect("extra", 1, None, "d", "d", 8, 10, index=9)
    braid = begin(journal, "gutter-pearl", 30)
    later = next(way for way in mends(PlannedStand(plan, 30), (slip,)) if way.later)
    carry_out(braid, later, (slip,), 0.99)
    asked = braid.state.later
    misread = Suspect("misread")
    carry_out(braid, mends(PlannedStand(plan, 30), (misread,))[0], (misread,), 0.99)
    assert braid.state.later == asked
    while braid.made < asked[0].cross:
        while braid.mark_due is not None:
            braid.mark_done()
        braid.cross()
    assert braid.state.later == ()
