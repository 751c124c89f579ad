"""Make a demonstration journal: simulated pieces, each braided with the program's own Braid.

    python -m tests.support.demo_journal HOME [--pieces 60] [--seed 7]

writes HOME/journal.db, its last piece made some days ago; look at it with
`braid-bench --home HOME`. Nothing is written past the journal: the maker's clock is moved, and
every stage, cross, break, piece of rework and ending goes through a Braid as it would at the bench.
The parameters of the simulated maker stand below; they are invented.
"""

from __future__ import annotations

import argparse
import math
import random
import time
from dataclasses import dataclass, field
from pathlib import Path

from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.events import new_id
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.pace.guess import BRING_IN_BEAD_S, FINISH_S, LOAD_BEAD_S, PLAIN_CROSS_S, SET_UP_STRAND_S
from tests.support.clock import ManualClock
from tests.support.events import record

COMMISSION = "stair-window"
BEFORE = (("silver-eaves", 5), ("cistern", 4), ("gutter-pearl", 3), ("second-drop", 2))
"""Pieces made before the commission."""
MAKER = {"load": 0.9, "set_up": 1.1, "braid": 0.85, "finish": 1.0}
"""Seconds against the built-in guess, at the first piece."""
LEARNING = 0.06
"""Exponent of the learning curve over all pieces."""
PIECE_SD, STAGE_SD, CROSS_SD = 0.10, 0.08, 0.25
LARGE_BEAD = 1.5
"""How much longer a cross of the largest beads takes than one of the smallest."""
BREAK_CHANCE, BREAK_S = 0.012, (240.0, 1500.0)
BACK_CHANCE = 0.015
EVENING_PIECES = (1, 2)
DAYS_BETWEEN = (1, 3)
SECOND_EVERY, GIVEN_UP = 19, 31
DAY_S = 86_400.0
EVENING_S = 18.5 * 3600


@dataclass
class Maker:
    """One simulated maker at one bench: a clock that is moved, a die, and pieces counted."""

    journal: Journal
    clock: ManualClock
    dice: random.Random
    library: Library
    settings: Settings
    made: int = 0
    known: dict[tuple[str, str | None, str | None], WorkedPattern] = field(default_factory=dict)

    def workup(
        self, name: str, size: str | None = None, colourway: str | None = None
    ) -> WorkedPattern:
        """A pattern worked up, once."""
        key = (name, size, colourway)
        if key not in self.known:
            self.known[key] = WorkedPattern.from_library(self.library, self.settings, *key)
        return self.known[key]

    def wait(self, seconds: float, sd: float) -> None:
        """Let hands work for about so long."""
        self.clock.advance(seconds * math.exp(self.dice.gauss(0.0, sd)))

    def make(
        self,
        made: WorkedPattern,
        *,
        number: int,
        commission: str | None = None,
        lot: str | None = None,
    ) -> Braid:
        """Make one piece from loading to its end; return it."""
        self.made += 1
        slow = (self.made + 1) ** -LEARNING * math.exp(self.dice.gauss(0.0, PIECE_SD))
        braid = Braid.start(
            self.journal, made, number=number, stage="load", commission=commission, lot=lot
        )
        self.load(braid, slow)
        self.set_up(braid, slow)
        self.braid(braid, slow)
        if braid.state.stage == "dry":
            self.clock.advance(60 * braid.pattern.finish.dry_minutes)
            braid.end_stage()
        if self.made == GIVEN_UP:
            braid.give_up("thread frayed at the point")
            return braid
        self.wait(FINISH_S * MAKER["finish"] * slow, STAGE_SD)
        braid.end_stage()
        braid.finish("second" if self.made % SECOND_EVERY == 0 else "good")
        return braid

    def load(self, braid: Braid, slow: float) -> None:
        """Load every strand, each on its own."""
        for strand, load in enumerate(braid.plan.loads, 1):
            self.wait(LOAD_BEAD_S * len(load) * MAKER["load"] * slow, STAGE_SD)
            record(braid, "loaded", {"strand": strand, "beads": len(load)})
        braid.end_stage()

    def set_up(self, braid: Braid, slow: float) -> None:
        """Hang the strands and weigh them."""
        self.wait(SET_UP_STRAND_S * braid.plan.strands * MAKER["set_up"] * slow, STAGE_SD)
        braid.end_stage()

    def braid(self, braid: Braid, slow: float) -> None:
        """Make every cross with its marks, some breaks, and now and then a cross taken back."""
        sizes = self.sizes(braid)
        while braid.next_step is not None or braid.mark_due is not None:
            if braid.mark_due is not None:
                self.wait(40.0, CROSS_SD)
                braid.mark_done()
                continue
            if self.dice.random() < BREAK_CHANCE:
                self.clock.advance(self.dice.uniform(*BREAK_S))
            seconds = cross_seconds(braid.plan, braid.made + 1, sizes)
            self.wait(seconds * MAKER["braid"] * slow, CROSS_SD)
            braid.cross()
            if self.dice.random() < BACK_CHANCE:
                for _ in range(self.dice.randint(1, 3)):
                    if braid.made > 1:
                        self.wait(18.0, CROSS_SD)
                        braid.take_back()
        self.wait(30.0, CROSS_SD)
        braid.end_stage()

    def sizes(self, braid: Braid) -> dict[str, float]:
        """Bead diameters in millimetres by letter."""
        state = braid.state
        made = self.workup(state.pattern_name, state.size, state.colourway)
        return {letter: size.diameter_mm for letter, size in made.sizes.items()}

    def next_evening(self) -> None:
        """Switch the machine off, and on again on a later evening."""
        days = self.dice.randint(*DAYS_BETWEEN)
        today = math.floor(self.clock.now().wall / DAY_S)
        self.clock.set_wall((today + days) * DAY_S + EVENING_S)
        self.clock.reboot()
        self.journal.sitting = new_id()


