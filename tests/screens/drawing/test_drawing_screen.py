"""The drawing board by its keys."""

from __future__ import annotations

import errno
import os
import re
import tomllib
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from bench.craft.pattern import Bead
from bench.design.board_operations import AddBead
from bench.design.operations import Paint
from bench.design.resizing import shaped
from bench.documents.library import Library
from bench.making.braid_so_far import BraidSoFar
from bench.screens.bench.screen import BenchScreen
from bench.screens.drawing.choosing import Choosing
from bench.screens.drawing.shape_page import ShapePage
from tests.screens.conftest import Sit, Sitting

from .at_the_board import AtTheBoard

SECOND = "2a 2b 2c 1d 2c 1b 2c 2d 1c 1b 1a"


async def test_a_pattern_is_copied_painted_taken_back_kept_and_braided(
    sit: Sit, home: Path
) -> None:
    """A shipped drop is copied, two beads are laid, one taken back, kept as TOML, and begun.

    It begins with its loading, and says that it is the sample; a second piece does not. The pattern
    changed and kept again leaves the piece that was begun as it is.
    """
    async with sit() as sitting:
        await sitting.pick("cistern")
        await sitting.press("c")
        at = AtTheBoard(sitting)
        await at.worked_out()
        assert "not kept yet" in sitting.shown
        before = at.drawing.sheet
        await at.press("2", "down", "3", "u")
        sheet, strand = at.drawing.sheet, at.drawing.cell.strand
        assert [n for n in range(1, 9) if sheet.loads[n - 1] != before.loads[n - 1]] == [strand]
        assert sheet.loads[strand - 1] == "b" + before.loads[strand - 1][1:]
        await at.press("k")
        await at.type("Cistern Two")
        assert "kept as cistern-two" in sitting.shown
        file = home / "patterns" / "cistern-two.toml"
        assert tomllib.loads(file.read_text("utf-8"))["title"] == "Cistern Two"
        assert Library(home).plan(file).loads == sheet.loads
        await at.press("up", "3", "u")
        assert "Taken back: paint" in sitting.shown
        await at.press("y", "p")
        assert "P again braids it all the same: on strand" in at.drawing.said
        await at.press("p")
        assert isinstance(sitting.app.screen, BenchScreen)
        assert sitting.shown.startswith(" CISTERN TWO  the sample")
        assert "begin with the first thread" in sitting.shown
        assert Library(home).plan(file).loads == sitting.app.screen.braid.plan.loads != sheet.loads
        begun = sitting.app.screen.braid
        await sitting.press("space", "space", "l")
        loads = begun.plan.loads
        await at.press("down", "4", "k")
        assert Library(home).plan(file).loads != loads
        assert BraidSoFar(begun.journal, begun.piece).plan.loads == loads
        await at.press("u", "k", "p")
        assert sitting.shown.startswith(" CISTERN TWO ")
        assert "sample" not in sitting.shown


async def test_second_drop_is_made_and_then_in_small(sit: Sit) -> None:
    """The load typed once for all, row 15 on six strands, then the same rows in small beads.

    136 beads, 76 crosses, f once in each column, a core of its own for the small size, and the
    question what f becomes there; in at most 90 key presses, the list's included.
    """
    async with sit() as sitting:
        await sitting.press("home")
        at = AtTheBoard(sitting)
        await at.press("down", "down", "down", "down", "c")
        await at.press("w", "w", "w", "w", "l")
        await at.type(SECOND)
        assert len(set(at.drawing.sheet.loads)) == 1
        await at.press("g")
        await at.type("15")
        await at.press("W")
        assert at.drawing.spread.name == "once in each column"
        await at.press("5")
        sheet, lies = at.drawing.sheet, at.drawing.map
        assert sheet.counts() == {"a": 24, "b": 32, "c": 50, "d": 24, "f": 6}
        assert sheet.plan().crosses == 76
        with_f = [n for n, load in enumerate(sheet.loads, 1) if "f" in load]
        assert with_f == [1, 2, 4, 5, 6, 8]
        cells = [at.drawing.cell._replace(strand=n) for n in with_f]
        assert sorted(lies.column(cell) or 0 for cell in cells) == [0, 1, 2, 3, 4, 5]
        await at.press("z", "1")
        await at.press("enter")
        small = at.drawing.sheet.pattern.sizes["small"]
        assert at.drawing.sheet.loads == sheet.loads
        assert small.core is not None
        assert small.core.beads
        assert "What does f (3.4 mm drop) become in small?" in sitting.shown
        assert at.presses <= 90


