"""The reasons to choose from when a piece is a second or is given up."""

from __future__ import annotations

from pathlib import Path

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.inspection_payloads import Inspected
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.reasons import AT_THE_END, FIRST, MOST, reasons_of
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock


def test_each_reason_keeps_its_key(tmp_path: Path) -> None:
    """Own reasons come behind those offered at first, as they were first said, wherever that was.

    With no key left a new one takes that of a reason that was never said.
    """
    made = WorkedPattern.from_library(Library(tmp_path), Settings(), "cistern")
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as journal:
        assert reasons_of(None) == reasons_of(journal) == FIRST
        Braid.start(journal, made).give_up("bent")
        Braid.start(journal, made).give_up(AT_THE_END)
        second = Braid.start(journal, made)
        second.finish("second", "glue bloom")
        journal.append(Inspected("second", "faded"), pieces=second.piece)
        Braid.start(journal, made).give_up("bent")
        assert reasons_of(journal) == (*FIRST, "bent", "faded")
        for reason in ("loose", "short", "stained"):
            Braid.start(journal, made).give_up(reason)
        said = reasons_of(journal)
        assert len(said) == MOST
        assert said[5:] == ("bent", "faded", "loose", "short")
        assert said[:5] == (*FIRST[:4], "stained")
