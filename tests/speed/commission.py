"""A commission of 500 pieces in 60 lots against one of 24 in six, in the same run.

`python -m tests.speed.commission [times] [answer to profile]`: from opening it to its first page,
to how it stands, and so again; to the order's page; the five keys from there to the offer, what is
worked out beside them left out; then each of its answers by itself, all in seconds of the
processor. Made are sixty simulated pieces and a fifth of each commission, loaded
from tubes and measured. Figures only mean something within one run.
"""

from __future__ import annotations

import asyncio
import cProfile
import datetime as dt
import pstats
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import cycle, groupby, islice, product
from pathlib import Path

from bench.commission.book import open_book
from bench.commission.needs import needs_of
from bench.commission.overview import read_overview
from bench.commission.pieces import read_pieces
from bench.commission.pricing import read_offer
from bench.commission.tags import tags_of
from bench.documents.library import Library
from bench.documents.settings import Settings, read_settings
from bench.journal.events import new_id
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeTaken
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.app import BenchApp
from bench.screens.lists.commission_screen import CommissionScreen
from bench.sheets.tags import tags_html
from bench.timing.pace_service import PaceService
from bench.timing.piece_records import loose_of, work_days
from tests.support.clock import ManualClock
from tests.support.demo_journal import make_pieces

SIZED = ("silver-eaves", "gutter-pearl", "downpipe")
KINDS = (
    *((name, *of) for name in SIZED for of in product(("", "small"), ("", "dusk", "moss"))),
    *((name, "", way) for name in ("second-drop", "cistern") for way in ("", "dusk")),
    ("stair-rope", "", ""),
)  # fmt: skip
ORDERS = {"small": (6, 24), "large": (60, 500)}
"""Lots and pieces of each."""
MADE = 0.2
"""The share of the pieces that is made."""


