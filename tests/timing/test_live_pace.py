"""The pace while pieces are made: what is done to one while another thread works it out."""

from __future__ import annotations

import io
from pathlib import Path

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.csv_import import import_csv
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.timing.pace_service import LivePace
from tests.support.clock import ManualClock


def test_what_ends_while_it_is_worked_out_is_worked_out_after_it(tmp_path: Path) -> None:
    """A piece read anew while the pace is worked out aside leaves it stale, until asked again."""
    clock = ManualClock()
    with Journal.open(tmp_path / "journal.db", write=True, clock=clock) as journal:
        pace = LivePace(journal, clock, Library(tmp_path), keep=False)
        pace.want_fit()
        wanted = pace.ask()
        rows = io.BytesIO(b"pattern,hands_on_s\ncistern,3600\n")
        import_csv(journal, rows, now=clock.now().wall)
        (piece,) = journal.pieces(open_only=False)
        pace.touch(piece.uuid)
        pace.renew()
        pace.take(pace.work_out(wanted))
        assert pace.has_fit
        assert pace.stale
        pace.take(pace.work_out(pace.ask()))
        assert not pace.stale
        assert [record.whole_s for record in pace.records] == [3600]


def test_a_piece_without_times_that_is_given_up_counts_at_once(tmp_path: Path) -> None:
    """It makes pieces likelier to be made again, in the open program as in one opened anew."""
    clock = ManualClock()
    library = Library(tmp_path)
    made = WorkedPattern.from_library(library, Settings(), "cistern")
    with Journal.open(tmp_path / "journal.db", write=True, clock=clock) as journal:
        pace = LivePace(journal, clock, library, keep=False)
        pace.want_fit()
        pace.take(pace.work_out(pace.ask()))
        braid = Braid.start(journal, made, stage="load")
        braid.load_to(1, 3)
        clock.advance(1.0)
        braid.give_up("a frayed thread")
        pace.touch(braid.piece)
        pace.renew()
        assert pace.records == []
        assert pace.stale
        pace.take(pace.work_out(pace.ask()))
        anew = LivePace(journal, clock, library, keep=False)
        anew.want_fit()
        anew.take(anew.work_out(anew.ask()))
        assert pace.figures == anew.figures