async def test_a_rope_is_made_to_length_with_dots_every_six_and_then_every_five(sit: Sit) -> None:
    """300 mm of beads with ten dots in one upright line; every five, each a column back.

    By the growth model as it is: 71 rows, 568 beads; in the lattice the dots are 24.0 mm apart.
    """
    async with sit() as sitting:
        at = AtTheBoard(sitting)
        await at.press("n", "l")
        await at.type("4b 9c 4b")
        await at.press("g")
        await at.type("6")
        await at.press("b", "down", "down", "down", "down", "down", "d")
        await at.type("300")
        assert set(at.drawing.sheet.loads) == {"bbbb" + "c" * 63 + "bbbb"}
        await at.press("b", "down", "down", "down", "down", "down", "d")
        await at.type("300 96")
        assert set(at.drawing.sheet.loads) == {"bbbb" + "c" * 69 + "bbbb"}
        await at.press("u")
        await at.press("w", "right", "right", "right", "g")
        await at.type("11")
        await at.press("c", "t")
        await at.type("#aa3355 wine")
        await at.press("1", "m", "tab", "tab", "tab", "up", "left", "left", "left", "left", "enter")
        sheet, lies = at.drawing.sheet, at.drawing.map
        dots = [row for row, x in enumerate(sheet.loads[6], 1) if sheet.beads[x].name == "wine"]
        assert dots == list(range(11, 66, 6))
        assert sum(sheet.counts().values()) == 568
        cell = at.drawing.cell
        assert len({lies.column(cell._replace(row=row)) for row in dots}) == 1
        await at.worked_out()
        worked = at.drawing.worked
        assert worked is not None
        assert worked.growth is not None
        assert worked.growth.lattice is not None
        wine = sheet.at(cell)
        heights = [spot.height_mm for spot in worked.growth.lattice.spots if spot.bead == wine]
        gaps = [above - below for below, above in pairwise(heights)]
        assert max(abs(gap - 24.0) for gap in gaps) < 0.05
        await at.press("m", "left", "enter")
        sheet = at.drawing.sheet
        dots = [row for row, x in enumerate(sheet.loads[6], 1) if sheet.beads[x].name == "wine"]
        assert dots == list(range(11, 67, 5))
        columns = [lies.column(cell._replace(row=row)) or 0 for row in dots]
        assert {(b - a) % 6 for a, b in pairwise(columns)} == {5}
        assert at.presses <= 150


async def braid_some(sitting: Sitting, at: AtTheBoard, title: str) -> tuple[str, ...]:
    """Keep what is on the board, braid three rows of it and go back; return the piece's loads."""
    await at.press("k")
    await at.type(title)
    await at.press("p")
    bench = sitting.app.screen
    assert isinstance(bench, BenchScreen)
    await sitting.press("m", "m", "m", "m")
    while bench.braid.made < 16:
        await sitting.press("m" if bench.braid.mark_due is not None else "space")
    await sitting.press("l", "l")
    return tuple(bench.braid.plan.loads)


async def test_a_pattern_and_its_mirror_twin_are_both_begun(sit: Sit) -> None:
    """The twin opens as a pattern of its own on the anticlockwise structure; both are braided."""
    async with sit() as sitting:
        await sitting.pick("gutter-pearl")
        await sitting.press("c")
        at = AtTheBoard(sitting)
        ours = at.drawing.sheet
        assert await braid_some(sitting, at, "Left Pearl") == ours.loads
        await at.press("x")
        assert "GUTTER PEARL, TWIN" in sitting.shown or "LEFT PEARL, TWIN" in sitting.shown
        twin = at.drawing.sheet
        assert twin.pattern.structure == "kongo-8-anticlockwise"
        assert await braid_some(sitting, at, "Right Pearl") == twin.loads
        await at.press("escape")
        assert at.drawing.draft.name == "left-pearl"


