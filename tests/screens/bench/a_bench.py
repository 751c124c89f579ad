"""A bench without an app, for the pages of its modes."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

from bench.documents.settings import Settings
from bench.journal.clock import Clock
from bench.making.braid import Braid
from bench.making.worked_pattern import growth_of
from bench.screens.bench.braiding import Braiding
from bench.screens.bench.mode import Bench
from bench.screens.bench.rests import Rests
from bench.screens.kit.keys import Keys


def a_bench(braid: Braid, clock: Clock | None = None, *, paused_here: bool = True) -> Bench:
    """A bench at which a braid was just taken up, and paused if it is."""
    settings = Settings()
    companion = SimpleNamespace(
        settings=settings, keys=Keys(settings), clock=clock, looking_on="", rests=Rests()
    )
    held = SimpleNamespace(
        companion=companion,
        braid=braid,
        paused_here=paused_here,
        leaving=False,
        per="cross",
        counted_here=True,
        offers={},
        growth=growth_of(braid, settings),
        slip_left=None,
        close=lambda: None,
        said="",
        done="",
    )
    bench = cast(Bench, held)
    bench.mode = Braiding(bench)
    return bench
