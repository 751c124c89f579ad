"""The preparation commands: JSON by their contract, one sentence for what is wrong."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bench.cli import main


def asked(capsys: pytest.CaptureFixture[str], home: Path, *words: str) -> dict[str, Any]:
    """The JSON of a command that succeeds."""
    assert main(["--home", str(home), *words, "--json"]) == 0
    value: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert value["format"] == 1
    return value


def refused(capsys: pytest.CaptureFixture[str], home: Path, *words: str) -> str:
    """The sentence of a command that fails, with status 1 and nothing on standard output."""
    assert main(["--home", str(home), *words]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    assert len(err.strip().splitlines()) == 1
    return err


def test_sheet_json(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Double lengths and strands as the contract has them."""
    sheet = asked(capsys, tmp_path, "sheet", "silver-eaves")
    assert [d["strands"] for d in sheet["double_lengths"]] == [[1, 6], [2, 5], [3, 8], [4, 7]]
    first = sheet["strands"][0]
    assert (first["strand"], first["place"], first["total"]) == (1, "top, left of the two", 16)
    assert [(g["bead"], g["count"]) for g in first["string"]][:2] == [("a", 3), ("b", 3)]
    assert sheet["warnings"] == []


def test_needs_json(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Beads, thread, cut, wire, needle and what is short, for a pattern and for a run."""
    one = asked(capsys, tmp_path, "needs", "silver-eaves", "--pieces", "2")
    assert {"bead", "size", "colour", "name", "count", "with_spare", "grams"} <= set(
        one["beads"][0]
    )
    assert (one["thread_m"], one["cut_mm"], one["wire_mm"]) == (10.0, 1250.0, 258.0)
    assert one["needle"].startswith("needle no. 12")
    assert one["short"] == []
    run = asked(capsys, tmp_path, "needs", "stair-window")
    assert run["pieces"] == 60
    assert run["warnings"] == []
    assert len(run["lots"]) == 6


def test_weights_json(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The rope on 8 × 100 g: about 400 g at the start, 320 g at the end, weight taken off."""
    found = asked(capsys, tmp_path, "weights", "stair-rope", "--tama", "100")
    assert found["start_g"] == pytest.approx(403, abs=2)
    assert found["end_g"] == pytest.approx(319, abs=2)
    assert len(found["hang_g"]) == 8
    hung = 0.0
    for change in found["schedule"]:
        hung += sum(change["add_g"]) - sum(change["take_off_g"])
        assert hung == pytest.approx(change["counterweight_g"])
    assert found["schedule"][-1]["counterweight_g"] < found["schedule"][0]["counterweight_g"]
    assert not any("angle" in key for key in found)  # with friction strands rest at many angles
    small = asked(capsys, tmp_path, "weights", "silver-eaves")
    assert len(small["schedule"]) == 1
    assert small["says"].startswith("no change is needed")


def test_weights_come_to_the_bench_as_marks(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The crosses at which `weights` changes the weight carry a mark in `steps`."""
    found = asked(capsys, tmp_path, "weights", "stair-rope")
    steps = asked(capsys, tmp_path, "steps", "stair-rope")["steps"]
    marked = {
        step["cross"]
        for step in steps
        for mark in step["marks"]
        if any("g in all" in words for words in mark["steps"])
    }
    assert marked == {change["cross"] for change in found["schedule"][1:]}
    assert marked


def test_the_point_is_answered_in_grams(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Too high asks for more, too low for less."""
    words = ("weights", "silver-eaves", "--after", "20", "--point")
    assert "add 15 g (on:" in asked(capsys, tmp_path, *words, "high")["point"]
    assert "take off 15 g (" in asked(capsys, tmp_path, *words, "low")["point"]


def test_core_json(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A ring of 15/0 takes nothing, each larger ring one size under it; the crosses of marks."""
    core = asked(capsys, tmp_path, "core", "silver-eaves")["core"]
    assert [ring["largest"] for ring in core["rings"]] == [None, "15/0", "11/0", "8/0"]
    assert core["planned"]["findings"] == []
    assert core["down_after_cross"] == 16
    assert core["out_after_cross"] == 68


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("weights", "silver-eaves", "--fraction", "0.8"), "0.2 to 0.7"),
        (("weights", "silver-eaves", "--fraction", "half"), "'half'"),
        (("weights", "silver-eaves", "--tama", "70,0,70,70,70,70,70,70"), "strand 2"),
        (("weights", "silver-eaves", "--tama=-70"), "strand 1"),
        (("weights", "silver-eaves", "--tama", "-70,70,70,70,70,70,70,70"), "strand 1"),
        (("weights", "silver-eaves", "--weights", "-5,10"), "not -5 g"),
        (("weights", "silver-eaves", "--tama", "70,70"), "2 tama are given for 8 strands"),
        (("weights", "silver-eaves", "--tama", "nan"), "strand 1"),
        (("weights", "silver-eaves", "--weights", ""), "empty"),
        (("weights", "silver-eaves", "--weights", "5,-10"), "-10"),
        (("weights", "silver-eaves", "--weights", "5,x"), "'x'"),
        (("needs", "silver-eaves", "--pieces", "0"), "found '0'"),
        (("needs", "silver-eaves", "--stock", "nowhere.toml"), "no such file"),
        (("needs", "stair-window", "--pieces", "3"), "a commission has its own"),
        (("needs", "nothing"), "no pattern or commission 'nothing'"),
        (("sheet", "silver-eaves", "--html", "/nowhere/at/all.html"), "all.html"),
    ],
)
def test_bad_input_gets_one_sentence(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    """Status 1, one line on standard error that names what was found."""
    assert said in refused(capsys, tmp_path, *words)


def test_a_fraction_out_of_the_usual_is_warned_about(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """0.3 is allowed, with a warning, and status 0."""
    found = asked(capsys, tmp_path, "weights", "silver-eaves", "--fraction", "0.3")
    assert "light" in found["warnings"][0]


def test_an_unknown_bead_size_asks_for_its_measures(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A size that is not in the table is refused with the four figures to give."""
    pattern = tmp_path / "own.toml"
    pattern.write_text(
        'format = 1\ntitle = "Own"\nstructure = "kongo-8"\n[threads]\ndiameter_mm = 0.13\n'
        '[beads.a]\nsize = "9/0"\n[loads]\nall = "3a"\n',
        encoding="utf-8",
    )
    err = refused(capsys, tmp_path, "sheet", str(pattern))
    for key in ("diameter_mm", "length_mm", "hole_mm", "per_10_g"):
        assert key in err


def test_the_page_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """--html writes the page; a file of another kind is not overwritten."""
    page = tmp_path / "sheet.html"
    asked(capsys, tmp_path, "sheet", "cistern", "--html", str(page))
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    other = tmp_path / "settings.toml"
    other.write_text("format = 1\n", encoding="utf-8")
    refused(capsys, tmp_path, "sheet", "cistern", "--html", str(other))
    assert other.read_text(encoding="utf-8") == "format = 1\n"


def test_a_dye_lot_that_ends_in_a_lot_is_warned_about(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The stock in the data folder is used, and its dye lots are followed."""
    (tmp_path / "stock.csv").write_text(
        "size,name,lot,grams\n15/0,rain grey,D41,1.0\n15/0,rain grey,D42,1.0\n", encoding="utf-8"
    )
    found = asked(capsys, tmp_path, "needs", "silver-eaves", "--pieces", "10")
    assert found["stock"] == "stock.csv"
    assert any("dye lot D4" in text and "of 10" in text for text in found["warnings"])
    assert found["short"]


@pytest.mark.parametrize("after", ["1.5", "-1", "77", "many"])
def test_crosses_made_are_a_number_of_the_piece(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, after: str
) -> None:
    """--after takes crosses that the piece has, and goes with --point."""
    words = ("weights", "silver-eaves", "--after")
    said = refused(capsys, tmp_path, *words, after, "--point", "high")
    assert f"from 0 to 72; found '{after}'" in said
    assert "goes with --point" in refused(capsys, tmp_path, *words, "20")
