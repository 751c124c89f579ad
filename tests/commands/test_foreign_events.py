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
from bench.journal.payloads import kinds
from bench.journal.state import replay
from bench.journal.store import Journal
from bench.journal.transfer import to_line
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.calibration import calibration_with_stock
from bench.making.learning import maker_of
from bench.making.point_nudge import point_nudge
from bench.making.worked_pattern import WorkedPattern
from bench.timing.piece_history import course_of
from tests.support.clock import ManualClock
from tests.support.odd_events import MISFITS, ODD

WALL = time.time() - 3 * 86_400


def lines_of_pieces(home: Path, pieces: int = 1) -> list[list[dict[str, Any]]]:
    """What a bench exports, piece by piece, that has begun each and made four crosses."""
    clock = ManualClock(wall=WALL)
    made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        begun = []
        for _ in range(pieces):
            braid = Braid.start(journal, made)
            for _ in range(4):
                clock.advance(20.0)
                braid.cross()
            begun.append(braid.piece)
        return [[json.loads(to_line(event)) for event in journal.events(p)] for p in begun]


def lines_of_a_piece(home: Path) -> list[dict[str, Any]]:
    """What a bench exports that has begun one piece and made four crosses."""
    return lines_of_pieces(home)[0]


def read_all(call: Any, *pieces: str) -> None:
    """Ask every reader of the journal of `call`; what cannot be read may be told, in a sentence."""
    for words in (["list"], ["pace"], ["forecast"], ["forecast", "--fits", "2h15"], ["export"]):
        said = call(*words)
        assert said.status in {0, 2}, said
    with Journal.open(call.home / "journal.db", write=True) as journal:
        journal.pieces(open_only=False)
        maker_of(Settings(), journal)
        for piece in pieces:
            read_piece(journal, piece)


def read_piece(journal: Journal, piece: str) -> None:
    """Ask every reader of one piece, and make one cross of it."""
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


def more(lines: list[dict[str, Any]], *changes: dict[str, Any]) -> list[dict[str, Any]]:
    """A piece's lines, with events like its last after them, each changed."""
    last = lines[-1]
    return lines + [
        {**last, "uuid": f"{last['uuid']}-{at}", "number": last["number"] + 1000 * at, **change}
        for at, change in enumerate(changes, 1)
    ]


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
    later = ({"kind": kind, "version": 2, "payload": {}} for kind in sorted(kinds()))
    read_all(call, import_lines(call, other, more(lines_of_a_piece(other), *later)))


def test_a_piece_without_its_beginning_names_no_pattern(call: Any, other: Path) -> None:
    """It is taken in, and no times are said to be left out for it."""
    path = other / "lines.jsonl"
    lines = lines_of_a_piece(other)[1:]
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="ascii")
    said = call("import", str(path))
    assert said.status == 0
    assert "left out" not in said.err


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


def test_what_does_not_fit_and_is_there_is_kept_counted_and_told(call: Any, other: Path) -> None:
    """A foreign hand's events in the file break no reader; they go out again as they came."""
    begun = lines_of_pieces(other, len(MISFITS))
    import_lines(call, other, [line for piece in begun for line in piece])
    pieces: dict[str, str] = {}
    with Journal.open(call.home / "journal.db", write=True) as journal:
        for at, ((odd, (kind, payload)), lines) in enumerate(
            zip(MISFITS.items(), begun, strict=True)
        ):
            first = kind == "piece_started"
            piece = f"p{at}" if first else str(lines[0]["pieces"][0]["piece"])
            after = None if first else list(journal.events(piece))[-1].uuid
            journal.merge(
                [
                    Event(
                        f"foreign-{at}", "elsewhere", 7 + at, (after,), "s", ((piece, 1.0),), None,
                        Instant(WALL, 0, "b", 1.0), kind, 1, NotUnderstood(payload),
                    )
                ]
            )  # fmt: skip
            pieces[odd] = piece
    with Journal.open(call.home / "journal.db", write=False) as journal:
        for odd, piece in pieces.items():
            state = journal.state(piece)
            assert state.not_understood == 1, odd
            assert state == replay(piece, journal.events(piece)), odd
            assert list(journal.events(piece))[-1].values == MISFITS[odd][1], odd
    read_all(call, *pieces.values())
    told = " ".join(call("list").out.split())
    assert told.count("1 of its events is not understood") == len(MISFITS)


def test_what_fits_no_piece_breaks_no_reader(call: Any, other: Path) -> None:
    """A payload that holds what its kind must, and makes no sense, breaks no reader."""
    begun = lines_of_pieces(other, len(ODD))
    odd = [
        more(lines, {"kind": kind, "payload": payload})
        for lines, (kind, payload) in zip(begun, ODD.values(), strict=True)
    ]
    import_lines(call, other, [line for lines in odd for line in lines])
    read_all(call, *(str(lines[0]["pieces"][0]["piece"]) for lines in odd))


def test_a_piece_that_began_oddly_breaks_no_reader(call: Any, other: Path) -> None:
    """A piece whose frozen plan cannot be read is told in a sentence, and breaks nothing else."""
    changes: list[dict[str, Any]] = [
        {"pattern": {}},
        {"structure": {}},
        {"pattern": {"name": ["x"]}, "structure": {"moves": 7}},
        {"marks": []},
        {"title": "\x1b[2J[red]", "pattern_name": "[/]", "hash": ""},
        {"size": "\x07", "colourway": "[b]", "commission": "[/run]"},
    ]
    begun = lines_of_pieces(other, len(changes))
    for lines, change in zip(begun, changes, strict=True):
        lines[0]["payload"] |= change
    import_lines(call, other, [line for lines in begun for line in lines])
    read_all(call, *(str(lines[0]["pieces"][0]["piece"]) for lines in begun))
