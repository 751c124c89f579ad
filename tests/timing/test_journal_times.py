"""The times of a piece, from presses of the program's own Braid to what the pace takes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.commission.identity import with_ids
from bench.commission.pieces_ahead import lots_ahead, pieces_in_turn
from bench.commission.progress import BegunPiece, lot_works, progress_of
from bench.commission.turns import in_turn
from bench.craft.stages import Stage
from bench.documents.commission import Commission, Lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.piece_verdicts import mark_trial
from bench.making.worked_pattern import WorkedPattern
from bench.pace.model import fit
from bench.pace.records import PieceRecord
from bench.pace.what_fits import what_fits
from bench.timing.piece_records import loose_of, record_of, work_days
from tests.support.clock import ManualClock
from tests.support.events import record, times_of


@pytest.fixture
def clock() -> ManualClock:
    """A clock that the test moves."""
    return ManualClock()


@pytest.fixture
def journal(tmp_path: Path, clock: ManualClock) -> Iterator[Journal]:
    """A journal on the test's clock."""
    with Journal.open(tmp_path / "journal.db", write=True, clock=clock) as opened:
        yield opened


def begun(journal: Journal, stage: Stage = "load") -> Braid:
    """A Silver Eaves in its first stage."""
    made = WorkedPattern.from_library(Library(Path("/nonexistent")), Settings(), "silver-eaves")
    return Braid.start(journal, made, stage=stage)


def load(braid: Braid, clock: ManualClock, strands: int, bead_s: float = 8.0) -> int:
    """Load so many strands; return their beads."""
    beads = 0
    for strand, load in enumerate(braid.plan.loads[:strands], 1):
        clock.advance(bead_s * len(load))
        record(braid, "loaded", {"strand": strand, "beads": len(load)})
        beads += len(load)
    return beads


def cross(braid: Braid, clock: ManualClock, crosses: int, seconds: float = 20.0) -> None:
    """Braid on to so many crosses."""
    while braid.made < crosses:
        clock.advance(seconds)
        if braid.mark_due is not None:
            braid.mark_done()
        else:
            braid.cross()


def paced(braid: Braid) -> PieceRecord | None:
    """What the pace takes of a piece."""
    return record_of(times_of(braid))


def test_a_broken_off_loading_counts_the_beads_that_were_loaded(
    journal: Journal, clock: ManualClock
) -> None:
    """Given up halfway through loading, a piece tells seconds for its loaded beads, not for all."""
    braid = begun(journal)
    beads = load(braid, clock, 4)
    braid.give_up("wrong tube")
    found = paced(braid)
    assert found is not None
    (load_time,) = found.stages
    assert (load_time.stage, load_time.units) == ("load", beads)
    assert load_time.seconds / load_time.units == pytest.approx(8.0, rel=0.05)


def test_a_stage_that_was_broken_off_uncounted_tells_nothing(
    journal: Journal, clock: ManualClock
) -> None:
    """Given up in setting up, only the loading before it, which was ended, has a time."""
    braid = begun(journal)
    load(braid, clock, 8)
    braid.end_stage()
    clock.advance(200.0)
    braid.give_up("stand broke")
    found = paced(braid)
    assert found is not None
    assert [(t.stage, t.units) for t in found.stages] == [("load", found.work.beads)]


def test_a_piece_braided_to_the_end_has_still_to_dry(journal: Journal, clock: ManualClock) -> None:
    """What fits does not finish it before it dries, whether or not anybody said that it does.

    A second begun piece of a lot of one adds no hours to come.
    """
    lot = Lot(name="eaves", pattern="silver-eaves", pieces=1)
    run = with_ids("one", Commission(format=1, title="one", lots=(lot,)))
    made = WorkedPattern.from_library(Library(Path("/nonexistent")), Settings(), "silver-eaves")
    braid = Braid.start(journal, made, stage="braid", commission="one", lot="eaves")
    cross(braid, clock, braid.plan.crosses)
    making = [BegunPiece(braid.state, times_of(braid), None)]
    orders, model = lot_works(Library(Path("/nonexistent")), run), fit([])
    found = progress_of("one", run, orders, [], making, model, Settings(), clock.now())
    ahead = pieces_in_turn(found, in_turn(lots_ahead(found)), clock.now(), 9)
    (step,) = what_fits(model, ahead, 4 * 3600.0).steps
    assert (step.stage, step.start_s) == ("finish", 1800.0)
    twice = progress_of("one", run, orders, [], making * 2, model, Settings(), clock.now())
    assert twice.to_come == found.to_come


def test_a_trial_counts_for_nothing_and_can_be_taken_back(
    journal: Journal, clock: ManualClock
) -> None:
    """A piece marked as tried out has no time and is in no lot, in the making and when given up."""
    braid = begun(journal, "braid")
    cross(braid, clock, 36)
    braid.give_up("only tried out")
    assert paced(braid) is not None
    mark_trial(braid.journal, braid.piece, trial=True)
    times = times_of(braid)
    assert (paced(braid), loose_of([times]), work_days([times])) == (None, {}, {})
    mark_trial(braid.journal, braid.piece, trial=False)
    assert paced(braid) is not None


def test_a_trial_leaves_the_price_of_a_commission_as_it_was(
    journal: Journal, clock: ManualClock
) -> None:
    """Pressing through half a piece of a lot and giving it up changes neither pace nor lot."""
    braid = begun(journal, "braid")
    cross(braid, clock, 36, seconds=1.0)
    braid.give_up("only looked")
    assert times_of(braid).too_fast
    assert paced(braid) is None
    slow = begun(journal, "braid")
    cross(slow, clock, 36, seconds=7.0)
    slow.give_up("frayed")
    assert not times_of(slow).too_fast
    assert paced(slow) is not None
