from __future__ import annotations

from typing import Any

import pytest

from bench.craft.structure import Structure
from bench.documents.folders import shipped_folder
from bench.documents.reading import read_document


def test_the_shape_is_the_contract_s(call: Any) -> None:
    """A beaded cross has carries with way and bead, then slides, with the agreed keys alone."""
    answer = call("steps", "silver-eaves", "--json").json
    assert (answer["format"], answer["warnings"]) == (1, [])
    assert (answer["pattern"], answer["strands"], answer["crosses"]) == ("silver-eaves", 8, 72)
    assert [step["cross"] for step in answer["steps"]] == list(range(1, 73))
    first = answer["steps"][0]
    assert (first["round"], first["row"], first["call"]) == (1, None, "top and bottom")
    carry = {"kind": "carry", "strand": 2, "from": 2, "to": 5, "way": "clockwise", "bead": None}
    slide = {"kind": "slide", "strand": 5, "from": 5, "to": 6, "bead": None}
    assert first["moves"][0] == carry
    assert first["moves"][2] == slide
    assert [move["kind"] for move in first["moves"]] == ["carry", "carry", "slide", "slide"]
    fifth = answer["steps"][4]
    assert (fifth["round"], fifth["row"]) == (3, 1)
    assert [move["bead"] for move in fifth["moves"]] == ["a", "a", None, None]


def test_marks_are_due_after_their_cross(call: Any) -> None:
    """The core goes down after the third row; the wire comes out before the plain crosses."""
    steps = call("steps", "silver-eaves", "--json").json["steps"]
    due = {step["cross"]: [mark["do"] for mark in step["marks"]] for step in steps}
    assert {cross: do for cross, do in due.items() if do} == {
        16: ["Core down"],
        64: ["Upper clip off"],
        68: ["Wire out"],
    }
    assert all(mark["caution"] for step in steps for mark in step["marks"])


@pytest.mark.parametrize("name", ["silver-eaves", "cistern", "gutter-pearl", "second-drop"])
def test_walking_the_moves_brings_in_every_bead(call: Any, name: str) -> None:
    """Each move starts where its strand lies, and the beads in order are the pattern's loads."""
    answer = call("steps", name, "--json").json
    lies = {strand: strand for strand in range(1, answer["strands"] + 1)}
    brought = dict.fromkeys(lies, "")
    for step in answer["steps"]:
        for move in step["moves"]:
            assert lies[move["strand"]] == move["from"]
        for move in step["moves"]:
            lies[move["strand"]] = move["to"]
            brought[move["strand"]] += move["bead"] or ""
        assert sorted(lies.values()) == list(range(1, answer["strands"] + 1))
    beads = {p["name"]: p["beads"] for p in call("list", "--json").json["patterns"]}
    assert sum(map(len, brought.values())) == beads[name]


def test_the_sheet_says_moves_beads_and_marks_in_words(call: Any) -> None:
    """Places are named as the structure's file names them; marks stand below their cross."""
    said = call("steps", "silver-eaves")
    structure = read_document(shipped_folder() / "structures" / "kongo-8.toml", Structure)
    assert said.status == 0
    assert said.err == ""
    assert f"{structure.places[1]}, over to {structure.places[4]}" in said.out
    lines = said.out.splitlines()
    at = next(n for n, text in enumerate(lines) if text.split()[:2] == ["16", "3"])
    assert ">> Core down" in lines[at + 1]
    assert max(map(len, lines)) <= 80


def test_sides_that_differ_are_told_apart_by_place(call: Any) -> None:
    """Where the two strands bring in different beads, the place stands beside each."""
    lines = [text.strip() for text in call("steps", "stair-rope").out.splitlines()]
    at = next(n for n, text in enumerate(lines) if text.endswith("s  top, right of the two"))
    assert lines[at + 1] == "g  bottom, left of the two"


def test_size_and_colourway_are_taken(call: Any) -> None:
    """A size may have another core, and so other marks; the names stand in the answer."""
    answer = call("steps", "silver-eaves", "--size", "small", "--colourway", "dusk", "--json").json
    assert (answer["size"], answer["colourway"]) == ("small", "dusk")
    down = [s["cross"] for s in answer["steps"] for m in s["marks"] if m["do"] == "Core down"]
    assert down == [28]
