"""Sketches outlast the program: what was drawn is there again, kept or thrown away as asked."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from bench.design.operations import Entitle, Paint
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.sketch import sketch_names
from bench.screens.drawing.draft import Draft, begun, opened, resumed
from tests.screens.conftest import Sit

from .at_the_board import AtTheBoard

DOT = Paint(strands=(3,), first=2, bead="b")


def test_what_is_only_looked_at_leaves_nothing(tmp_path: Path) -> None:
    """A copy that was not changed has no sketch; a changed one has, with its way back."""
    library = Library(tmp_path)
    draft = opened(library, "cistern", copy=True)
    draft.rest()
    assert sketch_names(tmp_path) == []
    draft = opened(library, "cistern", copy=True)
    before = draft.sheet
    draft.do(DOT)
    assert sketch_names(tmp_path) == ["cistern"]
    draft.rest()
    again = resumed(library, "cistern")
    assert again.sheet == draft.sheet
    assert again.text == draft.text
    again.undo()
    assert again.sheet == before
    again.rest()


def test_a_killed_program_loses_nothing(tmp_path: Path) -> None:
    """Every operation is in the log before the next key; a step back and forth is, too."""
    library = Library(tmp_path)
    draft = begun(library, "kongo-8")
    draft.do(DOT)
    draft.do(DOT.model_copy(update={"first": 5}))
    draft.undo()
    draft.redo()
    draft.undo()
    assert draft.log is not None
    assert draft.log.open_log is not None
    draft.log.open_log._lock.release()  # as the kernel does at death; nothing else is let go
    again = resumed(library, "new-pattern")
    assert again.sheet == draft.sheet
    again.redo()
    assert again.sheet.loads[2][4] == "b"


def test_a_sketch_goes_once_a_pattern_has_it(tmp_path: Path) -> None:
    """Kept, the log has the pattern's name and goes at rest; changed again it stays."""
    library = Library(tmp_path)
    draft = opened(library, "cistern", copy=True)
    draft.do(DOT)
    draft.keep_as("mine", tmp_path)
    assert sketch_names(tmp_path) == ["mine"]
    draft.rest()
    assert sketch_names(tmp_path) == []
    again = opened(library, "mine", copy=False)
    again.do(DOT.model_copy(update={"first": 7}))
    again.rest()
    once_more = opened(library, "mine", copy=False)
    assert once_more.sheet == again.sheet
    assert not once_more.is_kept
    once_more.keep()
    once_more.rest()
    assert sketch_names(tmp_path) == []
    assert Library(tmp_path).plan(tmp_path / "patterns" / "mine.toml").loads == again.sheet.loads


def test_a_sketch_that_another_program_works_on_is_told(tmp_path: Path) -> None:
    """It is not opened twice; a second new pattern gets a name of its own."""
    library = Library(tmp_path)
    first = begun(library, "kongo-8")
    first.do(DOT)
    with pytest.raises(DocumentError, match="another braid-bench works on this sketch"):
        resumed(library, "new-pattern")
    second = begun(library, "kongo-8")
    second.do(DOT)
    assert sketch_names(tmp_path) == ["new-pattern", "new-pattern-2"]


def test_what_cannot_be_written_is_told_and_written_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk under the log: the draft says so, goes on, and catches up once there is room."""
    library = Library(tmp_path)
    draft = opened(library, "cistern", copy=True)
    draft.do(DOT)

    def full(*given: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as disk:
        disk.setattr("bench.documents.sketch_log.os.write", full)
        draft.do(DOT.model_copy(update={"first": 3}))
        draft.do(DOT.model_copy(update={"first": 4}))
        assert "No space left on device" in draft.trouble
        assert "2 waiting" in draft.trouble
    draft.do(DOT.model_copy(update={"first": 5}))
    assert draft.trouble == ""
    draft.rest()
    assert resumed(library, "cistern").sheet == draft.sheet


async def test_a_sketch_stands_on_the_list_until_it_is_kept_or_thrown_away(
    sit: Sit, home: Path
) -> None:
    """Left unkept it is on the list; Enter goes on with it as it was; G twice throws it away."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c", "2", "w")
        sheet = at.drawing.sheet
        await at.press("escape")
        assert "SKETCHES, NOT KEPT AS PATTERNS YET" in sitting.shown
        home_list = sitting.app.first.home
        row = next(n for n, r in enumerate(home_list.rows) if r.kind == "sketch")
        home_list.picked = row
        await at.press("enter")
        assert at.drawing.sheet == sheet
        await at.press("u", "y", "escape")
        home_list.picked = row
        await at.press("g")
        assert "again throws Cistern away" in sitting.shown
        await at.press("g")
        assert sketch_names(home) == []
        assert "SKETCHES" not in sitting.shown


def test_a_title_in_other_letters_is_drawn_on_and_found_again(tmp_path: Path) -> None:
    """Of "Дождь" no file's name can be made: its sketch is called pattern, and is all there."""
    library = Library(tmp_path)
    draft = opened(library, "cistern", copy=True)
    draft.do(Entitle(title="Дождь"))
    draft.do(DOT)
    draft.undo()
    draft.redo()
    assert sketch_names(tmp_path) == ["pattern"]
    draft.rest()
    assert resumed(library, "pattern").sheet == draft.sheet


def kept_as_mine(library: Library) -> Draft:
    """A pattern of the maker's, on the board."""
    draft = opened(library, "cistern", copy=True)
    draft.keep_as("mine", library.home)
    return draft


def test_a_copy_does_not_take_the_place_of_the_pattern(tmp_path: Path) -> None:
    """A copy of one's own pattern is a sketch of another name; the pattern opens as its file."""
    library = Library(tmp_path)
    kept = kept_as_mine(library)
    copy = opened(library, "mine", copy=True)
    copy.do(Entitle(title="Mine"))
    copy.do(DOT)
    assert sketch_names(tmp_path) == ["mine-2"]
    copy.rest()
    (tmp_path / "sketches" / "mine-2.jsonl").rename(tmp_path / "sketches" / "mine.jsonl")
    again = opened(library, "mine", copy=False)
    assert again.is_kept
    assert (again.path, again.sheet.loads) == (kept.path, kept.sheet.loads)


async def test_the_sketch_stays_where_the_changed_file_cannot_be_taken(
    sit: Sit, home: Path
) -> None:
    """The file goes before it is taken: that is told, and what was drawn is still in its log."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        at = AtTheBoard(sitting)
        await at.press("c", "k")
        await at.type("Mine")
        file = home / "patterns" / "mine.toml"
        file.write_text(file.read_text("utf-8") + "# theirs\n", "utf-8")
        await at.press("2", "k")
        drawn = at.drawing.sheet
        file.unlink()
        await at.press("3")
        assert "mine" in at.drawing.said
        assert at.drawing.sheet == drawn
        await at.press("escape")
        assert sketch_names(home) == ["mine"]
        assert resumed(Library(home), "mine").sheet == drawn
