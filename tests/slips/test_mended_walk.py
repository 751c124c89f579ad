"""After a mend the plan is what hangs, however far crosses are taken back and made again."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.braid import Braid
from bench.clock import ManualClock
from bench.journal.state import replay
from bench.journal.store import Journal
from bench.mending import carry_out
from bench.slips.effects import TakeBack
from bench.slips.mends import mends
from bench.slips.scene import OF_THE_COUNT, Scene, Slip, Suspect
from tests.slips.test_mends import begin, located
from tests.speed.slips_makers import DROPS, KINDS, Hands, plant, shipped
from tests.speed.slips_walker import hangs_as_planned, mend_by_hand

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
        for mend in mends(Scene(shipped(name), made), (slip,)):
            if any(isinstance(effect, TakeBack) for effect in mend.effects):
                continue
            braid = begin(journal, name, made)
            stand = Stand(Hands(braid.plan, (slip,)))
            stand.braid_to(made)
            carry_out(braid, mend, (slip,), 0.99)
            mend_by_hand(stand.hands, braid.plan, braid.made, mend.do)
            for _ in range(STEPS):
                where = (kind, mend.do, made, braid.made, slip)
                assert hangs_as_planned(stand.hands, braid.plan, braid.made, mend.do), where
                compared += 1
                if rng.random() < 0.6 and braid.made:
                    stand.back()
                    braid.take_back()
                elif braid.next_step is not None:
                    while braid.mark_due is not None:
                        braid.mark_done()
                    stand.cross(braid)
                    while braid.mark_due is not None:
                        braid.mark_done()
                    braid.cross()
            assert replay(braid.piece, journal.events(braid.piece)) == braid.state
    assert compared > STEPS
