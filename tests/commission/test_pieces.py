"""The pieces of a commission: each in one state, at two benches that merge at any point."""

from __future__ import annotations

import io
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.book import CommissionBook, open_book
from bench.commission.finished_stock import read_finished
from bench.commission.inspection import Measures
from bench.commission.pieces import GOOD, CommissionPieces, read_pieces
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.inspection_payloads import (
    BackInStock,
    Delivered,
    Inspected,
    InspectionUndone,
    LeftStock,
    Packed,
    PutIntoLot,
    Returned,
)
from bench.journal.payload_base import Payload
from bench.journal.payloads import GivenUp, Measured, Reopened, TriedOut
from bench.journal.piece_state import GIVEN_UP
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

DAY = "2027-03-01"
DEEDS: tuple[Payload, ...] = (
    Inspected("good"),
    Inspected("second", "dull"),
    Inspected("spoilt", "a broken bead"),
    InspectionUndone(),
    Packed("A"),
    Packed(""),
    Delivered(DAY),
    Delivered(DAY, True),
    Returned(DAY, "a thread is out"),
    Returned(DAY, "", True),
    PutIntoLot(None),
    PutIntoLot("door"),
    LeftStock("sold", DAY, "25.00", "EUR"),
    LeftStock("lost", DAY),
    BackInStock(DAY),
    BackInStock(DAY, True),
    Measured(sample=False, length_mm=60.0),
    Measured(sample=False, length_mm=66.0, weight_g=3.1),
)
ORDER = """format = 1
title = "Door"
[[lots]]
name = "Plum"
pattern = "silver-eaves"
pieces = 4
"""
MADE = WorkedPattern.from_library(Library(Path("nowhere")), Settings(), "silver-eaves")


def merged(journal: Journal, other: Journal) -> None:
    """Take in all that another journal has."""
    stream = io.StringIO()
    export_jsonl(other, stream)
    import_jsonl(journal, io.StringIO(stream.getvalue()))


def door_at(journal: Journal) -> tuple[CommissionBook, CommissionPieces]:
    """The door's order and its pieces at a bench."""
    book = open_book(Library(journal.folder), journal, "door")
    return book, read_pieces(journal, book)


def states(journal: Journal) -> dict[str, tuple[str, Measures]]:
    """The state and the measures of each piece at a bench."""
    pieces = door_at(journal)[1].pieces
    return {piece.state.uuid: (piece.status, piece.measures) for piece in pieces}


@settings(max_examples=20, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 1), st.integers(0, 2), st.sampled_from(DEEDS), st.booleans()),
        max_size=14,
    )
)
def test_every_piece_is_in_exactly_one_state(
    deeds: list[tuple[int, int, Payload, bool]],
) -> None:
    """Whatever is done at two benches in any order, merged at any point and twice at the end."""
    with TemporaryDirectory() as root:
        benches = []
        for name in ("one", "two"):
            home = Path(root) / name
            (home / "commissions").mkdir(parents=True)
            (home / "commissions" / "door.toml").write_text(ORDER, "utf-8")
            journal = Journal.open(home / "journal.db", write=True)
            journal._hold.db.execute("PRAGMA synchronous = OFF")
            benches.append(journal)
        pieces = []
        for number in range(1, 4):
            braid = Braid.start(
                benches[0], MADE, stage="finish", commission="door", lot="Plum", number=number
            )
            braid.finish("good")
            pieces.append(braid.piece)
        merged(benches[1], benches[0])
        for number, (bench, piece, deed, merges) in enumerate(deeds, 4):
            if deed == PutIntoLot("door"):
                deed = PutIntoLot("door", number)
            benches[bench].append(deed, pieces=pieces[piece], lot="Plum")
            if merges:
                merged(benches[bench], benches[1 - bench])
        for bench in (0, 1):
            merged(benches[bench], benches[1 - bench])
        once = [states(journal) for journal in benches]
        for bench in (0, 1):
            merged(benches[bench], benches[1 - bench])
        assert once[0] == once[1] == states(benches[0]) == states(benches[1])
        for journal in benches:
            book, found = door_at(journal)
            lot = book.commission.lots[0]
            fills = [p for p in found.pieces if p.status in (*GOOD, "returned")]
            assert len(fills) == book.made.get(lot.id or "", 0)
            for one in found.pieces:
                bad = one.state.inspected in ("second", "spoilt")
                assert (one in fills) != bad
            counts = found.counts(lot)
            assert counts["planned"] == lot.pieces - len(fills)
            assert counts.total() - counts["planned"] == len(found.pieces)
            of_no_order = [journal.state(one) for one in pieces if one not in once[0]]
            stock = {one.state.uuid for one in read_finished(journal, Library(journal.folder))}
            for state in of_no_order:
                assert state.commission is None
                assert (state.uuid in stock) == (state.status != GIVEN_UP or bool(state.away))
            assert all(piece.state.away is None for piece in found.pieces)
            assert all(
                sum(one.back is None for one in journal.state(piece).aways) <= 1 for piece in pieces
            )
            given = [*(p.state.number for p in found.pieces), *found.left.get(lot.id or "", ())]
            assert found.next_number(lot) > max(filter(None, given), default=0)
            numbers = found.numbers(lot)
            assert len(numbers) == len(set(numbers)) == lot.pieces
            assert not {p.state.number for p in found.pieces if p not in fills} & set(numbers)
        for journal in benches:
            journal.close()


def test_a_trial_counts_in_no_lot_and_what_was_given_up_is_no_sample(tmp_path: Path) -> None:
    """Of three signed off, one is tried out only and one given up after it was taken up again."""
    (tmp_path / "commissions").mkdir()
    (tmp_path / "commissions" / "door.toml").write_text(ORDER, "utf-8")
    with Journal.open(tmp_path / "journal.db", write=True) as journal:
        braids = []
        for number in range(1, 4):
            braid = Braid.start(
                journal, MADE, stage="finish", commission="door", lot="Plum", number=number
            )
            braid.finish("good")
            braid.measure({}, sample=True)
            braids.append(braid)
        tried, gone, stays = braids
        journal.append(TriedOut(True), pieces=tried.piece)
        journal.append(Reopened(), pieces=gone.piece)
        journal.append(GivenUp("a broken bead"), pieces=gone.piece)
        _, found = door_at(journal)
        assert {piece.state.uuid for piece in found.pieces} == {gone.piece, stays.piece}
        sample = found.samples[0].piece
        assert sample is not None
        assert sample.state.uuid == stays.piece
