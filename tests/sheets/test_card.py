"""A customer's card: where its pieces lie, what is drawn of them, what is said."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from bench.answers.card import CardAnswer
from bench.cli import main
from bench.commands import card as command
from bench.session import Session
from bench.sheets.card_html import card_html
from bench.sheets.card_layout import FOOT, HEAD, HIGH, WIDE, pages
from bench.sheets.card_svg import card_drawing

SVG = "{http://www.w3.org/2000/svg}"


def card(tmp_path: Path, pattern: str, *words: str) -> CardAnswer:
    """The card of a shipped pattern."""
    import argparse

    parser = argparse.ArgumentParser()
    command.arguments(parser)
    return command.answer(parser.parse_args([pattern, *words]), Session(tmp_path))


@pytest.fixture(scope="module")
def silver(tmp_path_factory: pytest.TempPathFactory) -> CardAnswer:
    """The card of a pattern with two sizes and three colourways."""
    return card(tmp_path_factory.mktemp("card"), "silver-eaves", "--price", "own=48,small=32.5")


def test_every_size_stands_in_every_colourway(silver: CardAnswer) -> None:
    """Own size and colours first; a size's price and figures stand with it."""
    assert [(one.size, one.colourway) for one in silver.pieces] == [
        (size, colourway) for size in (None, "small") for colourway in (None, "dusk", "moss")
    ]
    assert [one.price for one in silver.pieces] == [48.0] * 3 + [32.5] * 3
    assert {one.beads_in_all for one in silver.pieces} == {128}
    assert silver.pieces[0].looks[0].colour != silver.pieces[1].looks[0].colour


def test_nothing_on_a_page_lies_over_anything_else(silver: CardAnswer) -> None:
    """However many pieces, each page holds them apart and inside its edges."""
    for card_ in (silver, replace(silver, pieces=silver.pieces * 7)):
        count = 0
        for page in pages(card_):
            boxes = [
                (one.left, one.left + one.slot.wide, one.top, one.words_top + one.slot.words_high)
                for one in page
            ]
            count += len(boxes)
            for at, (left, right, top, bottom) in enumerate(boxes):
                assert 0 <= left < right <= WIDE
                assert HEAD <= top < bottom <= HIGH - FOOT
                for other in boxes[at + 1 :]:
                    apart = other[0] >= right or other[1] <= left or other[2] >= bottom
                    assert apart or other[3] <= top
        assert count == len(card_.pieces)


def test_every_bead_is_drawn_as_large_as_it_is(silver: CardAnswer) -> None:
    """A unit of the drawing is a millimetre; each bead's outer edge is its diameter."""
    root = ET.fromstring(card_drawing(silver))
    assert root.get("width") == f"{WIDE:g}mm"
    assert (root.get("viewBox") or "").split()[2] == f"{WIDE:g}"
    drawn = sorted(
        round(2 * float(circle.get("r", 0)) + float(circle.get("stroke-width", 0)), 2)
        for circle in root.iter(f"{SVG}circle")
        if circle.get("stroke")
    )
    wanted = [bead.diameter_mm for one in silver.pieces for bead in one.beads]
    wanted += [look.diameter_mm for one in silver.pieces for look in one.looks]
    assert drawn == pytest.approx(sorted(wanted), abs=0.01)


def test_a_long_rope_is_drawn_in_part_and_says_so(tmp_path: Path) -> None:
    """What does not fit a page is left out by whole beads; the length is that of the rope."""
    rope = card(tmp_path, "stair-rope")
    (page,) = pages(rope)
    slot = page[0].slot
    assert slot.cut
    assert 140 < slot.high < HIGH
    assert "the first" in card_drawing(rope)
    assert "1.02 to 1.17 m long" in card_drawing(rope)


def test_what_is_not_drawn_has_no_size_to_check(tmp_path: Path) -> None:
    """Without known columns a card has words alone, and says why."""
    cord = card_drawing(card(tmp_path, "landing-cord"))
    assert "not drawn: how its beads lie" in cord
    assert "Print at 100 %" not in cord
    assert "<circle" not in cord


def test_only_what_is_wished_is_said_and_texts_are_escaped(tmp_path: Path) -> None:
    """Without figures only names and prices stand; a title cannot bring markup in."""
    bare = card(tmp_path, "silver-eaves", "--figures", "", "--colourways", "dusk")
    page = card_html(replace(bare, title="<script>alert(1)</script>"))
    assert "&lt;script&gt;" in page
    assert "<script" not in page
    assert "mm long<" not in page
    assert "plum" not in page
    assert ">small, dusk<" in page
    assert "as designed" not in page


def test_the_terminal_shows_them_beside_each_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At 80 columns no line is longer; what is said stands below its braid."""
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["card", "silver-eaves", "--home", str(tmp_path), "--price", "48"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert max(map(len, said)) <= 79
    names = next(line for line in said if line.startswith("as designed"))
    assert names.split("  ")[0] == "as designed"
    assert "dusk" in names
    assert "moss" in names
    assert sum(line.count("48.00 EUR") for line in said) == 6
    assert main(["card", "landing-cord", "--home", str(tmp_path)]) == 0
    assert "no columns known" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--sizes", "huge"], "the pattern has no size 'huge'; known: own, small"),
        (["--colourways", ","], "--colourways names at least one of: own, dusk, moss"),
        (["--figures", "secrets"], "--figures knows length, thickness, weight, beads, colours"),
        (["--price", "cheap"], "--price takes a number not below zero"),
        (["--price", "large=3"], "the card has no size 'large'; it has own, small"),
        (["--svg", "card.html"], "choose another name"),
    ],
)
def test_a_wrong_wish_is_one_sentence(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    words: list[str],
    says: str,
) -> None:
    """Status 1, and what there is to choose from."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "card.html").write_text("mine")
    assert main(["card", "silver-eaves", *words, "--home", str(tmp_path)]) == 1
    assert says in capsys.readouterr().err


def test_a_bead_that_a_colourway_leaves_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The customer would see it in the old colour."""
    text = (Path(command.__file__).parents[2] / "patterns" / "silver-eaves.toml").read_text()
    lines = [line for line in text.splitlines() if '"plum"' not in line]
    (tmp_path / "half.toml").write_text("\n".join(lines))
    assert main(["card", str(tmp_path / "half.toml"), "--home", str(tmp_path)]) == 0
    assert "the colourway dusk leaves bead a as designed" in capsys.readouterr().err
