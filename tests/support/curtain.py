"""A commission of 24 drops and a rope, as a file and as a home in the middle of the work."""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import tomllib
from pathlib import Path

from bench.cli import main
from bench.commission.book import keep, open_book
from bench.commission.changing import with_values
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

CURTAIN = """format = 1
title = "Curtain"
due = 2199-05-08
[[lots]]
name = "Plum"
pattern = "silver-eaves"
pieces = 8
price = 30.00
[[lots]]
name = "Eaves"
pattern = "silver-eaves"
pieces = 16
price = 30.00
[[lots]]
name = "Rope"
pattern = "stair-rope"
pieces = 1
price = 120.00
"""
STOCK = """format = 1
[[beads]]
size = "6/0"
name = "clear drop"
lot = "27"
grams = 30
per_10_g = 150
"""


def begun_curtain(home: Path) -> None:
    """A curtain of 24 drops and a rope, at prices; seven plum drops made; a begun dye lot."""
    (home / "commissions").mkdir()
    (home / "commissions" / "curtain.toml").write_text(CURTAIN, "utf-8")
    _begin(home)


def ordered_curtain(home: Path, due: dt.date) -> None:
    """The same, the order made by the program, and due on a day of a clock that tests move."""
    lots = tomllib.loads(CURTAIN)["lots"]
    for lot in lots:
        words = ["commission", "curtain", "--lot", lot["name"], "--home", str(home)]
        words += ["--new", "--title", "Curtain"] if lot is lots[0] else []
        for key in ("pattern", "pieces", "price"):
            words += [f"--{key}", str(lot[key])]
        with contextlib.redirect_stdout(io.StringIO()):
            assert main(words) == 0
    with Journal.open(home / "journal.db", write=True) as journal:
        book = open_book(Library(home), journal, "curtain")
        journal.append_many(keep(book, with_values(book.commission, due=due), dt.date.today()))
    _begin(home)


def _begin(home: Path) -> None:
    (home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")
    (home / "stock.toml").write_text(STOCK, "utf-8")
    made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
    with Journal.open(home / "journal.db", write=True) as journal:
        for _ in range(7):
            Braid.start(
                journal, made, stage="finish", commission="curtain", lot="Plum"
            ).finish("good")  # fmt: skip
