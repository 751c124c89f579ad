"""The pattern on the board: kept, opened, typed and worked out it stays what it is."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bench.craft.pattern import Bead
from bench.craft.text import Fault
from bench.design.board_operations import AddBead, Cure, LayRepeat, StepSize, TakeCore
from bench.design.history import History
from bench.design.operation import Operation
from bench.design.operations import Paint, TypeLoad
from bench.design.palette import gaps
from bench.design.repeats import found_repeat, standing
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.pattern_writing import ChangedMeanwhileError
from bench.documents.settings import Settings
from bench.making.picture_answer import picture_of
from bench.making.worked_pattern import WorkedPattern
from bench.screens.drawing.colour_page import typed_wrong
from bench.screens.drawing.draft import Draft, begun, doubles_of, name_of, opened
from bench.screens.drawing.draft_log import file_of
from bench.screens.drawing.keeping import title_wrong
from bench.screens.drawing.new_bead import bead_of
from bench.screens.drawing.worked_out import load_in_words, work_out
from tests.support.boards import board, library, structure, with_loads

PAINT = st.builds(
    Paint,
    strands=st.lists(st.integers(1, 8), min_size=1, max_size=3).map(tuple),
    first=st.integers(1, 15),
    bead=st.sampled_from("abcd-"),
    spread=st.sampled_from(["one place", "opposite", "once in each column"]),
)


def draft_of(name: str, operations: list[Operation]) -> Draft:
    """A copy of a shipped pattern with operations done."""
    draft = opened(library(), name, copy=True)
    for operation in operations:
        try:
            draft.do(operation)
        except Fault:
            continue
    return draft


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A maker's folder that all examples write into, one file each time."""
    return tmp_path_factory.mktemp("home")


@settings(max_examples=20)
@given(st.lists(PAINT, max_size=5), st.sampled_from(["cistern", "gutter-pearl"]))
def test_the_picture_on_the_board_is_that_of_the_command(
    home: Path, operations: list[Operation], name: str
) -> None:
    """After any painting: bead for bead, cross, strand, column and height, as `picture` answers."""
    draft = draft_of(name, operations)
    assume(not draft.sheet.open_cells)
    draft.keep_as("painted", home)
    made = WorkedPattern.from_library(Library(home), Settings(), "painted")
    answer = picture_of(made, Settings())
    worked = work_out(draft.sheet, draft.shown(), None)
    assert worked.growth is not None
    assert worked.growth.lattice is not None
    seen = [(s.cross, s.strand, s.bead, s.column, round(s.height_mm, 3))
            for s in worked.growth.lattice.spots]  # fmt: skip
    assert seen == [(b.cross, b.strand, b.bead, b.column, b.height_mm) for b in answer.beads]
    assert answer.length_mm == round(worked.growth.length_mm, 1)
    file_of(home, "painted").unlink()


@settings(max_examples=20)
@given(st.lists(PAINT, max_size=5), st.integers(1, 8))
def test_typing_what_is_shown_changes_nothing(operations: list[Operation], strand: int) -> None:
    """The load of a strand as the board writes it, typed again, gives the same sheet."""
    draft = draft_of("gutter-pearl", operations)
    before = draft.sheet
    assume("?" not in before.loads[strand - 1])
    draft.do(TypeLoad(strand=strand, beads=load_in_words(before.loads[strand - 1])))
    assert draft.sheet == before


@settings(max_examples=20)
@given(st.lists(PAINT, max_size=5))
def test_kept_and_opened_again_it_is_the_same_sheet(
    home: Path, operations: list[Operation]
) -> None:
    """What is kept comes back from its file with the same cells and the same pattern."""
    draft = draft_of("silver-eaves", operations)
    assume(not draft.sheet.open_cells)
    draft.keep_as("kept", home)
    again = opened(Library(home), "kept", copy=False)
    assert draft.is_kept
    assert again.is_kept
    assert again.sheet.loads == draft.sheet.loads
    assert again.sheet.to_pattern() == draft.sheet.to_pattern()
    file_of(home, "kept").unlink()


