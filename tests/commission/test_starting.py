"""The next piece: of a lot, of a batch, and one taken up again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.commission.book import open_book
from bench.commission.further_piece import held_back
from bench.commission.lot_refs import LotRef, LotRefs
from bench.commission.starting import next_of_batch, number_of_next, start_of_lot
from bench.documents.commission import Lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.commission_payloads import OfferAccepted
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


def test_a_batch_waits_for_the_sample_as_each_piece_does(
    journal: Journal, made: WorkedPattern, tmp_path: Path
) -> None:
    """Once the offer is accepted no set follows before the sign-off, and none beyond the lot."""
    folder = tmp_path / "commissions"
    folder.mkdir()
    lot = '[[lots]]\nid = "grey-1"\nname = "grey"\npattern = "silver-eaves"\npieces = 2\n'
    text = f'format = 1\ntitle = "Eaves"\nid = "order-1"\n{lot}'
    (folder / "eaves.toml").write_text(text, "utf-8")
    library = Library(tmp_path)
    book = open_book(library, journal, "eaves")
    first = start_of_lot(journal, made, "eaves", book.id, book.commission.lots[0], 1, "load")
    assert held_back(journal, library, first.state) == ""
    accepted = OfferAccepted(
        "2027-01-01", "EUR", (), "0.00", "0.00", "0", "tax", "0", "0.00", 1.0, 2.0, 3.0
    )
    journal.append(accepted, pieces=book.id)
    assert "waits for the sign-off" in held_back(journal, library, first.state)
    first.finish("good")
    first.measure({}, sample=True)
    assert held_back(journal, library, first.state) == ""
    start_of_lot(journal, made, "eaves", book.id, book.commission.lots[0], 2, "load")
    assert "every piece of grey is made or begun" in held_back(journal, library, first.state)
    assert held_back(journal, library, Braid.start(journal, made).state) == ""


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
