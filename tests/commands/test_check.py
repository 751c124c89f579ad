"""Mistakes in a maker's own documents: one sentence, at the right file, line and key."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from bench.documents.library import Library

from .conftest import Caller

GOOD = Library(Path(os.devnull)).pattern_path("silver-eaves").read_text(encoding="utf-8")


def line_of(text: str, part: str) -> int:
    """The line of a file on which a text first stands."""
    return next(n for n, line in enumerate(text.splitlines(), 1) if part in line)


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        ("plain_start = 4", "plane_start = 4", "plane_start", "this key is not known"),
        ("3a 3b 3c", "3a 3z 3c", "loads.all", "there is no bead 'z'"),
        ("3a 3b 3c", "0a 3b 3c", "loads.all", "a count of 0 makes no sense"),
        ("3a 3b 3c", "3a 3b( 3c", "loads.all", "is not a count and a bead letter"),
        ("kongo-8", "kongo-9", "structure", "there is no structure 'kongo-9'"),
        ('"15/0"', '"99/0"', "beads.a.size", "is not in the table; give diameter_mm, length_mm"),
        ("#9fb8c8", "blue", "beads.a.colour", "a colour is written as #9fb8c8; found 'blue'"),
        ("plain_end = 4", "plain_end = -1", "plain_end", "it takes 0 at the least"),
        ("plain_end = 4", "plain_end = 4.5", "plain_end", "valid integer"),
        ("rain grey", "rain\\u001b[31mgrey", "beads.a.name", "control character U+001B"),
        ("diameter_mm = 0.13", "diameter_mm = nan", "threads.diameter_mm", "finite number"),
        ("[[1, 6]", "[[1, 9]", "threads.double_lengths[1]", "there is no strand 9"),
    ],
)
def test_a_mistake_is_told_with_line_and_key(
    call: Caller, tmp_path: Path, old: str, new: str, key: str, says: str
) -> None:
    """A pattern with one mistake gives one line on standard error and status 1."""
    text = GOOD.replace(old, new, 1)
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    said = call("check", "own.toml")
    assert said.status == 1
    assert said.err.count("\n") == 1
    assert f"own.toml, line {line_of(text, new)}, key {key}: " in said.err
    assert says in said.err


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"title = ", "line 1: this is not TOML"),
        (b"format = 1\ntitle = '\xe9'\n", "line 2: byte 0xe9 is not UTF-8"),
        (b"x = 1\n" * 200_000, "at most 1,000,000 are read"),
        (b"a = " + b"[" * 3000, "line 1: the values are nested too deeply"),
        (b"", "this key is missing"),
    ],
)
def test_a_file_that_is_no_document_is_told(
    call: Caller, tmp_path: Path, content: bytes, says: str
) -> None:
    """What is not TOML, not UTF-8, too long, too deep or empty gives one clear line."""
    (tmp_path / "own.toml").write_bytes(content)
    said = call("check", "own.toml")
    assert said.status == 1
    assert says in said.err
    assert "Traceback" not in said.err


def test_a_file_of_a_hundred_megabytes_is_not_read(call: Caller, tmp_path: Path) -> None:
    """A huge file is refused by its size."""
    with (tmp_path / "own.toml").open("wb") as file:
        file.truncate(100_000_000)
    said = call("check", "own.toml")
    assert (said.status, said.out) == (1, "")
    assert "the file holds 100,000,000 bytes" in said.err


def test_a_folder_and_a_missing_file_are_told(call: Caller, tmp_path: Path) -> None:
    """A folder, and a file that is not there, are named as such."""
    (tmp_path / "own.toml").mkdir()
    assert "this is a folder" in call("check", "own.toml").err
    assert "there is no such file" in call("check", "other.toml").err
    asked = call("check", "nosuch", "stair-window")
    assert "nosuch: no file and no document of the library is called so; give a file's" in asked.err
    assert "commission, sound" in " ".join(asked.out.split())
    assert asked.status == 1


def test_an_uneven_load_is_allowed_and_says_when_it_runs_out(call: Caller, tmp_path: Path) -> None:
    """A strand with fewer beads is a warning that names strand and row, and status 0."""
    text = GOOD.replace("\n[core]", '\n5 = "2a"\n\n[core]', 1)
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    said = call("check", "own.toml")
    assert said.status == 0
    assert "strand 5 holds 2 beads, the longest load 16: it runs out in row 2 of 16" in said.err


def test_markup_in_a_title_is_only_text(call: Caller, tmp_path: Path) -> None:
    """Square brackets in a title are printed as they stand, by every command that prints it."""
    title = "[bold]Eaves[/bold] [/x"
    text = GOOD.replace("Silver Eaves", title, 1)
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    for command in ("check", "steps", "picture", "sheet", "needs", "weights", "core"):
        said = call(command, "own.toml")
        assert said.status == 0, (command, said.err)
        assert "\x1b" not in said.out
    assert title in call("steps", "own.toml").out


def test_every_mistake_of_many_files_is_told(call: Caller, tmp_path: Path) -> None:
    """Of several files the wrong ones are told one by one, and the right ones still checked."""
    (tmp_path / "good.toml").write_text(GOOD, encoding="utf-8")
    (tmp_path / "bad.toml").write_text(GOOD.replace("kongo-8", "none"), encoding="utf-8")
    (tmp_path / "worse.toml").write_text("format = 2\n", encoding="utf-8")
    said = call("check", "good.toml", "bad.toml", "worse.toml")
    assert said.status == 1
    assert "good.toml: pattern, sound" in said.out
    assert "bad.toml, line 3" in said.err
    assert "worse.toml" in said.err


def test_a_makers_document_wins_over_the_shipped_one(call: Caller) -> None:
    """A pattern of the maker's own with a shipped name is the one that is used."""
    own = call.home / "patterns" / "silver-eaves.toml"
    own.parent.mkdir(parents=True)
    own.write_text(GOOD.replace("Silver Eaves", "My Eaves"), encoding="utf-8")
    listed = call("list", "--json").json
    titles = [row["title"] for row in listed["patterns"] if row["name"] == "silver-eaves"]
    assert titles == ["My Eaves"]
