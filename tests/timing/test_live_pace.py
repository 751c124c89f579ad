"""The pace while pieces are made: what is done to one while another thread works it out."""

from __future__ import annotations

import io
from pathlib import Path

from bench.documents.library import Library
from bench.journal.csv_import import import_csv
from bench.journal.store import Journal
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
