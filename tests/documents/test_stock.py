"""The maker's stock: read from TOML or CSV, one clear message for what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.craft.pattern import Bead
from bench.documents.errors import DocumentError
from bench.documents.stock import bead_g, grams_of, read_stock

TOML = """
format = 1
currency = "GBP"
[[beads]]
size = "15/0"
name = "rain grey"
lot = "D41"
tubes = 2
tube_g = 8.2
grams = 1.6
price = 3.2
[[beads]]
size = "8/0"
name = "Ground"
colour = "#738a97"
grams = 40
weighed_beads = 20
weighed_g = 0.56
[[threads]]
name = "gel-spun 0.13 mm"
spools = 1
spool_m = 100
metres = 12
"""


def kept(tmp_path: Path, name: str, text: str) -> Path:
    """A stock file in a data folder."""
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_no_stock_is_an_empty_shelf(tmp_path: Path) -> None:
    """Without a file there is nothing, and nothing is wrong."""
    shelf = read_stock(tmp_path)
    assert shelf.file is None
    assert shelf.stock.beads == ()
    assert shelf.warnings == ()


def test_amounts_are_tubes_and_loose_beads(tmp_path: Path) -> None:
    """Two tubes of 8.2 g and 1.6 g loose are 18 g; without a tube's weight the usual one."""
    kept(tmp_path, "stock.toml", TOML)
    shelf = read_stock(tmp_path)
    grey, ground = shelf.stock.beads
    assert grams_of(grey, 10) == pytest.approx(18)
    assert grams_of(ground, 10) == pytest.approx(40)
    assert bead_g(ground, 1.0) == pytest.approx(0.028)
    assert bead_g(grey, 0.004) == pytest.approx(0.004)
    (weighing,) = shelf.weighed(0.01)
    assert (weighing.beads, weighing.grams, weighing.resolution_g) == (20, 0.56, 0.01)


def test_beads_match_by_name_then_by_colour(tmp_path: Path) -> None:
    """Names are told apart without regard to capitals; where none fits, the colour counts."""
    kept(tmp_path, "stock.toml", TOML)
    stock = read_stock(tmp_path).stock
    assert len(stock.matching(Bead(size="15/0", name="Rain Grey"))) == 1
    assert len(stock.matching(Bead(size="8/0", name="else", colour="#738A97"))) == 1
    assert stock.matching(Bead(size="11/0", name="rain grey")) == ()


def test_csv_says_the_same(tmp_path: Path) -> None:
    """A table of beads reads as the TOML's beads do."""
    kept(
        tmp_path,
        "stock.csv",
        "size,name,lot,tubes,tube_g,grams,price\n15/0,rain grey,D41,2,8.2,1.6,3.2\n\n"
        "8/0,Ground,,,,40,\n",
    )
    grey, ground = read_stock(tmp_path).stock.beads
    assert (grey.lot, grey.price) == ("D41", 3.2)
    assert grams_of(grey, 10) == pytest.approx(18)
    assert grams_of(ground, 10) == pytest.approx(40)


def test_beads_in_no_table_are_named_once(tmp_path: Path) -> None:
    """Unknown sizes without a count get one warning that names them; the rest is read."""
    kept(
        tmp_path,
        "stock.toml",
        TOML + '[[beads]]\nsize = "9/0"\nname = "odd"\ngrams = 5\n'
        '[[beads]]\nsize = "7/0"\nname = "counted"\ngrams = 5\nper_10_g = 200\n',
    )
    shelf = read_stock(tmp_path)
    (warning,) = shelf.warnings
    assert "9/0 round 'odd'" in warning
    assert "7/0" not in warning
    assert "per_10_g" in warning
    assert len(shelf.stock.beads) == 4


@pytest.mark.parametrize(
    ("name", "text", "line", "said"),
    [
        ("stock.toml", TOML.replace("tubes = 2", "tubes = -2"), 8, "tubes"),
        ("stock.toml", TOML.replace("tubes = 2", "tubs = 2"), 8, "tubs"),
        ("stock.toml", TOML.replace("weighed_g = 0.56", ""), 17, "belong together"),
        ("stock.toml", "format = 2", 1, "format"),
        ("stock.csv", "size;name\n15/0;grey\n", 1, "semicolons"),
        ("stock.csv", "size,name,hue\n15/0,grey,blue\n", 1, "'hue'"),
        ("stock.csv", "name,grams\ngrey,5\n", 1, "'size' is missing"),
        ("stock.csv", "size,name,grams\n15/0,grey,1,5\n", 2, "1.5, not 1,5"),
        ("stock.csv", "size,name,grams\n15/0,grey,much\n", 2, "'much'"),
        ("stock.csv", "size,name,grams\n15/0,grey,-4\n", 2, "'-4'"),
        ("stock.csv", 'size,name\n15/0,"grey\n', 2, "CSV"),
        ("stock.csv", "size,name\n15/0,gr\x1b[2Jey\n", 2, "U+001B"),
    ],
)
def test_mistakes_are_named_with_file_and_line(
    tmp_path: Path, name: str, text: str, line: int, said: str
) -> None:
    """One sentence with file, line and what is wrong; control characters do not get through."""
    kept(tmp_path, name, text)
    with pytest.raises(DocumentError) as error:
        read_stock(tmp_path)
    assert name in str(error.value)
    assert error.value.line == line
    assert said in str(error.value)
    assert "\x1b" not in str(error.value)


def test_a_file_asked_for_must_be_there(tmp_path: Path) -> None:
    """A stock named on the command line and missing is an error, not an empty shelf."""
    with pytest.raises(DocumentError, match="no such file"):
        read_stock(tmp_path, tmp_path / "mine.toml")
