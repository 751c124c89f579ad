"""`sketch`: new patterns from the command line, and what cannot be made."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

STOCK = """
format = 1
[[beads]]
size = "15/0"
name = "moss"
colour = "#4f6b43"
grams = 5
[[beads]]
size = "15/0"
name = "sky"
colour = "#9fb8d8"
grams = 0.01
"""


@pytest.mark.parametrize(
    "words",
    [
        ["shape", "--mm", "55", "--thick", "0:4.3,0.6:11.5,1:4.3"],
        ["motif", "dots", "--bead", "b", "--strand", "3", "--repeat", "4"],
        ["recolour", "dawn", "--turn", "120", "--lighter", "0.1"],
        ["run", "--colours", "#203040,#d0e0f0", "--steps", "3"],
        ["resize", "small"],
        ["resize", "--steps", "-1", "--proportions"],
        ["mirror", "kongo-8-anticlockwise"],
        ["length", "--mm", "120", "--first", "8", "--last", "9"],
        ["paint", "b", "--strands", "2", "--first", "3", "--spread", "opposite"],
        ["paint", "3a 2b 2(c d)", "--load"],
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_each_action_makes_a_sound_file(call: Any, words: list[str]) -> None:
    """Every action writes a pattern that `check` reads, and whose `steps` are as answered."""
    made = call("sketch", "new-one", "--from", "silver-eaves", *words, "--json")
    assert (made.status, made.err) == (0, "")
    assert made.json["title"] == "New One"
    assert Path(made.json["file"]) == call.home / "patterns" / "new-one.toml"
    assert call("check", "new-one").status == 0
    steps = call("steps", "new-one", "--json").json
    assert steps["crosses"] == made.json["crosses"]
    brought = sum(m["bead"] is not None for step in steps["steps"] for m in step["moves"])
    assert brought == made.json["beads_in_all"]


def test_operations_are_replayed_from_json_lines(
    call: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What one sketch answers as its operations makes the same pattern again."""
    first = call("sketch", "one", "--from", "cistern", "--json", "motif", "ring", "--bead", "b",
                 "--repeat", "5").json  # fmt: skip
    lines = "\n".join(first["operations"])
    monkeypatch.setattr("sys.stdin", io.StringIO(lines + "\n\n"))
    again = call("sketch", "two", "--from", "cistern", "replay", "--json").json
    assert again["loads"] == first["loads"]
    monkeypatch.setattr("sys.stdin", io.StringIO('{"kind": "motif"}\n'))
    wrong = call("sketch", "three", "--from", "cistern", "replay")
    assert wrong.status == 1
    assert wrong.err.startswith("braid-bench: line 1: this is no operation: ")


def test_what_is_unsound_is_told_as_check_tells_it(call: Any) -> None:
    """Of the pattern's own size, the same sentences; a sound one has none."""
    assert call("sketch", "sound", "--from", "silver-eaves", "--json").json["findings"] == []
    words = ["paint", "d", "--strands", "2", "--first", "1"]
    found = call("sketch", "odd", "--from", "silver-eaves", "--json", *words).json["findings"]
    assert found
    said = call("check", "odd").err
    assert all(sentence in said for sentence in found)


def test_a_pattern_that_is_there_is_written_over_only_when_told(call: Any) -> None:
    """A second sketch of one name is refused; with --over it takes its place; --dry writes none."""
    assert call("sketch", "own", "--from", "cistern").status == 0
    refused = call("sketch", "own", "--from", "downpipe")
    assert refused.status == 1
    assert "there is such a file already; choose another name" in refused.err
    assert call("sketch", "own", "--from", "downpipe", "--over").status == 0
    dry = call("sketch", "dry", "--from", "cistern", "--dry", "--json")
    assert dry.json["file"] is None
    assert not (call.home / "patterns" / "dry.toml").exists()


