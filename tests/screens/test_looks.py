from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.color import Color

from bench.craft.stages import Stage
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.app import BenchApp
from bench.screens.bench.all_made import AllMade
from bench.screens.bench.away import Away
from bench.screens.bench.braiding_page import draw_bench
from bench.screens.bench.finding_place import draw_place
from bench.screens.bench.mark_due import MarkDue
from bench.screens.bench.paused import Paused
from bench.screens.bench.place_looks import PlaceLooks
from bench.screens.bench.stages import AfterBraiding
from bench.screens.bench.taking_back import draw_back
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import FootKey
from bench.screens.kit.help_page import draw_help
from bench.screens.kit.keys import Keys
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.view import View
from bench.screens.kit.words import row_words
from tests.support.clock import ManualClock

from .bench.a_bench import a_bench
from .conftest import Sit

Start = Callable[..., Braid]


@pytest.fixture
def start(tmp_path: Path, clock: ManualClock) -> Start:
    """Start a piece of a shipped pattern, with so many crosses made."""
    journal = Journal.open(tmp_path / "journal.db", write=True, clock=clock)

    def started(name: str, made: int = 0, stage: Stage = "braid") -> Braid:
        library = Library(tmp_path / "none")
        braid = Braid.start(
            journal, WorkedPattern.from_library(library, Settings(), name), stage=stage
        )
        braid.set_place(made)
        return braid

    return started


PER = {"per": ("by rows", "rows")}
BRAIDING = (
    *("next", "back", "slip", "per", "place", "mark", "point", "pause", "note", "help", "leave"),
)


BACK = ("next", "back", "slip", "place", "pause", "help", "leave")


def view(width: int, height: int, foot: Sequence[str] = BRAIDING) -> View:
    """A view with every line in use."""
    return View(
        width,
        height,
        Keys(Settings()),
        "hands-on 41 min",
        "ready about 15:50",
        "counted: left and right   c c",
        foot=tuple(FootKey(action, *PER.get(action, ())) for action in foot),
    )


SIZES = [(80, 24), (120, 40)]


@pytest.mark.parametrize("made", [1, 32, 69])
def test_every_moment_is_whole_at_60_by_20(start: Start, clock: ManualClock, made: int) -> None:
    """Away, taking back, the stages and the help are read to their ends; no key lies over them."""
    braid = start("silver-eaves", made)
    small = view(60, 20)
    away = Away(a_bench(braid)).page(small).as_text()
    assert "If it lies so, go on; if not, find your place first." in away
    braid.take_back()
    back = draw_back(braid, braid.plan.step(made), view(60, 20, BACK)).as_text()
    assert "anticlockwise" in back
    assert "SPACE counts it  " in back
    ends: tuple[tuple[Stage, str], ...] = (
        ("dry", "glues."),
        ("finish", "needle is left in a thread."),
    )
    for stage, last in ends:
        braid.go_to_stage(stage)
        shown = AfterBraiding(a_bench(braid, clock)).page(small).as_text()
        assert f" {last}\n" in shown
        assert "L leave" in shown
    keys = [("L", f"line {number} " + "word " * 12) for number in range(8)]
    help_ = draw_help(small, keys).as_text()
    assert all(f"line {number}" in help_ for number in range(8))
    assert "any key: back" in help_


@pytest.mark.parametrize("made", [1, 32, 69])
def test_no_word_lies_over_the_large_letters(start: Start, made: int) -> None:
    """At 60 columns what is brought in stands whole, PLAIN too; the row is said."""
    braid = start("silver-eaves", made)
    step = braid.plan.step(made + 1)
    shown = draw_bench(braid, view(60, 20)).as_text()
    letters = Canvas(30, HEIGHT)
    big(letters, 0, 0, "PLAIN" if step.row is None else "c", "bead")
    for line in letters.as_text().split("\n"):
        assert line in shown
    assert ", ".join(row_words(braid.plan, made + 1)) in shown


@pytest.mark.parametrize(("width", "height"), [*SIZES, (60, 20)])
def test_the_bench(start: Start, snapshot: SnapshotAssertion, width: int, height: int) -> None:
    """The bench shows call, bead, row, stand, braid, rows, what comes soon, mark and keys."""
    assert draw_bench(start("silver-eaves", 32), view(width, height)).as_text() == snapshot


@pytest.mark.parametrize(("name", "made"), [("stair-rope", 500), ("landing-cord", 33)])
def test_other_braids(start: Start, snapshot: SnapshotAssertion, name: str, made: int) -> None:
    """Two beads that differ are named by their sides; a long call is finished in words."""
    assert draw_bench(start(name, made), view(80, 24)).as_text() == snapshot


