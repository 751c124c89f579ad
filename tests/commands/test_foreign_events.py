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
from bench.journal.clock import Instant
from bench.journal.errors import Damaged
from bench.journal.events import Event
from bench.journal.payload_base import NotUnderstood
from bench.journal.payloads import KINDS
from bench.journal.state import replay
from bench.journal.store import Journal
from bench.journal.transfer import to_line
from bench.making.braid import Braid, NotNow
from bench.making.calibration import calibration_with_stock
from bench.making.learning import maker_of
from bench.making.point_nudge import point_nudge
from bench.making.worked_pattern import WorkedPattern
from bench.timing.piece_history import course_of
from tests.support.clock import ManualClock
from tests.support.odd_events import MISFITS, ODD

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


@pytest.mark.parametrize("odd", MISFITS)
def test_what_does_not_fit_its_kind_is_not_taken_in(call: Any, other: Path, odd: str) -> None:
    """A file with such an event is refused whole, with the line."""
    kind, payload = MISFITS[odd]
    lines = lines_of_a_piece(other)
    lines.append({**lines[-1], "uuid": "more", "number": 99, "kind": kind, "payload": payload})
    path = other / "lines.jsonl"
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="ascii")
    said = call("import", str(path))
    assert (said.status, said.out) == (1, "")
    assert f"line {len(lines)}: The event {kind} " in said.err


@pytest.mark.parametrize("odd", MISFITS)
def test_what_does_not_fit_and_is_there_is_kept_counted_and_told(
    call: Any, other: Path, odd: str
) -> None:
    """A foreign hand's event in the file breaks no reader; it goes out again as it came."""
    kind, payload = MISFITS[odd]
    first = kind == "piece_started"
    lines = lines_of_a_piece(other)
    piece = "p" if first else import_lines(call, other, lines)
    with Journal.open(call.home / "journal.db", write=True) as journal:
        after = None if first else list(journal.events(piece))[-1].uuid
        journal.merge(
            [
                Event(
                    "foreign", "elsewhere", 7, (after,), "s", ((piece, 1.0),), None,
                    Instant(WALL, 0, "b", 1.0), kind, 1, NotUnderstood(payload),
                )
            ]
        )  # fmt: skip
    with Journal.open(call.home / "journal.db", write=False) as journal:
        state = journal.state(piece)
        assert state.not_understood == 1
        assert state == replay(piece, journal.events(piece))
        assert list(journal.events(piece))[-1].values == payload
    read_all(call, piece)
    assert "1 of its events is not understood" in " ".join(call("list").out.split())


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
        {"marks": []},
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