def test_the_nearest_in_stock_with_enough_grams_is_taken(call: Any) -> None:
    """A colourway from stock takes the bead that holds out, or says which one is missing."""
    call.home.mkdir()
    (call.home / "stock.toml").write_text(STOCK)
    assert call("sketch", "thin", "--from", "silver-eaves", "paint", "9a", "--load").status == 0
    text = (call.home / "patterns" / "thin.toml").read_text()
    only_a = text.split("[beads.b]")[0] + "[loads]\nall = '9a'\n"
    (call.home / "patterns" / "thin.toml").write_text(only_a)
    made = call("sketch", "dyed", "--from", "thin", "recolour", "dusk", "--stock")
    assert (made.status, made.err) == (0, "")
    assert 'name = "moss"' in (call.home / "patterns" / "dyed.toml").read_text()
    words = ["run", "--stock", "--colours", "#9fb8d8,#4f6b43", "--steps", "2"]
    run = call("sketch", "none", "--from", "thin", *words)
    assert run.status == 1
    assert "the stock has no 15/0 round with enough left for #4f6b43 (0." in run.err
    short = call("sketch", "none", "--from", "silver-eaves", "recolour", "dusk", "--stock")
    assert short.status == 1
    assert "the stock has no 11/0 round with a colour and" in short.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["a b", "--from", "cistern"], "small letters, digits and hyphens; found 'a b'"),
        (["../x", "--from", "cistern"], "small letters, digits and hyphens"),
        (["x", "--from", "nothing"], "there is no pattern 'nothing'"),
        (["x", "--from", "cistern", "paint", "z"], "there is no bead 'z'"),
        (["x", "--from", "cistern", "paint", "3a b?", "--load"], "is not a count and a bead"),
        (["x", "--from", "cistern", "paint", "?"], "cells are still open"),
        (["x", "--from", "cistern", "paint", "a", "--spread", "far"], "there is no spread 'far'"),
        (["x", "--from", "cistern", "paint", "a", "--strands", "99"], "strands.0: "),
        (["x", "--from", "cistern", "shape", "--mm", "60", "--thick", "4"], "heights as 0.6:12"),
        (["x", "--from", "cistern", "shape", "--mm", "9999", "--thick", "0:4"], "rows at most"),
        (["x", "--from", "cistern", "shape", "--mm", "60", "--thick", "0:4", "--sizes", "7/0"],
         "is not in the table"),
        (["x", "--from", "cistern", "motif", "star", "--bead", "a"], "motif: "),
        (["x", "--from", "cistern", "run", "--colours", "murk,blue", "--steps", "3"],
         "a colour is a name such as teal, or written as #9fb8c8; found 'murk'"),
        (["x", "--from", "cistern", "run", "--colours", "#000000", "--steps", "3"],
         "from one colour to another"),
        (["x", "--from", "cistern", "run", "--colours", "#000000,#ffffff", "--steps", "1"],
         "a run has two colours at least"),
        (["x", "--from", "cistern", "run", "--colours", "#000000,#ffffff", "--steps", "3",
          "--stock"], "one bead size"),
        (["x", "--from", "cistern", "resize"], "name the size"),
        (["x", "--from", "cistern", "mirror", "hollow-8"], "are no mirror images"),
        (["x", "--from", "cistern", "length", "--mm", "90", "--first", "9", "--last", "99"],
         "there are no rows 9 to 99"),
        (["x", "--from", "cistern", "recolour", "d", "--like", "no"], "has no colourway 'no'"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_one_sentence(call: Any, words: list[str], says: str) -> None:
    """A wrong name, bead, wish or row: status 1, one line, nothing written."""
    said = call("sketch", *words)
    assert said.status == 1
    assert says in said.err
    assert said.err.startswith("braid-bench: ")
    assert said.err.count("\n") == 1
    assert not (call.home / "patterns").exists()


def test_a_script_makes_many_variants(call: Any) -> None:
    """Every operation in an answer is one JSON object, and each variant a file of its own."""
    for turn in range(0, 360, 90):
        made = call("sketch", f"turn-{turn}", "--from", "cistern", "--json", "recolour", "way",
                    "--turn", str(turn)).json  # fmt: skip
        assert [json.loads(line)["kind"] for line in made["operations"]] == ["title", "recolour"]
    assert len(list((call.home / "patterns").glob("turn-*.toml"))) == 4