@pytest.mark.parametrize(("width", "height"), [*SIZES, (60, 20)])
@pytest.mark.parametrize("odd", [2, 4, 6, 8])
def test_every_side_is_named_where_one_strand_differs(
    tmp_path: Path, width: int, height: int, odd: int
) -> None:
    """With four strands a cross, an odd bead shows whichever side it is on, and no side is lost."""
    text = (
        Library(tmp_path).pattern_path("silver-eaves").read_text(encoding="utf-8")
        .split("[core]")[0]
        .replace("kongo-8", "hollow-8")
        .replace('all = "3a 3b 3c 3d 2c 1b 1a"', f'all = "8a"\n{odd} = "8b"')
    )  # fmt: skip
    path = tmp_path / "patterns" / "hollow.toml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    journal = Journal.open(tmp_path / "j.db", write=True)
    braid = Braid.start(
        journal, WorkedPattern.from_library(Library(tmp_path), Settings(), "hollow")
    )
    step = next(s for s in braid.plan if s.row and {m.bead for m in s.carried} == {"a", "b"})
    shown = draw_bench(braid, view(width, height), step.cross - 1).as_text()
    for move in step.carried:
        side = braid.structure.places[move.transfer.start - 1].split(",")[0].upper()
        assert shown.count(side) >= 1, (side, shown)
    assert "11/0" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_mark_and_taking_back(
    start: Start, snapshot: SnapshotAssertion, width: int, height: int
) -> None:
    """A mark takes the whole screen; taking back shows the reverse move in a double frame."""
    braid = start("silver-eaves", 16)
    assert MarkDue(a_bench(braid)).page(view(width, height)).as_text() == snapshot
    assert draw_back(braid, braid.plan.step(16), view(width, height, BACK)).as_text() == snapshot


def test_pause_away_and_the_end(start: Start, snapshot: SnapshotAssertion) -> None:
    """The quiet moments at 80 by 24: pause, return, away, and all crosses made."""
    braid = start("silver-eaves", 32)
    small = view(80, 24)
    assert Paused(a_bench(braid)).page(small).as_text() == snapshot
    assert Paused(a_bench(braid, paused_here=False)).page(small).as_text() == snapshot
    assert Away(a_bench(braid)).page(small).as_text() == snapshot
    assert AllMade(a_bench(start("silver-eaves", 72))).page(small).as_text() == snapshot


def test_finding_the_place(start: Start, snapshot: SnapshotAssertion) -> None:
    """Three looks at 80 by 24, and the place that was found."""
    looks = PlaceLooks(start("silver-eaves", 30))
    small = view(80, 24)
    assert draw_place(looks, small).as_text() == snapshot
    looks.press("9")
    looks.press("enter")
    assert draw_place(looks, small).as_text() == snapshot
    looks.press("1")
    assert draw_place(looks, small).as_text() == snapshot
    looks.press("8")
    looks.press("enter")
    assert draw_place(looks, small).as_text() == snapshot


def test_the_stages_after(start: Start, clock: ManualClock) -> None:
    """Drying says until when, and that the stand is taken; finishing says the passes."""

    def drawn_stage(stage: str) -> str:
        braid = start("silver-eaves", 72, stage)
        return AfterBraiding(a_bench(braid, clock)).page(view(80, 24)).as_text()

    dry = drawn_stage("dry")
    assert "dry until 13:30" in dry
    assert "the stand is taken" in dry
    assert "Glue: read its label first" in dry
    finish = drawn_stage("finish")
    assert "2 threads through, in 3 passes" in finish
    assert "Count needles out" in finish


async def test_the_list_and_a_card(sit: Sit, snapshot: SnapshotAssertion) -> None:
    """The first screen lists patterns and commissions; Enter shows a pattern's card."""
    async with sit() as sitting:
        while sitting.app.first.home.braid is None:
            await sitting.pilot.pause(0.02)
        assert sitting.shown == snapshot
        await sitting.pick("gutter-pearl")
        await sitting.press("enter")
        assert sitting.shown == snapshot


async def test_without_colour_everything_is_grey(
    home: Path, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With NO_COLOR set no cell of the bench has a colour, and the letters still say it all."""
    monkeypatch.setenv("NO_COLOR", "1")
    app = BenchApp(home, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        while not app.is_ready:
            await pilot.pause(0.01)
        await app.workers.wait_for_complete()
        await pilot.press("enter", "enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, BoardScreen)
        seen = 0
        for strip in screen._compositor.render_strips():
            for _, style, _ in strip.apply_filter(app._filters[0], Color(0, 0, 0)):
                if style is not None and style.color is not None:
                    red, green, blue = style.color.get_truecolor()
                    assert red == green == blue
                    seen += 1
        assert seen > 20


def test_foreign_text_cannot_steer_the_terminal() -> None:
    """Control characters and markup put on a canvas come out as plain characters."""
    canvas = Canvas(30, 1)
    canvas.text(0, 0, "\x1b[31m[bold]\x07‮x")
    assert canvas.as_text() == "?[31m[bold]??x"


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (60, 35), (120, 40)])
@pytest.mark.parametrize("name", ["silver-eaves", "gutter-pearl", "stair-rope", "landing-cord"])
def test_a_mark_is_shown_whole(start: Start, name: str, width: int, height: int) -> None:
    """No word of a mark's steps or caution is cut off or drawn over, whatever the size."""
    braid = start(name)
    for mark in braid.marks:
        braid.set_place(mark.after_cross)
        assert braid.mark_due == mark
        shown = MarkDue(a_bench(braid)).page(view(width, height)).as_text()
        braid.mark_done()
        read = " ".join(shown.replace("│", " ").split())
        for text in (*mark.steps, mark.caution):
            words = text.split()
            assert all(word in read for word in words), (mark.do, text, shown)
        assert "it is done" in read
        assert "take one back" in read or "BACKSPACE back" in read
