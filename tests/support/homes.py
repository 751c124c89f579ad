"""A maker's data folder with four pieces in the making, each at another stage, to do harm to."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from bench.craft.stages import Stage
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock

SETTINGS = "format = 1\n[press]\nguard_s = 0\nbell = false\n"
SHORT = """
format = 1
title = "Short One"
structure = "kongo-8"
plain_start = 2
plain_end = 2
[threads]
double_lengths = [[1, 6], [2, 5], [3, 8], [4, 7]]
strung = "each half from its own end"
name = "gel-spun 0.13 mm"
diameter_mm = 0.13
[beads.a]
size = "15/0"
colour = "#9fb8c8"
name = "rain grey"
[loads]
all = "3a"
[finish]
threads = 2
passes = 3
end_bead_hole_mm = 1.0
dry_minutes = 0
"""
PIECES = ("silver-eaves", "short-one", "cistern", "downpipe")
"""The pieces' patterns in the order of the list on the first screen; their lengths differ."""


def empty(folder: Path) -> Path:
    """A home without a journal, whose press guard is off, so that every key counts."""
    home = folder / "home"
    (home / "patterns").mkdir(parents=True)
    (home / "settings.toml").write_text(SETTINGS)
    (home / "patterns" / "short-one.toml").write_text(SHORT)
    return home


def furnished(folder: Path) -> Path:
    """A home with a piece half braided, one near its end, one being loaded, one to finish."""
    home = empty(folder)
    clock = ManualClock(wall=1_700_000_000)
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        begun: tuple[tuple[str, Stage], ...] = (
            ("downpipe", "finish"),
            ("cistern", "load"),
            ("short-one", "braid"),
            ("silver-eaves", "braid"),
        )
        downpipe, cistern, short, eaves = (
            Braid.start(journal, _worked(name), stage=stage) for name, stage in begun
        )
        for braid, crosses in ((short, short.plan.crosses - 3), (eaves, 30)):
            braid_on(braid, crosses, clock)
        for braid in (downpipe, cistern, short, eaves):
            clock.advance(60)
            braid.note("looked at")
    return home


@cache
def _worked(name: str) -> WorkedPattern:
    """A pattern of such a home, worked up once: it is the same in every one."""
    with TemporaryDirectory() as folder:
        return WorkedPattern.from_library(Library(empty(Path(folder))), Settings(), name)


def start(journal: Journal, home: Path, name: str, stage: Stage = "braid") -> Braid:
    """Start a piece of a pattern at a stage."""
    return Braid.start(
        journal,
        WorkedPattern.from_library(Library(home), Settings(), name, None, None),
        stage=stage,
    )


def braid_on(braid: Braid, crosses: int, clock: ManualClock) -> None:
    """Make crosses up to a count, and the marks that fall due."""
    while braid.made < crosses:
        clock.advance(15)
        if braid.mark_due is not None:
            braid.mark_done()
        else:
            braid.cross()
