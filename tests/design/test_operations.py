"""Operations as data, their history, and whole scenes at the board."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.beads import find
from bench.craft.growth import grow, sizes_of
from bench.craft.pattern import Bead, BeadInSize
from bench.craft.text import Fault
from bench.design import motifs
from bench.design.board_operations import AddBead, LayRepeat, StepSize, TakeCore, TakeThread
from bench.design.braid_map import braid_map
from bench.design.colour_run import LayRun
from bench.design.colours import alike_pairs, nearest, run_of_colours, turned
from bench.design.history import History, replayed
from bench.design.operation import Desk, Operation
from bench.design.operations import (
    ChangeBead,
    Entitle,
    LayMotif,
    Lengthen,
    Merge,
    Mirror,
    Paint,
    PaintColour,
    PaintSize,
    Recolour,
    Replace,
    Resize,
    Rows,
    Shape,
    TypeLoad,
    beaded_mm,
    read_operation,
)
from bench.design.palette import gaps
from bench.design.sheet import Cell, Sheet
from tests.support.boards import board, library, structure, with_loads

DESK = Desk(library().structure)
CHOICES = st.one_of(
    st.builds(
        Paint,
        strands=st.lists(st.integers(1, 8), max_size=3).map(tuple),
        first=st.integers(1, 20),
        bead=st.sampled_from("abcd-?"),
        spread=st.sampled_from(["one place", "opposite", "once in each column"]),
    ),
    st.builds(TypeLoad, strand=st.integers(1, 8), beads=st.sampled_from(["3a", "2(a 2b) 3-"])),
    st.builds(
        Rows,
        do=st.sampled_from(["insert", "take out", "copy", "repeat", "mirror", "move on"]),
        first=st.integers(1, 4),
        count=st.integers(1, 3),
    ),
    st.sampled_from(
        (
            LayMotif(motif="chevron", bead="b", climb=1, repeat=4),
            LayMotif(motif="stripe", bead="d", width=2, keep_sizes=True),
            LayRepeat(cells=(0, 1) * 4, beads=("a", "c")),
            LayRepeat(cells=(0, 1) * 4, beads=("b", "d"), keep_sizes=True),
            LayRun.model_validate({"run": [{"colour": "#112233"}, {"colour": "#aabbcc"}]}),
            Recolour(colourway="dawn", turn_deg=40, lighter=0.1),
            Resize(steps=-1, size="tiny"),
            Resize(steps=-1, proportions=True),
            Shape(length_mm=40, thickness=((0, 4), (0.5, 8), (1, 4)), sizes=("15/0", "8/0")),
            Lengthen(length_mm=80, first=2, last=3),
            Mirror(structure="kongo-8-anticlockwise"),
            Entitle(title="Another"),
            AddBead(bead=Bead(size="8/0", colour="#00ff00", name="moss")),
            StepSize(first=2, last=3, steps=1),
            ChangeBead(bead="b", finish="matt"),
            Replace(bead="c", by="d"),
            Merge(bead="a", into="b"),
            TakeCore(),
            TakeThread(name="cord", diameter_mm=0.5, tex=210),
            TakeCore(none=True),
        )
    ),
    st.builds(PaintColour, first=st.integers(1, 9), colour=st.sampled_from(["#112233", "#445566"])),
)


@given(st.lists(CHOICES, max_size=8))
def test_undo_gives_the_sheet_before_and_redo_the_one_after(operations: list[Operation]) -> None:
    """Whatever is done: taken back one by one every sheet is as it was, done again as it became."""
    history = History(board("cistern"))
    sheets = [history.sheet]
    for operation in operations:
        try:
            history = history.do(operation, DESK)
        except Fault:
            continue
        sheets.append(history.sheet)
    for before in reversed(sheets[:-1]):
        history = history.undo()
        assert history.sheet == before
    assert history.undo() == history
    for after in sheets[1:]:
        history = history.redo()
        assert history.sheet == after
    assert history.redo() == history


@given(st.lists(CHOICES, max_size=6))
def test_a_log_replayed_gives_the_same_sheet(operations: list[Operation]) -> None:
    """Each operation comes back from its line of JSON, and all of them make the same sheet."""
    history = History(board("cistern"))
    for operation in operations:
        try:
            history = history.do(operation, DESK)
        except Fault:
            continue
    read = [read_operation(line) for line in history.log]
    assert replayed(board("cistern"), read, DESK).sheet == history.sheet


@pytest.mark.parametrize(
    "line", ["", "7", "{}", '{"kind": "fly"}', '{"kind": "paint"}', '{"kind": "paint", "bead": 7}']
)
def test_a_line_that_is_no_operation_is_told(line: str) -> None:
    """Anything else is one sentence."""
    with pytest.raises(Fault, match="this is no operation: "):
        read_operation(line)


def test_undo_and_redo_are_operations_too() -> None:
    """A log that holds steps back and forth is replayed to where they led."""
    lines = [
        '{"kind": "paint", "bead": "b"}', '{"kind": "undo"}', '{"kind": "redo"}',
        '{"kind": "paint", "bead": "c", "first": 2}', '{"kind": "undo"}', '{"kind": "undo"}',
        '{"kind": "redo"}',
    ]  # fmt: skip
    history = replayed(with_loads("aaa"), map(read_operation, lines), DESK)
    assert set(history.sheet.loads) == {"baa"}
    assert len(history.log) == len(history.undone) == 1


def test_a_bead_is_changed_everywhere_and_becomes_one_with_its_like() -> None:
    """A finish is added to one bead; made the same as another, both are one letter."""
    sheet = with_loads("ab").with_pattern(colourways={}, sizes={})
    matt = read_operation('{"kind": "bead", "bead": "a", "finish": "matt"}').on(sheet, DESK)
    assert (matt.beads["a"].finish, matt.loads) == ("matt", sheet.loads)
    b = sheet.beads["b"]
    like = ChangeBead(bead="a", size=BeadInSize(size=b.size), colour=b.colour, name=b.name).on(
        sheet, DESK
    )
    assert set(like.loads) == {"bb"}
    assert "a" not in like.beads
    assert like.pattern.core is not None
    assert "a" not in like.pattern.core.beads


def test_size_and_colour_are_painted_apart() -> None:
    """A colour keeps each bead's size, a size its colour; a letter with both is found or made."""
    sheet = with_loads("ab").with_pattern(colourways={}, sizes={})
    ink = PaintColour(first=1, last=2, strands=(1,), colour="#112233", name="ink")
    painted = ink.on(sheet, DESK)
    one, two = list(painted.loads[0])
    assert (painted.beads[one].size, painted.beads[two].size) == ("15/0", "11/0")
    assert {painted.beads[one].colour, painted.beads[two].colour} == {"#112233"}
    assert len(painted.beads) == len(sheet.beads) + 2
    also = PaintColour(first=1, strands=(2,), colour="#112233", name="ink").on(painted, DESK)
    assert also.loads[1][0] == one
    size = PaintSize(first=1, strands=(1,), size=BeadInSize(size="11/0")).on(painted, DESK)
    assert size.loads[0] == two * 2


