from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest


def settings(call: Any, text: str) -> None:
    """Write the maker's settings."""
    call.home.mkdir(parents=True, exist_ok=True)
    (call.home / "settings.toml").write_text(f"format = 1\n{text}", encoding="utf-8")


def test_every_bead_has_a_place(call: Any) -> None:
    """A drop's 128 beads lie in six columns, within the length, thickest where said."""
    answer = call("picture", "silver-eaves", "--json").json
    assert answer["columns"] == 6
    assert len(answer["beads"]) == 128
    assert {bead["column"] for bead in answer["beads"]} == set(range(6))
    assert all(0 < bead["height_mm"] < answer["length_mm"] for bead in answer["beads"])
    widest = max(2 * bead["radius_mm"] + bead["diameter_mm"] for bead in answer["beads"])
    assert widest == pytest.approx(answer["diameter_mm"], abs=0.01)
    keys = {"cross", "strand", "bead", "column", "height_mm", "radius_mm"}
    assert keys <= answer["beads"][0].keys()


def test_it_is_called_a_prediction(call: Any) -> None:
    """Text, JSON and drawing say that it is predicted and that the hand is not confirmed."""
    said = call("picture", "silver-eaves", "--svg", "braid.svg")
    drawn = Path("braid.svg").read_text(encoding="utf-8")
    for text in (said.out, drawn):
        assert "predicted" in text
        assert "hand of the turn is not confirmed" in text


def test_the_swell_is_seen_within_80_columns(call: Any) -> None:
    """Without colour the letters stand, every line fits, and the belly is wider than the ends."""
    said = call("picture", "silver-eaves")
    lines = said.out.splitlines()
    assert "\x1b" not in said.out
    assert max(map(len, lines)) <= 80
    side = [text[36:].strip() for text in lines if re.match(r" {1,6}\d+ ", text)]
    widths = {n: len(text) for n, text in enumerate(side)}
    assert max(widths.values()) >= 2 * widths[0]
    assert all(letter in "".join(side) for letter in "abcd")


def test_a_strand_rises_to_the_left_in_clockwise_work(call: Any) -> None:
    """From outside, a strand of clockwise work slopes as the middle of an S (ISO 2:1973)."""
    answer = call("picture", "silver-eaves", "--json").json
    own = [bead for bead in answer["beads"] if bead["strand"] == 2]
    for before, after in pairwise(own):
        assert after["height_mm"] > before["height_mm"]
        # One column clockwise from above is one to the left for a viewer outside.
        assert (after["column"] - before["column"]) % 6 == 1


def test_the_hand_can_be_turned_over(call: Any) -> None:
    """With flip_hand every column and direction is mirrored, and the picture says so."""
    plain = call("picture", "silver-eaves", "--json").json
    settings(call, "[thumb]\nflip_hand = true\n")
    turned = call("picture", "silver-eaves", "--json").json
    for before, after in zip(plain["beads"], turned["beads"], strict=True):
        assert after["column"] == -before["column"] % 6
        assert after["angle_deg"] == pytest.approx(-before["angle_deg"] % 360, abs=0.02)
        assert after["height_mm"] == before["height_mm"]
    assert any("turned over" in sentence for sentence in turned["says"])


def test_a_measured_turn_makes_the_columns_lean(call: Any) -> None:
    """Two degrees less a cross lean a column by two degrees a cross, heights as before."""
    plain = call("picture", "silver-eaves", "--json").json
    settings(call, "[thumb]\nmeasured_turn_deg = 28\n")
    leaning = call("picture", "silver-eaves", "--json").json
    for before, after in zip(plain["beads"], leaning["beads"], strict=True):
        lean = (after["angle_deg"] - before["angle_deg"]) % 360
        assert lean == pytest.approx(2 * (before["cross"] - 1) % 360, abs=0.02)
        assert after["height_mm"] == before["height_mm"]


def test_the_drawing_is_xml_with_every_letter(call: Any) -> None:
    """The SVG can be read, and each bead of the unrolled columns has its letter."""
    call("picture", "silver-eaves", "--svg", "braid.svg")
    root = ET.parse("braid.svg").getroot()
    spot = "{http://www.w3.org/2000/svg}"
    letters = [t.text for t in root.iter(f"{spot}text") if t.text in {"a", "b", "c", "d"}]
    assert len(letters) >= 128
    assert len(list(root.iter(f"{spot}circle"))) == 2 * 128 + 4


def test_text_of_a_file_is_never_drawn_as_markup(call: Any) -> None:
    """Brackets and angle brackets in a title come out as they were written."""
    pattern = call.home / "patterns" / "odd.toml"
    pattern.parent.mkdir(parents=True)
    base = Path(call("where", "--json").json["shipped"]["path"]) / "silver-eaves.toml"
    text = base.read_text(encoding="utf-8")
    pattern.write_text(text.replace('"Silver Eaves"', '"[red]<b>&[/"'), encoding="utf-8")
    said = call("picture", "odd", "--svg", "odd.svg")
    assert said.out.splitlines()[0] == "[red]<b>&[/"
    titles = [t.text or "" for t in ET.parse("odd.svg").iter("{http://www.w3.org/2000/svg}title")]
    assert titles[0].startswith("[red]<b>&[/")


def test_without_columns_nothing_is_made_up(call: Any) -> None:
    """A plain cord has no lattice: null, no beads, and what the length rests on is said."""
    answer = call("picture", "landing-cord", "--json").json
    assert (answer["columns"], answer["beads"], answer["hollow_mm"]) == (None, [], None)
    assert answer["says"] == [
        "no columns are known, so nothing is drawn",
        "length by a pitch of plain crosses 384 mm",
    ]
    assert answer["length_low_mm"] < answer["length_mm"] < answer["length_high_mm"]


def test_a_long_braid_is_folded(call: Any) -> None:
    """A rope of a metre prints its two ends and says what was left out."""
    lines = call("picture", "stair-rope").out.splitlines()
    assert len(lines) < 100
    assert sum("mm more" in text for text in lines) == 1


@pytest.mark.parametrize("target", ["folder", "there.toml", "none/braid.svg"])
def test_a_drawing_never_goes_over_something_else(call: Any, target: str) -> None:
    """A folder, a file of another kind or a missing folder: one sentence, status 1, no change."""
    Path("folder").mkdir()
    Path("there.toml").write_text("kept", encoding="utf-8")
    said = call("picture", "silver-eaves", "--svg", target)
    assert said.status == 1
    assert target in said.err
    assert said.err.count("\n") == 1
    assert Path("there.toml").read_text(encoding="utf-8") == "kept"
    assert not list(Path().glob(".*.part"))
