from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.away import Away
from bench.screens.bench.braiding import Braiding
from bench.screens.bench.mark_due import MarkDue
from bench.screens.bench.paused import Paused
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View
from tests.support.boards import library
from tests.support.clock import ManualClock

from .a_bench import a_bench

VIEW = View(80, 24, Keys(Settings()))


@pytest.fixture
def journal(tmp_path: Path) -> Journal:
    """A journal of its own."""
    return Journal.open(tmp_path / "journal.db", write=True)


def begun(journal: Journal, name: str, made: int) -> Braid:
    """A piece of a shipped pattern with so many crosses made and no mark due."""
    made_up = WorkedPattern.from_library(library(), Settings(), name)
    braid = Braid.start(journal, made_up)
    braid.set_place(made)
    while braid.mark_due is not None and braid.mark_due.after_cross < made:
        braid.mark_done()
    return braid


def test_a_rope_tells_its_length_wherever_one_comes_back_to_it(journal: Journal) -> None:
    """Half of the rows of one size are half of the length, made and to come, on every page."""
    braid = begun(journal, "stair-rope", 512)
    bench = a_bench(braid)
    half = "about 547 mm, 544 to come"
    assert half in MarkDue(bench).draw(VIEW).as_text()
    braid.mark_done()
    assert half in Braiding(bench).draw(VIEW).as_text()
    bench.mode = Braiding(bench)
    assert half in Away(bench).draw(VIEW).as_text()
    braid.pause()
    assert half in " ".join(Paused(bench).draw(VIEW).as_text().replace("│", " ").split())


def test_drift_is_told_at_a_halt_and_not_before(tmp_path: Path) -> None:
    """Hands that grow slower and uneven are told so where they stop anyway, with both figures."""
    clock, seed = ManualClock(), random.Random(5)
    with Journal.open(tmp_path / "drift.db", write=True, clock=clock) as journal:
        braid = begun(journal, "stair-rope", 0)
        while braid.made < 128:
            tired = braid.made >= 88
            clock.advance(math.exp(seed.gauss(math.log(12 if tired else 7), 0.6 if tired else 0.2)))
            if braid.mark_due is None:
                braid.cross()
            else:
                assert "less even" not in MarkDue(a_bench(braid)).draw(VIEW).as_text()
                braid.mark_done()
            if braid.mark_due is None:
                assert "less even" not in Braiding(a_bench(braid)).draw(VIEW).as_text()
        shown = MarkDue(a_bench(braid)).draw(VIEW).as_text()
    assert "slower and less even" in shown
    assert "(7 before)" in shown
    assert "CAUTION" in shown


def test_a_drop_does_not_tell_its_length(journal: Journal) -> None:
    """A piece without halts is short: its marks say enough."""
    assert "to come" not in Braiding(a_bench(begun(journal, "cistern", 20))).draw(VIEW).as_text()
