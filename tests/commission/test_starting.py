"""The next piece: of a lot, of a batch, and one taken up again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.commission.lot_refs import LotRef, LotRefs
from bench.commission.starting import next_of_batch, number_of_next, start_of_lot
from bench.documents.commission import Lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.loading import set_to_come, tag_first
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock


@pytest.fixture
def clock() -> ManualClock:
    """A clock that the test moves."""
    return ManualClock()


@pytest.fixture
def journal(tmp_path: Path, clock: ManualClock) -> Iterator[Journal]:
    """An empty journal on the test's clock."""
    with Journal.open(tmp_path / "journal.db", write=True, clock=clock) as opened:
        yield opened


@pytest.fixture(scope="module")
def made() -> WorkedPattern:
    """Silver Eaves as it is shipped."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), "silver-eaves")


def test_a_batch_of_three_from_a_lot_of_sixteen_is_numbered_in_both(
    journal: Journal, made: WorkedPattern
) -> None:
    """A piece has its number in the lot and its set one in the batch; neither takes the other's."""
    lot = Lot(id="grey-1", name="grey", pattern="silver-eaves", pieces=16)
    braid = start_of_lot(journal, made, "eaves", "order", lot, 1, "load")
    tag_first(braid, 3)
    batch = [braid]
    while set_to_come(batch[-1]) is not None:
        batch.append(next_of_batch(batch[-1], []))
    assert [piece.state.title for piece in batch] == ["grey 1", "grey 2", "grey 3"]
    assert batch[1].state.name == "grey 2, Silver Eaves, set 2, 2 of 3"
    assert [piece.state.tag for piece in batch] == [
        "set 1, 1 of 3",
        "set 2, 2 of 3",
        "set 3, 3 of 3",
    ]
    assert number_of_next(journal, [], LotRefs(journal, {}), LotRef("order", "grey-1")) == 4


def test_a_piece_taken_up_again_after_its_end_goes_on_where_it_was(
    journal: Journal, clock: ManualClock, made: WorkedPattern
) -> None:
    """The days between its end and its taking up are no work, and its stage is the same."""
    braid = Braid.start(journal, made)
    for _ in range(12):
        clock.advance(20.0)
        braid.cross()
    braid.finish("second")
    spent = braid.braid_times().hands_on_s
    clock.advance(3 * 86_400.0)
    braid.reopen()
    assert (braid.state.open, braid.state.stage) == (True, "braid")
    clock.advance(20.0)
    braid.cross()
    assert braid.braid_times().hands_on_s == pytest.approx(spent + 20.0)
    assert braid.braid_times().break_s == 0.0