def test_one_bead_more_changes_one_line_and_back_gives_the_same_bytes(tmp_path: Path) -> None:
    """Kept over its file: only that load's line differs; taken back and kept, not a byte does."""
    file = file_of(tmp_path, "mine")
    file.parent.mkdir(parents=True)
    source = library().pattern_path("second-drop").read_bytes().replace(b"\n", b"\r\n")
    file.write_bytes(b"\xef\xbb\xbf" + source.rstrip())
    before = file.read_bytes()
    draft = opened(Library(tmp_path), "mine", copy=False)
    draft.do(Paint(strands=(3,), first=1, bead="b"))
    draft.keep()
    lines = zip(before.split(b"\r\n"), file.read_bytes().split(b"\r\n"), strict=False)
    changed = [new for old, new in lines if old != new]
    assert changed[0] == b'3 = "1b 1a 2b 2c 1d 2c 1b 2c 2d 1c 1b 1a"'
    draft.undo()
    draft.keep()
    assert file.read_bytes() == before


def test_a_file_that_changed_or_went_is_never_written_over(tmp_path: Path) -> None:
    """Nothing is written then, and the sketch says that it is not kept."""
    draft = draft_of("cistern", [])
    draft.keep_as("mine", tmp_path)
    file = file_of(tmp_path, "mine")
    file.write_text(file.read_text("utf-8") + "# mine\n", "utf-8")
    theirs = file.read_bytes()
    draft.do(Paint(first=1, strands=(1,), bead="b"))
    with pytest.raises(ChangedMeanwhileError, match="changed by another program"):
        draft.keep()
    assert file.read_bytes() == theirs
    assert not draft.is_kept
    file.unlink()
    with pytest.raises(ChangedMeanwhileError, match="has gone"):
        draft.keep()
    file.write_bytes(theirs)
    other = draft_of("cistern", [])
    with pytest.raises(DocumentError, match="there is such a file already"):
        other.keep_as("mine", tmp_path)
    assert other.name == ""


def test_a_new_pattern_begins_on_any_structure_and_can_be_kept(tmp_path: Path) -> None:
    """Open cells on each shipped structure; with beads laid it is a pattern that is read again."""
    for entry in library().structures():
        draft = begun(library(), entry.name)
        with pytest.raises(Fault, match="still open"):
            draft.sheet.to_pattern()
        draft.do(TypeLoad(beads="4b 8c 4b"))
        draft.keep_as(f"on-{entry.name}"[:40], tmp_path)
        values = tomllib.loads(file_of(tmp_path, draft.name).read_text("utf-8"))
        assert values["loads"] == {"all": "4b 8c 4b"}
        assert Library(tmp_path).plan(file_of(tmp_path, draft.name)).loads == draft.sheet.loads
    eight = structure("kongo-8")
    assert set(doubles_of(eight)) == {(1, 6), (2, 5), (3, 8), (4, 7)}


def test_a_title_gives_a_name() -> None:
    """Small letters, digits and hyphens; a title of signs alone is told."""
    assert name_of("Silver Eaves, no. 2!") == "silver-eaves-no-2"
    with pytest.raises(Fault, match="needs a Latin letter"):
        name_of("!!!")


def test_a_bead_is_read_from_a_line() -> None:
    """Size, shape, colour and name; what the table does not have is told with what it has."""
    bead = bead_of("3.4 mm drop #bfe3ee ice drop", {})
    assert (bead.size, bead.shape, bead.name) == ("3.4 mm", "drop", "ice drop")
    assert bead_of("8/0 #9fb8c8", {}).shape == "round"
    named = bead_of("11/0 Dark Red brick dust", {})
    assert (named.colour, named.name) == ("#8b0000", "brick dust")
    own = bead_of("6/0 rondelle rain grey", {"rain grey": "#9fb8c8"})
    assert (own.shape, own.colour, own.name) == ("rondelle", "#9fb8c8", "rain grey")
    hidden = "8/0 #9fb8c8 rain \u202egrey"
    for wrong in ("8/0", "", "7/0 #9fb8c8 x", "8/0 murk", hidden, f"{'8' * 70} #9fb8c8", "1" * 500):
        with pytest.raises(Fault):
            bead_of(wrong, {})
    made = AddBead(bead=bead).on(board("cistern"), draft_of("cistern", []).desk)
    assert bead in made.beads.values()


def test_a_new_bead_becomes_in_each_size_what_its_like_becomes() -> None:
    """A teal 8/0 is in small what the own 8/0 is; a bead of no size there is asked for."""
    sheet, desk = board("silver-eaves"), draft_of("cistern", []).desk
    teal = Bead(size="8/0", colour="#008080", name="teal")
    made = AddBead(bead=teal).on(sheet, desk)
    letter = next(x for x, bead in made.beads.items() if bead == teal)
    own = next(x for x, bead in sheet.beads.items() if bead.size == "8/0")
    small = made.pattern.sizes["small"].beads
    assert small[letter] == small[own]
    assert "small" not in gaps(made, letter)
    drop = Bead(size="3.4 mm", shape="drop", colour="#008080", name="teal")
    made = AddBead(bead=drop).on(sheet, desk)
    letter = next(x for x, bead in made.beads.items() if bead == drop)
    assert "small" in gaps(made, letter)