def test_second_drop_is_made_typed_once_and_in_small() -> None:
    """The load once for all, row 15 on six strands as f, then a size with the same rows."""
    start = board("second-drop")
    plain = TypeLoad(beads="2a 2b 2c 1d 2c 1b 2c 2d 1c 1b 1a").on(start, DESK)
    assert len(set(plain.loads)) == 1
    paint = Paint(strands=(1,), first=15, bead="f", spread="once in each column")
    small = Resize(steps=-1, size="small").on(paint.on(plain, DESK), DESK)
    assert small.loads == start.loads
    assert small.counts() == {"a": 24, "b": 32, "c": 50, "d": 24, "f": 6}
    assert small.plan().crosses == 76
    lies = braid_map(small.structure, 4)
    with_f = [s for s in range(1, 9) if "f" in small.loads[s - 1]]
    assert with_f == [1, 2, 4, 5, 6, 8]
    assert {lies.column(Cell(s, 15)) for s in with_f} == set(range(6))
    made = small.pattern.sizes["small"]
    assert {x: made.beads[x].size for x in made.beads} == {
        "a": "15/0", "b": "13/0", "c": "11/0", "d": "8/0",
    }  # fmt: skip
    assert gaps(small, "f") == ("small", "dusk")[:1]
    assert made.core is not None
    assert start.pattern.core is not None
    assert made.core.beads != start.pattern.core.beads
    assert sizes_of(small.pattern.resolve("small"))["d"] == find("8/0")


