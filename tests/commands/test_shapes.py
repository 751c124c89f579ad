from __future__ import annotations

import importlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from bench.commands import COMMANDS
from bench.commands.schema import ANSWERS, DOCUMENTS
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.loading import tag_first
from bench.making.worked_pattern import WorkedPattern

ROOT = Path(importlib.import_module("bench").__file__ or "").parent.parent
CALLS = [
    ("list", ["list"]),
    ("check", ["check", "silver-eaves"]),
    ("where", ["where"]),
    ("restore", ["restore"]),
    ("schema", ["schema", "pattern"]),
    ("steps", ["steps", "silver-eaves"]),
    ("picture", ["picture", "silver-eaves"]),
    ("export", ["export"]),
    ("record", ["record", "silver-eaves", "--minutes", "70"]),
    ("pace", ["pace", "silver-eaves"]),
    ("paces", ["pace"]),
    ("commission-answer", ["commission", "stair-window"]),
    ("account", ["account", "stair-window"]),
    ("tubes", ["tubes"]),
    ("finished", ["finished"]),
    ("notes", ["notes", "stair-window"]),
    ("tags", ["tags", "stair-window"]),
    ("inspect", ["inspect", "stair-window"]),
    ("tonight", ["tonight", "stair-window"]),
    ("forecast", ["forecast", "stair-window"]),
    ("versions", ["versions", "silver-eaves"]),
    ("card", ["card", "silver-eaves", "--price", "40"]),
    ("sketch", ["sketch", "another", "--from", "silver-eaves"]),
]


@pytest.mark.parametrize(("name", "words"), CALLS)
def test_every_answer_is_its_shape(call: Any, name: str, words: list[str]) -> None:
    """One JSON object with format 1 and warnings, exactly as the command's schema says."""
    said = call(*words, "--json")
    assert (said.status, said.err) == (0, "")
    assert said.out.count("\n") == 1
    assert said.json["format"] == 1
    assert said.json["warnings"] == []
    schema = json.loads(call("schema", name).out)
    jsonschema.validate(said.json, schema, jsonschema.Draft202012Validator)


@pytest.mark.parametrize("kind", [*DOCUMENTS, *ANSWERS])
def test_every_kind_has_a_schema(call: Any, kind: str) -> None:
    """Without --json the schema alone is printed, an object that forbids unknown keys."""
    found = json.loads(call("schema", kind).out)
    assert found["type"] == "object"
    assert found["additionalProperties"] is False


def test_every_command_has_its_help(call: Any) -> None:
    """--help lists every command; each has a help of its own with --json and --home."""
    listed = call("--help").out
    for name in COMMANDS:
        assert re.search(rf"^    {name}\s", listed, re.M)
        own = call(name, "--help")
        assert own.status == 0
        assert "--json" in own.out
        assert "--home" in own.out


@pytest.mark.parametrize(
    "words",
    [["nonsense"], ["steps"], ["list", "more"], ["record", "silver-eaves"], ["schema", "x"]],
)
def test_wrong_usage_is_status_2(call: Any, words: list[str]) -> None:
    """Unknown commands and missing arguments are usage errors."""
    assert call(*words).status == 2


def test_warnings_are_told_apart_from_output(call: Any) -> None:
    """Text mode puts them on standard error with status 0, JSON into the object."""
    folder = call.home / "patterns"
    folder.mkdir(parents=True)
    text = Library(call.home).pattern_path("silver-eaves").read_text(encoding="utf-8")
    text = text.replace("[core]", '5 = "3a 3b"\n\n[core]')
    (folder / "uneven.toml").write_text(text, encoding="utf-8")
    said = call("steps", "uneven")
    assert said.status == 0
    assert "strand 5 holds 6 beads, the longest load 16: it runs out in row 6 of 16" in said.err
    assert "runs out" not in said.out
    answer = call("steps", "uneven", "--json")
    assert answer.err == ""
    assert "strand 5" in answer.json["warnings"][0]


def test_where_tells_what_is_there(call: Any) -> None:
    """Before anything was written only the shipped documents are there."""
    answer = call("where", "--json").json
    assert answer["home"] == {"path": str(call.home), "there": False}
    assert answer["shipped"]["there"]
    call("record", "silver-eaves", "--minutes", "70")
    assert call("where", "--json").json["journal"]["there"]