async def test_a_full_disk_is_told_large_and_the_board_goes_on(
    sit: Sit, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """NOT SAVED, with the reason; painting goes on, and once there is room it is kept."""

    def full(*given: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c", "2")
        with monkeypatch.context() as disk:
            disk.setattr("bench.documents.sketch_log.os.write", full)
            await at.press("1")
            assert "every change tries again" in sitting.shown
            await at.press("down", "1")
            assert "NOT SAVED: not saved (No space left on device)" in sitting.shown
            assert "every change tries again" not in sitting.shown
            await at.press("k")
            disk.setattr("bench.documents.writing.os.replace", full)
            await at.type("Full")
            assert "K tries again" in sitting.shown
            assert "No space left on device" in sitting.shown
            await at.press("down", "3")
            assert sitting.shown.startswith(" NOT SAVED: ")
            assert not (home / "patterns" / "full.toml").exists()
        await at.press("k")
        await at.type("Full")
        assert "kept as full" in sitting.shown
        assert Library(home).plan(home / "patterns" / "full.toml").loads == at.drawing.sheet.loads


async def test_a_file_that_another_program_changed_is_shown_beside_the_board(
    sit: Sit, home: Path
) -> None:
    """Both loads are shown and nothing is written; written over it only when that is asked for.

    Of one that has gone only the board's are there to be kept.
    """
    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c", "k")
        await at.type("Mine")
        file = home / "patterns" / "mine.toml"
        theirs = file.read_text("utf-8").replace("2a 2b 2c 4d 2c 1b", "3a 2b 2c 4d 2c 1b")
        file.write_text(theirs, "utf-8")
        await at.press("2", "k")
        assert "THE FILE WAS CHANGED BY ANOTHER PROGRAM" in sitting.shown
        assert "3a 2b 2c 4d 2c 1b" in sitting.shown
        assert file.read_text("utf-8") == theirs
        await at.press("escape")
        assert file.read_text("utf-8") == theirs
        await at.press("k")
        later = theirs.replace("3a 2b 2c 4d", "4a 2b 2c 4d")
        file.write_text(later, "utf-8")
        await at.press("2")
        assert "THE FILE WAS CHANGED" in sitting.shown
        assert "4a 2b 2c 4d 2c 1b" in sitting.shown
        assert file.read_text("utf-8") == later
        await at.press("2")
        assert "kept as mine" in sitting.shown
        assert Library(home).plan(file).loads == at.drawing.sheet.loads
        file.write_text(theirs, "utf-8")
        await at.press("3", "k", "3")
        assert at.drawing.sheet.loads == Library(home).plan(file).loads
        file.unlink()
        await at.press("2", "k")
        assert "THE FILE HAS GONE" in sitting.shown
        await at.press("3")
        assert "THE FILE HAS GONE" in sitting.shown
        assert not file.exists()
        await at.press("2")
        assert Library(home).plan(file).loads == at.drawing.sheet.loads


async def test_touch_goes_to_a_bead_and_lays_the_one_in_hand(sit: Sit) -> None:
    """A touched cell is gone to; with a bead in hand, taken from the palette, it is laid there."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c")
        zones = {zone.action: zone for zone in at.screen.board.canvas.zones}
        cell = zones["cell 7 5"]
        await sitting.pilot.click(offset=(cell.x, cell.y))
        assert (at.drawing.cell.strand, at.drawing.cell.row) == (7, 5)
        assert at.drawing.draft.history.done == ()
        bead = zones["2"]
        await sitting.pilot.click(offset=(bead.x, bead.y))
        other = zones["cell 1 3"]
        await sitting.pilot.click(offset=(other.x, other.y))
        sheet = at.drawing.sheet
        assert [
            sheet.at(at.drawing.cell._replace(strand=s, row=r)) for s, r in ((7, 5), (1, 3))
        ] == [
            "b",
            "b",
        ]
        assert len(at.drawing.draft.history.done) == 2


async def test_a_structure_without_columns_has_a_chart_and_chosen_strands(sit: Sit) -> None:
    """It is painted alike and says what it is; strands that were chosen are reached together."""
    async with sit() as sitting:
        at = AtTheBoard(sitting)
        await at.press("n", "n")
        mode = at.screen.mode
        assert isinstance(mode, Choosing)
        key = next(one.key for one in mode.choices if one.name.startswith("square-8"))
        await at.press(key)
        assert "a chart, not a picture" in sitting.shown
        await at.press("j")
        await at.type("2 5 7")
        await at.press("right", "3")
        loads = at.drawing.sheet.loads
        assert [n for n, load in enumerate(loads, 1) if load[0] == "c"] == [2, 5, 7]
        await at.press("a")
        assert "What looks alike is not known here" in sitting.shown
        await at.press("o", "enter")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "its thickness cannot be fitted" in sitting.shown


async def test_repeats_change_together(sit: Sit) -> None:
    """With = a bead that is laid in one repeat is laid in each of them, and taken back as one.

    On a large screen what a piece takes and comes to follows beside the rows.
    """
    async with sit(120, 40) as sitting:
        at = AtTheBoard(sitting)
        await at.press("n", "l")
        await at.type("4b 5(3c 1d) 4b")
        await at.press("w", "equals_sign", "g")
        await at.type("14")
        await at.press("4")
        strand = at.drawing.cell.strand
        assert at.drawing.sheet.loads[strand - 1] == "bbbb" + "cdcd" * 5 + "bbbb"
        assert "IN ALL 5 REPEATS of 4" in sitting.shown
        await at.worked_out()
        assert "a piece takes " in sitting.shown
        assert "no price: no hourly rate is set" in sitting.shown
        await at.press("u")
        assert len(set(at.drawing.sheet.loads)) == 1
        await at.press("equals_sign", "4")
        assert at.drawing.sheet.loads[strand - 1].count("d") == 6


async def test_what_is_doubtful_is_braided_when_the_key_comes_again(sit: Sit) -> None:
    """An unsound pattern, then a long one that was never measured: each is asked about once."""
    async with sit() as sitting:
        at = AtTheBoard(sitting)
        await at.press("n", "l")
        await at.type("4a 4d 4a")
        await at.press("p")
        await at.type("Step")
        assert "P again braids it all the same: on strand" in at.drawing.said
        await at.press("l")
        await at.type("60c")
        await at.press("p")
        assert "P again braids it all the same: 2" in at.drawing.said
        assert "F T: another)." in sitting.shown
        await at.press("p")
        assert isinstance(sitting.app.screen, BenchScreen)
        assert sitting.shown.startswith(" STEP  the sample")


async def test_a_run_says_what_the_stock_does_not_have(sit: Sit) -> None:
    """Without a stock the colours lie as they were wished; of those with such beads it is told."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c")
        await at.press("c", "r")
        await at.type("#112233 #445566 2")
        assert re.fullmatch(
            r"Laid as wished in part\. The stock has no 15/0 round with enough left for"
            r" #112233 \([0-9.]+ g\)\.",
            at.drawing.said,
        )
        laid = {at.drawing.sheet.beads[x].colour for x in at.drawing.sheet.counts()}
        assert laid == {"#112233", "#445566"}


async def test_letters_run_out_and_two_beads_are_made_one(sit: Sit) -> None:
    """The 27th bead is refused with what to do; the nearest of its size is offered, and taken."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c")
        for number in range(21):
            bead = Bead(size="15/0", colour=f"#{number:02x}4060", name=f"shade {number}")
            assert at.drawing.do(AddBead(bead=bead))
        assert len(at.drawing.letters) == 26
        strand = at.drawing.cell.strand
        for row, letter in enumerate(at.drawing.letters, 1):
            assert at.drawing.do(Paint(bead=letter, strands=(strand,), first=row))
        assert not at.drawing.do(AddBead(bead=Bead(size="6/0", colour="#000000", name="one more")))
        assert "all 26 letters are in use; merge two beads" in at.drawing.said
        at.drawing.row = 7
        here = at.drawing.sheet.at(at.drawing.cell)
        await at.press("e")
        await at.press("0")
        assert here not in at.drawing.sheet.beads
        assert len(at.drawing.letters) == 25
        await at.press("comma", "1")
        assert at.drawing.hand == at.drawing.letters[10]


async def test_a_kept_pattern_is_no_sketch_on_the_list(sit: Sit) -> None:
    """Left after it was kept, it stands under patterns alone; begun there it is the sample."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        await sitting.press("c")
        at = AtTheBoard(sitting)
        await at.worked_out()
        await at.press("2", "k")
        await at.type("Rill")
        await at.press("escape")
        assert "Rill" in sitting.shown
        assert "SKETCHES" not in sitting.shown
        await sitting.begin("rill", "loading")
        assert sitting.shown.startswith(" RILL  the sample")


async def test_the_shape_that_is_laid_is_the_one_that_is_shown(
    sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Proposals for figures that were changed meanwhile are dropped; those shown are laid.

    A figure is typed from its first digit on. And N lets the board go that all was taken back from:
    its sketch can be opened again.
    """
    async with sit() as sitting:
        at = AtTheBoard(sitting)
        await at.press("n", "2", "u")
        first = at.drawing.draft.log
        assert first is not None
        await at.press("n", "1")
        assert first.open_log is None
        await at.press("o")
        page = at.screen.mode
        assert isinstance(page, ShapePage)
        await at.press("down")
        await at.type("12")
        assert page.fields[1].shown == "12 mm"
        beside: list[tuple[Callable[[], object], Callable[[object], None]]] = []
        monkeypatch.setattr(at.screen, "beside", lambda *given: beside.append(given))
        page.press("enter", None)
        page.press("right", None)
        page.press("enter", None)
        (work_old, late), (work, done) = beside
        old, new = work_old(), work()
        assert isinstance(old, tuple)
        assert isinstance(new, tuple)
        assert old != new
        late(old)
        assert list(page.fits) == []
        assert page.working
        done(new)
        late(old)
        assert page.fits == new
        page.press("2", "2")
        page.press("enter", None)
        assert at.drawing.sheet == shaped(at.drawing.draft.history.done[-1][1], new[1])
