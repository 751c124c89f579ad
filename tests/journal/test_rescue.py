"""What could not be saved when the program ended is found, and taken in once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bench.journal.events import Entry, Event
from bench.journal.payloads import Crossed
from bench.journal.rescue import keep, kept_for, take_in_kept
from bench.journal.store import Journal
from bench.session import Session
from tests.support.events import said


def lost_events(journal: Journal, start: dict[str, object]) -> list[Event]:
    """Two crosses of a piece that its journal lacks, as its own bench has made them."""
    first = journal.append_many(
        [Entry(said("piece_started", start), "p"), Entry(Crossed(0, 1), "p")]
    )
    one = replace(first[1], uuid="lost-1", number=3, after=(first[1].uuid,), payload=Crossed(1, 2))
    return [one, replace(one, uuid="lost-2", number=4, after=("lost-1",), payload=Crossed(2, 3))]


def test_what_was_kept_is_found_and_taken_in_once(
    journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """The journal's own events that it lacks are found by piece; taken in, their file is done."""
    lost = lost_events(journal, start)
    file = keep(lost, [tmp_path])
    assert file is not None
    found = kept_for(journal, [tmp_path / "nowhere", tmp_path, tmp_path])
    assert (list(found.events), found.files) == (lost, (file,))
    assert found.by_piece == {"p": 2}
    assert journal.state("p").made == 1
    assert take_in_kept(journal, found) == ()
    assert journal.state("p").made == 3
    assert kept_for(journal, [tmp_path]).files == ()
    assert [path.name for path in tmp_path.glob("braid*")] == [f"{file.name}.taken-in"]


def test_files_of_others_are_passed_over(
    journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """Another journal's file stays as it is; one that cannot be read is named; links are none."""
    lost = lost_events(journal, start)
    others = [replace(event, bench="another", pieces=(("q", 1.0),)) for event in lost]
    theirs = keep(others, [tmp_path])
    broken = tmp_path / "braid-bench-not-saved-20260101-000000-x.jsonl"
    broken.write_bytes(b'{"format": 1\xff')
    (tmp_path / "braid-bench-not-saved-link.jsonl").symlink_to(broken)
    found = kept_for(journal, [tmp_path])
    assert (found.events, found.files, found.unreadable) == ((), (), (broken,))
    assert theirs is not None
    theirs.write_text(theirs.read_text("utf-8").replace('"to":', '"unto":'))
    assert kept_for(journal, [tmp_path]).unreadable == (broken,)
    theirs.write_text(theirs.read_text("utf-8").replace("another", journal.bench))
    assert len(kept_for(journal, [tmp_path]).unreadable) == 2


def test_what_lies_in_the_data_folder_is_its_own(
    journal: Journal, start: dict[str, object]
) -> None:
    """A journal taken from a backup of before a piece finds what was not saved of it."""
    lost = [replace(event, bench="before the restore") for event in lost_events(journal, start)]
    lost[0] = replace(lost[0], after=("never saved",))
    unknown = [replace(event, pieces=(("begun since", 1.0),)) for event in lost]
    keep(unknown, [journal.folder])
    found = kept_for(journal, [journal.folder])
    assert found.by_piece == {"begun since": 2}
    take_in_kept(journal, found)
    assert kept_for(journal, [journal.folder]).files == ()
    assert not list(journal.folder.glob("*not-saved*.jsonl"))


def test_a_file_that_is_known_is_set_aside(
    journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """What was saved in the end, or imported by hand, is not told again."""
    lost = lost_events(journal, start)
    file = keep(lost, [tmp_path])
    journal.merge(lost)
    assert file is not None
    assert kept_for(journal, [tmp_path]).files == ()
    assert not file.exists()


def test_what_is_of_a_known_piece_is_found_by_a_mended_journal(
    journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """A journal that was mended is another bench; what its pieces lack is found all the same."""
    lost = [replace(event, bench="before the mending") for event in lost_events(journal, start)]
    file = keep(lost, [tmp_path])
    found = kept_for(journal, [tmp_path])
    assert found.by_piece == {"p": 2}
    take_in_kept(journal, found)
    assert journal.state("p").made == 3
    assert kept_for(journal, [tmp_path]).files == ()
    assert file is not None
    assert file.exists()


def test_whatever_cannot_be_read_is_told_wherever_it_lies(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file in another folder than the journal's is told as well, also when a sitting takes over.

    A sitting that looks on hears of it once it writes.
    """
    for place in ("user", "temp", "data"):
        (tmp_path / place).mkdir()
        (tmp_path / place / "braid-bench-not-saved-1.jsonl").write_bytes(b"\xff{")
    monkeypatch.setattr("pathlib.Path.home", lambda: tmp_path / "user")
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(tmp_path / "temp"))
    first, second = Session(tmp_path / "data"), Session(tmp_path / "data")
    first.hold_journal(0.0)
    second.hold_journal(0.0)
    assert all_are_told(first, tmp_path)
    assert not any("could not be saved" in told for told in second.warnings)
    assert first.journal is not None
    first.journal.close()
    assert second.take_over()
    assert all_are_told(second, tmp_path)
    assert second.journal is not None
    second.journal.close()


def all_are_told(sitting: Session, folder: Path) -> bool:
    """Whether a sitting warns of the file in each of the three places."""
    told = [line for line in sitting.warnings if "cannot be read" in line]
    places = ("user", "temp", "data")
    return len(told) == 3 and all(str(folder / place) in "".join(told) for place in places)