def test_rows_step_by_one_size_of_the_palette() -> None:
    """15/0 becomes 11/0 where the palette has it, the largest stays, and down gives it back."""
    sheet = with_loads("abcd").with_pattern(colourways={}, sizes={})
    desk = draft_of("cistern", []).desk
    grown = StepSize(first=1, last=4, steps=1).on(sheet, desk)
    sizes = [grown.beads[x].size for x in grown.loads[0]]
    assert sizes == ["11/0", "8/0", "6/0", "6/0"]
    back = StepSize(first=1, last=3, steps=-1).on(grown, desk)
    assert [back.beads[x].size for x in back.loads[0][:3]] == ["15/0", "11/0", "8/0"]
    assert [back.beads[x].name for x in back.loads[0]] == [sheet.beads[x].name for x in "abcd"]
    with pytest.raises(Fault, match="no larger"):
        StepSize(first=4, steps=1).on(sheet, desk)


def test_a_repeat_is_laid_row_by_row_and_found_again() -> None:
    """Two rows over nine, the last one cut; the repeat that covers most is told with how often."""
    sheet = with_loads("a" * 9)
    desk = draft_of("cistern", []).desk
    cells = (0,) * 8 + (1,) * 8
    laid = LayRepeat(cells=cells, beads=("a", "b")).on(sheet, desk)
    assert set(laid.loads) == {"ababababa"}
    assert found_repeat(laid) == (1, 2, 4)
    assert standing(laid, 1, 2) == 4
    assert found_repeat(with_loads("abcd")) is None
    with pytest.raises(Fault, match="whole rows"):
        LayRepeat(cells=(0, 1), beads=("a", "b")).on(sheet, desk)


def test_cures_are_operations_and_leave_the_sheet_sound() -> None:
    """Every finding with a cure is gone once its cure is done, and undone it is back."""
    sheet = board("silver-eaves").with_pattern(core=None, plain_start=2, plain_end=7)
    history, desk = History(sheet), draft_of("cistern", []).desk
    for _ in range(4):
        found = work_out(history.sheet, history.sheet.pattern, None).findings
        curable = [finding for finding in found if finding.cure]
        if not curable:
            break
        history = history.do(Cure.of(curable[0].cure), desk)
    assert len(history.done) == 3
    assert work_out(history.sheet, history.sheet.pattern, None).findings == ()
    assert history.sheet.pattern.core is not None
    assert history.undo().undo().undo().sheet == sheet
    assert TakeCore(none=True).on(history.sheet, desk).pattern.core is None


def test_open_cells_count_as_no_bead() -> None:
    """What is open is left out of the figures; a sheet of open cells alone has none."""
    sheet = with_loads("ab??")
    worked = work_out(sheet, sheet.pattern, None)
    assert worked.beads == 16
    assert work_out(with_loads("??"), sheet.pattern, None).growth is None


def test_signs_that_cannot_be_seen_are_told_and_not_taken(tmp_path: Path) -> None:
    """A pasted change of direction in a colour's name or a title is told in a sentence."""
    assert "U+202E" in typed_wrong("#9fb8c8 rain \u202egrey", {})
    assert typed_wrong("#9fb8c8 rain grey", {}) == ""
    assert "U+202E" in title_wrong("Rain \u202eRope", tmp_path, None)
    assert title_wrong("Rain Rope", tmp_path, None) == ""


def test_a_file_that_had_to_be_written_anew_is_told(tmp_path: Path) -> None:
    """Where changes cannot be placed among the file's lines its comments go, and that is said."""
    draft = draft_of("cistern", [])
    assert draft.keep_as("mine", tmp_path) == ""
    draft.do(Paint(first=1, strands=(1,), bead="b"))
    inline = "# mine\nformat = 1\ntitle = 'x'\nstructure = 'kongo-8'\nbeads.a = {size = '8/0'}\n"
    draft.text = inline + "threads = {diameter_mm = 0.13}\n'loads' = {'all' = '4a'}\n"
    assert "written anew" in draft.keep()
    assert "# mine" not in file_of(tmp_path, "mine").read_text("utf-8")
    draft.do(Paint(first=2, strands=(1,), bead="b"))
    assert draft.keep() == ""
