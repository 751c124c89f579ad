"""The log of a sketch: read back as it was, also when lines are cut off or the disk is full."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from bench.craft.text import Fault
from bench.design.history import History, replayed
from bench.design.operation import Desk
from bench.design.operations import Entitle, Paint, Redo, Rows, Undo
from bench.design.sheet import Sheet
from bench.design.sheet_record import sheet_of_values, sheet_values
from bench.documents import sketch_log
from bench.documents.errors import DocumentError
from bench.documents.sketch import Sketch, read_log, sketch_names, sketch_path
from bench.documents.sketch_log import SketchLog
from tests.support.boards import BEADED, board, structure

DESK = Desk(structure)
DONE = (
    Paint(bead="b", strands=(3,), first=2),
    Rows(do="insert", before=1),
    Undo(),
    Entitle(title="Ämne"),
    Paint(bead="?", strands=(3,), first=30),
    Undo(),
)


def begun(home: Path) -> tuple[SketchLog, History]:
    """A sketch on which some operations were done, and what they come to."""
    log = SketchLog.begin(home, Sketch("try", "silver-eaves", None, History(board())))
    history = History(board())
    for operation in DONE:
        history = history.do(operation, DESK)
        assert log.append(operation)
    return log, history


@pytest.mark.parametrize("name", BEADED)
def test_a_sheet_comes_back_from_its_values(name: str) -> None:
    """Every shipped pattern's sheet, and one with open cells, is the same read again."""
    sheet = board(name)
    for one in (sheet, Sheet.blank(sheet.pattern, sheet.structure, 3)):
        assert sheet_of_values(sheet_values(one)) == one
    with pytest.raises(Fault, match="no sheet of beads"):
        sheet_of_values({})
    with pytest.raises(Fault, match="no loads of its beads"):
        sheet_of_values(sheet_values(sheet) | {"loads": ["z"] * 8})


def test_a_sketch_is_read_back_with_what_was_taken_back(tmp_path: Path) -> None:
    """Sheet, undo and redo are as they were, before and after the log is written anew."""
    log, history = begun(tmp_path)
    assert sketch_names(tmp_path) == ["try"]
    for _ in range(2):
        found = read_log(log.path, DESK)[0]
        assert (found.history, found.told, found.source) == (history, (), "silver-eaves")
        log.compact(history)
    history = history.redo()
    assert log.append(Redo())
    assert read_log(log.path, DESK)[0].history == history
    log.keep(history.sheet, "1f")
    assert log.append(Undo())
    log.compact(history.undo())
    log.close()
    again = SketchLog.open(tmp_path, "try", DESK)
    assert (again.stamp, again.kept) == ("1f", history.sheet)
    assert again.sketch.history.redo().sheet == history.sheet
    again.remove()
    assert sketch_names(tmp_path) == []


def test_what_no_step_back_reaches_is_folded_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Written anew, a log keeps so many steps back and the same sheet."""
    monkeypatch.setattr(sketch_log, "MOST_BACK", 1)
    log, history = begun(tmp_path)
    log.compact(history)
    log.close()
    found = read_log(log.path, DESK)[0].history
    assert found.sheet == history.sheet
    assert [type(operation) for operation, _ in found.done] == [Entitle]
    assert found.redo().sheet == history.redo().sheet


@pytest.mark.parametrize("torn", [b'{"kind": "pai', b"\0\0\0\0"])
def test_a_line_that_was_cut_off_is_told_and_passed_over(tmp_path: Path, torn: bytes) -> None:
    """All before it is there, the maker is told, and the next operation follows on it."""
    log, history = begun(tmp_path)
    log.close()
    with log.path.open("ab") as file:
        file.write(torn)
    again = SketchLog.open(tmp_path, "try", DESK)
    assert again.sketch.history == history
    assert again.sketch.told[0].endswith("is passed over: it was cut off while it was written")
    again.append(Entitle(title="Next"))
    again.close()
    assert read_log(log.path, DESK)[0].history.sheet.pattern.title == "Next"
    assert not list(tmp_path.glob("sketches/.*before*"))


def test_a_broken_line_ends_a_sketch_and_the_whole_file_is_kept(tmp_path: Path) -> None:
    """What cannot be read or done is told with its line; nothing of the file is lost."""
    log, _ = begun(tmp_path)
    log.close()
    lines = log.path.read_bytes().splitlines(keepends=True)
    lines[2] = b'{"kind": "replace", "bead": "a", "by": "z"}\n'
    log.path.write_bytes(b"".join(lines))
    again = SketchLog.open(tmp_path, "try", DESK)
    again.close()
    assert again.sketch.history == replayed(board(), DONE[:1], DESK)
    assert "line 3: the operation, and 4 behind it, is passed over" in again.sketch.told[0]
    assert "there is no bead 'z' on this board" in again.sketch.told[0]
    beside = log.path.with_name(".try.before.jsonl")
    assert beside.read_bytes() == b"".join(lines)
    for broken in (b"", b"{}\n", b"[1]\n", b'{"format": 1}\n', b"\xff\n", lines[0][:-9] + b"\n"):
        log.path.write_bytes(broken)
        with pytest.raises(DocumentError, match="this is no sketch"):
            read_log(log.path, DESK)[0]


def test_a_sketch_that_another_program_writes_is_not_written_over(tmp_path: Path) -> None:
    """A second window is refused; a file changed from outside stays, and this is told."""
    log, _ = begun(tmp_path)
    with pytest.raises(DocumentError, match=r"another braid-bench works on this sketch \(process"):
        SketchLog.open(tmp_path, "try", DESK)
    log.path.write_text("mine\n")
    for _ in range(2):
        assert not log.append(Undo())
        assert log.trouble == f"another program wrote into the sketch {log.path}"
    with pytest.raises(DocumentError, match="another program wrote"):
        log.compact(History(board()))
    log.close()
    assert log.path.read_text() == "mine\n"
    with pytest.raises(DocumentError, match="there is a sketch of that name already"):
        SketchLog.begin(tmp_path, log.sketch)
    with pytest.raises(DocumentError, match="there is no such sketch"):
        SketchLog.open(tmp_path, "other", DESK)
    with pytest.raises(Fault, match="made of small letters"):
        sketch_path(tmp_path, "../x")


def test_on_a_full_disk_operations_wait_and_are_written_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half a line is taken out again; with room on the disk all that waited is written."""
    log, history = begun(tmp_path)
    write, room = os.write, [9]

    def full(handle: int, data: bytes) -> int:
        if not room:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(handle, data[: room.pop()])

    with monkeypatch.context() as patched:
        patched.setattr(os, "write", full)
        for count, operation in enumerate((Undo(), Paint(bead="c")), 1):
            history = history.do(operation, DESK)
            assert not log.append(operation)
            assert log.trouble == f"not saved (No space left on device), in {log.path}"
            assert log.waiting == count
    history = history.do(Entitle(title="After"), DESK)
    assert log.append(Entitle(title="After"))
    assert (log.trouble, log.waiting) == ("", 0)
    log.close()
    assert read_log(log.path, DESK)[0].history == history


def test_all_is_on_the_disk_within_a_second(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a burst of operations the disk is told once, off the key's way."""
    monkeypatch.setattr(sketch_log, "SYNC_S", 0.2)
    synced: list[int] = []
    monkeypatch.setattr(os, "fsync", synced.append)
    log, _ = begun(tmp_path)
    timer = log._timer
    assert timer is not None
    timer.join(5)
    assert len(synced) == 3  # the file and its folder when it was begun, then the burst
    log.close()