def _rope() -> Sheet:
    ground = board("stair-rope")
    return ground.with_loads(("gggg" + "h" * 69 + "gggg",) * 8)


def test_a_rope_with_dots_every_six_then_every_five() -> None:
    """`4g 1h 11(5h 1o) 2h 4g` on strand 7: 616 beads, 11 dots in one upright line."""
    rope = _rope()
    like = PaintColour(strands=(7,), first=11, colour="#ffffff", name="dot").on(rope, DESK)
    dot = like.loads[6][10]
    dots = motifs.Motif("dots", dot, 7, 11, 71, repeat=6).cells(like)
    made = Paint(bead=dot, strands=(7,), first=11).on(like, DESK)
    for cell in dots:
        made = Paint(bead=dot, strands=(cell.strand,), first=cell.row).on(made, DESK)
    assert sum(made.counts().values()) == 616
    assert made.counts()[dot] == 11
    assert made.to_pattern().loads["7"] == f"4g 6h 10(1{dot} 5h) 1{dot} 2h 4g"
    lies = braid_map(made.structure, made.pattern.plain_start)
    assert len({lies.column(cell) for cell in dots}) == 1
    lattice = grow(made.plan(), sizes_of(made.pattern)).lattice
    assert lattice is not None
    heights = sorted(bead.height_mm for bead in lattice.spots if bead.bead == dot)
    apart = [after - before for before, after in pairwise(heights)]
    assert apart == pytest.approx([24.0] * 10, abs=0.1)
    five = motifs.Motif("dots", dot, 7, 11, 71, repeat=5).cells(like)
    columns = [lies.column(cell) or 0 for cell in five]
    assert {(before - after) % 6 for before, after in pairwise(columns)} == {1}


def test_a_length_is_made_of_whole_repeats() -> None:
    """The beaded length comes within half a repeat of 300 mm."""
    rope = _rope()
    made = Lengthen(length_mm=300, first=10, last=15, standing=10).on(rope, DESK)
    per_repeat = beaded_mm(rope) / rope.rows * 6
    assert abs(beaded_mm(made) - 300) <= per_repeat / 2 + 1
    assert (made.rows - rope.rows) % 6 == 0


def test_the_mirror_twin_is_the_mirror_image() -> None:
    """Every bead of the twin stands at the same cross in the mirrored column."""
    start = board("gutter-pearl")
    twin = Mirror(structure="kongo-8-anticlockwise").on(start, DESK)
    ours, theirs = (grow(s.plan(), sizes_of(s.pattern)).lattice for s in (start, twin))
    assert ours is not None
    assert theirs is not None
    drawn = {(b.cross, -b.column % 6, b.bead) for b in ours.spots}
    seen = {(b.cross, b.column, b.bead) for b in theirs.spots}
    shift = {turn for turn in range(6) if {(k, (c + turn) % 6, x) for k, c, x in drawn} == seen}
    assert shift
    back = Mirror(structure="kongo-8").on(twin, DESK)
    assert back.loads == start.loads


def test_colours_turn_run_and_are_found() -> None:
    """A hue turned round comes home; a run has its ends; the nearest with enough grams is taken."""
    assert turned("#808080", 90, 0) == "#808080"
    assert turned("#336699", 360, 0) == "#336699"
    assert run_of_colours("#000000", "#ffffff", 3)[::2] == ("#000000", "#ffffff")
    assert nearest("#ff0000", [], 1) is None
    same = PaintColour(strands=(1,), first=2, colour="#9fb8c9", name="a hair off")
    found = alike_pairs(same.on(with_loads("aaaa"), DESK))
    assert [pair.seen for pair in found] == ["by daylight"]
    assert structure().strands == 8
