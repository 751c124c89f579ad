"""`backup`: all that a maker has in one file; and exports that tell no customer."""

from __future__ import annotations

import datetime as dt
import io
import os
import sqlite3
import subprocess
import sys
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

from bench.journal import backups, schema
from bench.journal.commission_payloads import CustomerNamed
from bench.journal.events import Entry
from bench.journal.inbox import leave, take_in
from bench.journal.payloads import Note
from bench.journal.rescue import keep, kept_for, take_in_kept
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from tests.commands.test_commission import BEGIN


def test_all_of_it_comes_back(call: Any, tmp_path: Path) -> None:
    """Unpacked elsewhere, also of a journal that is open, documents and events are the same."""
    assert call(*BEGIN).status == 0
    with Journal.open(call.home / "journal.db", write=True) as journal:
        events = [event.uuid for event in journal.events()]
        said = call("backup", "b.zip", "--json").json
    assert (said["documents"], said["events"]) == (1, len(events))
    other = tmp_path / "other"
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        archive.extractall(other)
    with Journal.open(other / "journal.db", write=True) as again:
        assert [event.uuid for event in again.events()] == events
        assert again.check()
    file = Path("commissions") / "door.toml"
    assert (other / file).read_bytes() == (call.home / file).read_bytes()
    assert call("backup", "b.txt").status == 1
    nowhere = call("backup", "nowhere/b.zip")
    assert nowhere.err == f"braid-bench: there is no folder {tmp_path / 'nowhere'}\n"


def test_what_waits_to_be_taken_in_is_in_it(call: Any, tmp_path: Path) -> None:
    """What a command left for the open program, and what could not be saved, come back too."""
    call("record", "silver-eaves", "--minutes", "70")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        leave(call.home, [Entry(Note("left"), journal.pieces(open_only=False)[0].uuid)])
        last = next(journal.events())
    unsaved = replace(last, uuid="lost", number=9, after=(last.uuid,), payload=Note("unsaved"))
    assert keep([replace(unsaved, kind="note")], [call.home]) is not None
    done = call("backup", "b.zip")
    assert "and 2 files of what is still to be taken into the journal" in done.out
    other = tmp_path / "other"
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        archive.extractall(other)
    with Journal.open(other / "journal.db", write=True) as again:
        assert again.bench != last.bench, "two benches go on from here, and number their events"
        assert len(take_in(again, other).pieces) == 1
        take_in_kept(again, kept_for(again, [other]))
        notes = [note.text for _, note in again.each(Note)]
        assert sorted(notes) == ["left", "unsaved"]
        # What both take in is one event to each: they can still exchange what they have.
        with Journal.open(call.home / "journal.db", write=True) as journal:
            assert len(take_in(journal, call.home).pieces) == 1
            text = io.StringIO()
            export_jsonl(journal, text)
        assert import_jsonl(again, io.StringIO(text.getvalue())).added == 0


def test_unpacked_at_two_places_it_is_two_benches(call: Any, tmp_path: Path) -> None:
    """Each numbers its own events, and both can exchange what they have."""
    call("record", "silver-eaves", "--minutes", "70")
    call("backup", "b.zip")
    homes = [tmp_path / "attic", tmp_path / "shed"]
    for home in homes:
        with zipfile.ZipFile(tmp_path / "b.zip") as archive:
            archive.extractall(home)
    one, two = (Journal.open(home / "journal.db", write=True) for home in homes)
    piece = one.pieces(open_only=False)[0].uuid
    for journal in (one, two):
        journal.append(Note("on"), pieces=piece)
    assert len({next(one.events()).bench, one.bench, two.bench}) == 3
    text = io.StringIO()
    export_jsonl(one, text)
    assert import_jsonl(two, io.StringIO(text.getvalue())).added == 1
    numbers = [(event.bench, event.number) for event in two.events()]
    assert len(set(numbers)) == len(numbers) == 3
    bench = one.bench
    for journal in (one, two):
        journal.close()
    with Journal.open(homes[0] / "journal.db", write=True) as again:
        assert again.bench == bench


def test_a_disk_without_room_is_told(call: Any, tmp_path: Path, monkeypatch: Any) -> None:
    """Neither a backup nor a restore that finds no room ends with more than a sentence."""
    call("record", "silver-eaves", "--minutes", "70")
    backups.make(call.home / "journal.db", dt.date(2026, 11, 28))

    def full(*_: object, **__: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    for words, where in (
        (("backup", "b.zip"), "copy"),
        (("backup", "b.zip"), "name_anew"),
        (("restore", "2026-11-28"), "name_anew"),
    ):
        with monkeypatch.context() as patch:
            patch.setattr(schema, where, full)
            done = call(*words)
        assert (done.status, done.err.count("\n")) == (1, 1)
        assert "database or disk is full" in done.err
        assert "cannot be read" not in done.err
    assert not list(tmp_path.glob("*.zip"))


def test_a_target_that_takes_only_so_much_is_told(call: Any, tmp_path: Path) -> None:
    """Where the copy does not fit, that is said of the copy: the journal is sound."""
    call("record", "silver-eaves", "--minutes", "70")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        piece = journal.pieces(open_only=False)[0].uuid
        journal.append_many([Entry(Note("x" * 2000), piece) for _ in range(40)])
    limit = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN);"
        " resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000));"
        " from bench.cli import main; sys.exit(main(sys.argv[1:]))"
    )
    words = ["--home", str(call.home), "backup", str(tmp_path / "b.zip")]
    done = subprocess.run([sys.executable, "-c", limit, *words], capture_output=True, text=True)
    assert done.returncode == 1
    assert done.stderr.startswith("braid-bench: the journal cannot be copied: ")
    assert not list(tmp_path.glob("*.zip"))


def test_a_document_of_before_1980_is_in_it(call: Any, tmp_path: Path) -> None:
    """A file that a wrong clock dated is backed up as every other."""
    assert call(*BEGIN).status == 0
    os.utime(call.home / "commissions" / "door.toml", (0, 0))
    assert call("backup", "b.zip", "--json").json["documents"] == 1


def test_exports_tell_no_customer_unless_asked(call: Any, tmp_path: Path) -> None:
    """Names stay at home; asked for they go along; taken in either way nothing is in conflict."""
    call(*BEGIN)
    for words, named in (((), 0), (("--customers",), 1)):
        call("export", "--format", "jsonl", "--to", "e.jsonl", *words)
        assert ("the second door" in (tmp_path / "e.jsonl").read_text("utf-8")) == bool(named)
        assert call("import", "e.jsonl").status == 0
        with Journal.open(tmp_path / f"other{named}" / "journal.db", write=True) as other:
            with (tmp_path / "e.jsonl").open(encoding="utf-8") as stream:
                import_jsonl(other, stream)
            assert len(list(other.each(CustomerNamed))) == named
