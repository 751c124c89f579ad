"""Events that were well formed and yet not as this program writes them never break a reader."""

from __future__ import annotations

import contextlib
import json
import time
from pathlib import Path
from typing import Any

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.errors import Damaged
from bench.journal.events import KINDS
from bench.journal.store import Journal
from bench.journal.transfer import to_line
from bench.making.braid import Braid, NotNow
from bench.making.calibration import calibration_with_stock
from bench.making.learning import maker_of
from bench.making.loading import tags_of
from bench.making.point_nudge import point_nudge
from bench.making.worked_pattern import WorkedPattern
from bench.timing.piece_history import course_of
from tests.support.clock import ManualClock
from tests.support.odd_events import ODD

WALL = time.time() - 3 * 86_400


def lines_of_a_piece(home: Path) -> list[dict[str, Any]]:
    """What a bench exports that has begun one piece and made four crosses."""
    clock = ManualClock(wall=WALL)
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        braid = Braid.start(
            journal, WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
        )
        for _ in range(4):
            clock.advance(20.0)
            braid.cross()
        return [json.loads(to_line(event)) for event in journal.events()]


def read_all(call: Any, piece: str) -> None:
    """Ask every reader of the journal of `call`; what cannot be read may be told, in a sentence."""
    for words in (["list"], ["pace"], ["forecast"], ["forecast", "--fits", "2h15"], ["export"]):
        said = call(*words)
        assert said.status in {0, 2}, said
    with Journal.open(call.home / "journal.db", write=True) as journal:
        journal.pieces(open_only=False)
        tags_of(journal)
        maker_of(Settings(), journal)
        course_of(journal, piece)
        try:
            braid = Braid(journal, piece)
        except (KeyError, Damaged):
            return
        made = WorkedPattern.for_piece(braid, Settings())
        calibration_with_stock(braid.journal, braid.state, Settings())
        point_nudge(braid, made, "high")
        with contextlib.suppress(NotNow):
            braid.cross()


def import_with(call: Any, folder: Path, *changes: dict[str, Any]) -> str:
    """Import a piece's lines, with these after them; return the piece."""
    lines = lines_of_a_piece(folder)
    last = lines[-1]
    more = [
        {**last, "uuid": f"more-{at}", "number": last["number"] + at, **change}
        for at, change in enumerate(changes, 1)
    ]
    return import_lines(call, folder, lines + more)


def import_lines(call: Any, folder: Path, lines: list[dict[str, Any]]) -> str:
    """Import these lines; return the piece of the first."""
    path = folder / "lines.jsonl"
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="ascii")
    said = call("import", str(path))
    assert said.status in {0, 2}, said
    assert "Traceback" not in said.err
    return str(lines[0]["pieces"][0]["piece"])


@pytest.fixture
def other(tmp_path: Path) -> Path:
    """The data folder of another bench."""
    folder = tmp_path / "other"
    folder.mkdir()
    return folder


def test_kinds_of_a_newer_program_are_passed_over_by_every_reader(call: Any, other: Path) -> None:
    """Known kinds in a later version, with nothing in them, break no reader."""
    piece = import_with(
        call, other, *({"kind": kind, "version": 2, "payload": {}} for kind in sorted(KINDS))
    )
    read_all(call, piece)


@pytest.mark.parametrize("odd", ODD)
def test_what_fits_no_piece_breaks_no_reader(call: Any, other: Path, odd: str) -> None:
    """A payload that holds what its kind must, and makes no sense, breaks no reader."""
    kind, payload = ODD[odd]
    piece = import_with(call, other, {"kind": kind, "payload": payload})
    read_all(call, piece)


@pytest.mark.parametrize(
    "change",
    [
        {"pattern": {}},
        {"structure": {}},
        {"pattern": {"name": ["x"]}, "structure": {"moves": 7}},
        {"marks": [1, None, {"after_cross": "x"}]},
        {"title": "\x1b[2J[red]", "pattern_name": "[/]", "hash": ""},
        {"size": "\x07", "colourway": "[b]", "commission": "[/run]"},
    ],
)
def test_a_piece_that_began_oddly_breaks_no_reader(
    call: Any, other: Path, change: dict[str, Any]
) -> None:
    """A piece whose frozen plan cannot be read is told in a sentence, and breaks nothing else."""
    lines = lines_of_a_piece(other)
    lines[0]["payload"] |= change
    read_all(call, import_lines(call, other, lines))