def furnish(home: Path, clock: ManualClock) -> None:
    """Lay out a data folder with both commissions, stock, and pieces that are made of them."""
    (home / "commissions").mkdir(parents=True)
    (home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")
    library = Library(home)
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        journal._hold.db.execute("PRAGMA synchronous = OFF")
        make_pieces(journal, clock, library, 60)
        for name, (lots, pieces) in ORDERS.items():
            _begin(home, journal, name, lots, pieces)
    (home / "stock.toml").write_text(_stock(library), "utf-8")


def _begin(home: Path, journal: Journal, name: str, lots: int, pieces: int) -> None:
    tubes: dict[tuple[str, str], str] = {}
    text = [f'format = 1\ntitle = "{name}"\ndue = 2199-05-08']
    for number, (pattern, size, way) in enumerate(islice(cycle(KINDS), lots)):
        count = pieces // lots + (number < pieces % lots)
        text.append(f'[[lots]]\nname = "Lot {number}"\npattern = "{pattern}"\npieces = {count}')
        text += [f'size = "{size}"'] if size else []
        text += [f'colourway = "{way}"'] if way else []
        made = WorkedPattern.from_library(
            Library(home), Settings(), pattern, size or None, way or None
        )
        for at in range(1, 1 + max(1, round(MADE * count))):
            braid = Braid.start(
                journal, made, stage="load", commission=name, lot=f"Lot {number}", number=at,
            )  # fmt: skip
            _load(braid, made, tubes)
            braid.finish("good")
            braid.measure({"length_mm": made.growth.length_mm}, sample=at == 1)
    (home / "commissions" / f"{name}.toml").write_text("\n".join(text) + "\n", "utf-8")


def _load(braid: Braid, made: WorkedPattern, tubes: dict[tuple[str, str], str]) -> None:
    """Load a piece run by run, each from the one tube of its bead, taken in with the first."""
    for strand, load in enumerate(made.plan.loads, 1):
        on = 0
        for letter, run in groupby(load):
            bead = made.pattern.beads[letter]
            if (bead.size, bead.name) not in tubes:
                tubes[bead.size, bead.name] = tube = new_id()
                taken = TubeTaken(
                    "beads", bead.name, 20_000, "2199-01-01", "bought", bead.size, bead.shape
                )
                braid.journal.append(taken, pieces=tube)
            on += len([*run])
            braid.load_to(strand, on, tubes[bead.size, bead.name])


def _stock(library: Library) -> str:
    """Two dye lots of every bead, with prices, and a spool of thread."""
    beads: dict[tuple[str, str, str], None] = {}
    for pattern, size, way in KINDS:
        plan = library.plan(library.pattern_path(pattern)).resolved(size or None, way or None)
        for bead in plan.pattern.beads.values():
            beads[bead.size, bead.name, bead.colour] = None
    text = ['format = 1\n[[threads]]\nname = "gel-spun 0.13 mm"\nspools = 4\nprice = 9.0']
    text += [
        f'[[beads]]\nsize = "{size}"\nname = "{name}"\ncolour = "{colour}"\nlot = "{lot}"'
        "\ntubes = 2\ntube_g = 10\nprice = 4.5\nper_10_g = 900"
        for size, name, colour in beads
        for lot in ("27", "31")
    ]
    return "\n".join(text) + "\n"


async def pages(home: Path, clock: ManualClock, name: str) -> dict[str, float]:
    """Open a commission by its key; seconds to its page, its figures, the order, the offer."""
    app = BenchApp(home, clock)
    found: dict[str, float] = {}
    async with app.run_test(size=(120, 40)) as pilot:
        while not app.is_ready:
            await pilot.pause(0.01)
        await app.workers.wait_for_complete()
        await pilot.pause()
        for again in ("", " again"):
            shown = asyncio.Event()
            start = time.process_time()
            app.show_commission(name)
            app.screen.call_after_refresh(shown.set)
            await shown.wait()
            found[f"page{again}"] = time.process_time() - start
            screen = app.screen
            assert isinstance(screen, CommissionScreen)
            while screen.figures.progress is None:
                assert not screen.figures.trouble, screen.figures.trouble
                await pilot.pause(0.01)
            found[f"figures{again}"] = time.process_time() - start
            if not again:
                await pilot.press("l")
        start = time.process_time()
        await pilot.press("6", "enter")
        found["order"] = time.process_time() - start
        await app.workers.wait_for_complete()
        start = time.thread_time()
        await pilot.press("escape", "7", "home", "enter", "enter")
        found["offer's keys"] = time.thread_time() - start
        await app.workers.wait_for_complete()
        await pilot.pause()
    return found


def answers(
    home: Path, clock: ManualClock, name: str
) -> Iterator[tuple[str, Callable[[], object]]]:
    """Each answer about a commission by its name, with what works it out."""
    library, settings, now = Library(home), read_settings(home)[0], clock.now()
    journal = Journal.open(home / "journal.db", write=False)
    pace = PaceService(home / "journal.db", library, keep=True)
    model = pace.fitted(journal, now.wall).model
    pace.finished.read_all(journal)
    pieces = list(pace.finished.pieces.values())
    book = open_book(library, journal, name)
    read = partial(
        read_overview, journal, library, settings, name, pieces, loose_of(pieces), model, now,
        work_days(pieces),
    )  # fmt: skip
    found = read()
    titles = {lot.pattern: lot.pattern for lot in book.commission.lots}
    of = read_pieces(journal, book)
    yield "forecast", read
    yield "needs", lambda: needs_of("all of it", found.needs, found.shelf, settings)
    yield (
        "offer",
        lambda: read_offer(journal, library, settings, book.commission, model, dt.date.today()),
    )
    yield "pieces", lambda: read_pieces(journal, book)
    yield "tags", lambda: tags_html(tags_of(book, of, titles, None, 60, 25))


def measure(times: int, profiled: str) -> None:
    """Measure and print, small and large by turns."""
    clock = ManualClock()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        furnish(home, clock)
        took: dict[str, dict[str, list[float]]] = {name: {} for name in ORDERS}
        for _ in range(times):
            for name in ORDERS:
                for what, seconds in asyncio.run(pages(home, clock, name)).items():
                    took[name].setdefault(what, []).append(seconds)
        for name in ORDERS:
            for what, work in answers(home, clock, name):
                for _ in range(times):
                    start = time.process_time()
                    work()
                    took[name].setdefault(what, []).append(time.process_time() - start)
                if (what, name) == (profiled, "large"):
                    profile = cProfile.Profile()
                    profile.runcall(work)
                    pstats.Stats(profile).sort_stats("cumulative").print_stats(45)
    for what in took["small"]:
        small, large = (1000 * statistics.median(took[name][what]) for name in ORDERS)
        print(f"{what:13} small {small:7.1f} ms   large {large:7.1f} ms   +{large - small:.1f}")


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 5, *sys.argv[2:3] or [""])