def test_a_path_is_never_broken(call: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal of any width each place of `where` is one line, so that it can be copied."""
    monkeypatch.setenv("COLUMNS", "20")
    lines = call("where").out.splitlines()
    assert len(lines) in {10, 11}
    answer = call("where", "--json").json
    assert [tuple(line.split()[:2]) for line in lines[:9]] == [
        (name, place["path"]) for name, place in answer.items() if isinstance(place, dict)
    ]
    assert lines[9] == f"SQLite       {answer['sqlite']}"
    assert lines[10:] == [answer["sqlite_fault"]] * bool(answer["sqlite_fault"])
    assert f"journal      {call.home / 'journal.db'}   (not there yet)" in lines


def test_a_loaded_set_is_listed_by_its_tag(call: Any) -> None:
    """What is written on the set, and that it is loaded, stand beside its title."""
    call.home.mkdir()
    with Journal.open(call.home / "journal.db", write=True) as journal:
        made = WorkedPattern.from_library(Library(call.home), Settings(), "cistern")
        braid = Braid.start(journal, made, stage="load")
        tag_first(braid, 2)
        braid.lay_aside()
    assert "Cistern, set 1, 1 of 2: loaded, last 20" in call("list").out
    (piece,) = call("list", "--json").json["in_the_making"]
    assert (piece["tag"], piece["stages_done"]) == ("set 1, 1 of 2", ["load"])


def test_reading_commands_leave_nothing_behind(call: Any) -> None:
    """A command that only reads makes no folder and no journal."""
    for words in (["list"], ["pace"], ["forecast", "stair-window"], ["export"], ["check"]):
        assert call(*words).status == 0
    assert not call.home.exists()


def run(words: list[str], **more: Any) -> subprocess.CompletedProcess[bytes]:
    """Run the program in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **more.pop("env", {})}
    return subprocess.run(
        [sys.executable, "-m", "bench", *words], env=environment, timeout=60, **more
    )


def test_without_a_terminal_it_says_so_and_ends(tmp_path: Path) -> None:
    """The app is not painted into a pipe: one sentence, status 1, and no data folder."""
    done = run(["--home", str(tmp_path / "home")], stdin=subprocess.DEVNULL, capture_output=True)
    assert (done.returncode, done.stdout) == (1, b"")
    assert b"fills a terminal" in done.stderr
    assert done.stderr.count(b"\n") == 1
    assert not (tmp_path / "home").exists()


@pytest.mark.parametrize("form", [[], ["--json"]])
def test_a_reader_that_has_seen_enough_hears_nothing(tmp_path: Path, form: list[str]) -> None:
    """A pipe that is closed early ends the command quietly."""
    words = ["steps", "stair-rope", "--home", str(tmp_path), *form]
    child = subprocess.Popen(
        [sys.executable, "-m", "bench", *words],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdout.read(10)
    child.stdout.close()
    assert child.stderr.read() == b""
    assert child.wait(60) == 0
    child.stderr.close()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_output_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    """A full disk behind standard output: one sentence, status 1, no traceback."""
    with Path("/dev/full").open("wb") as full:
        done = run(["list", "--home", str(tmp_path)], stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 1
    assert done.stderr.count(b"\n") == 1
    assert b"output cannot be written" in done.stderr


def test_json_is_ascii_whatever_the_terminal(tmp_path: Path) -> None:
    """A terminal that knows no UTF-8 gets the same object, and text without a traceback."""
    plain = {"env": {"PYTHONIOENCODING": "ascii"}, "capture_output": True}
    done = run(["where", "--json", "--home", str(tmp_path / "tröpfchen")], **plain)
    assert json.loads(done.stdout)["home"]["path"].endswith("tröpfchen")
    done = run(["where", "--home", str(tmp_path / "tröpfchen")], **plain)
    assert (done.returncode, done.stderr) == (0, b"")


def test_the_command_line_itself_is_light() -> None:
    """Reading the arguments imports neither Textual, Rich, Pydantic nor SQLite."""
    code = "import sys, bench.cli; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert not {"textual", "rich", "pydantic", "sqlite3"} & set(done.stdout.split())