def cross_seconds(plan: Plan, cross: int, sizes: dict[str, float]) -> float:
    """Seconds of one cross by the built-in guess, more for the larger beads."""
    beads = [move.bead for move in plan.step(cross).carried if move.bead]
    least, most = min(sizes.values()), max(sizes.values())
    seconds = PLAIN_CROSS_S
    for bead in beads:
        large = (sizes[bead] - least) / (most - least) if most > least else 0.0
        seconds += BRING_IN_BEAD_S * (1 + (LARGE_BEAD - 1) * (2 * large - 1))
    return seconds


def make_pieces(
    journal: Journal, clock: ManualClock, library: Library, pieces: int = 60, seed: int = 7
) -> Maker:
    """Make so many pieces: some before the commission, then its lots in order."""
    maker = Maker(journal, clock, random.Random(seed), library, Settings())
    orders: list[tuple[str, str | None, str | None, str | None]] = [
        (name, None, None, None) for name, count in BEFORE for _ in range(count)
    ]
    for lot in library.commission(library.commission_path(COMMISSION)).lots:
        orders += [(lot.pattern, lot.size, lot.colourway, lot.name)] * lot.pieces
    tonight = 0
    for name, size, colourway, lot_name in orders[:pieces]:
        made = maker.workup(name, size, colourway)
        number = sum(1 for order in orders[: maker.made] if order[3] == lot_name) + 1
        maker.make(made, number=number, commission=COMMISSION if lot_name else None, lot=lot_name)
        tonight += 1
        if tonight >= maker.dice.randint(*EVENING_PIECES):
            maker.next_evening()
            tonight = 0
    return maker


def main() -> None:
    """Make the journal, and say what it took."""
    parser = argparse.ArgumentParser(description="Make a demonstration journal.")
    parser.add_argument("home", type=Path)
    parser.add_argument("--pieces", type=int, default=60)
    parser.add_argument("--seed", type=int, default=7)
    args = parser.parse_args()
    path = args.home / "journal.db"
    if path.exists():
        raise SystemExit(f"{path} is there already; give an empty folder")
    clock = ManualClock(wall=time.time() - args.pieces * 1.5 * DAY_S)
    begun = time.perf_counter()
    with Journal.open(path, write=True, clock=clock) as journal:
        make_pieces(journal, clock, Library(args.home), args.pieces, args.seed)
        counts = journal.counts()
    print(f"{counts['pieces']} pieces, {counts['events']} events, in {path}")
    print(f"{time.perf_counter() - begun:.1f} s; the last on {time.ctime(clock.now().wall)}")


if __name__ == "__main__":
    main()
