from __future__ import annotations

from pathlib import Path

import pytest

from bench.craft.growth import grow, sizes_of
from bench.documents.library import Library
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.hanging_braid import HangingBraid, draw_hanging, hanging


def braids(name: str, *sizes: str | None) -> list[HangingBraid]:
    """A shipped pattern in some of its sizes."""
    library = Library(Path("none"))
    plan = library.plan(library.pattern_path(name))
    found = []
    for size in sizes:
        chosen = plan.resolved(size)
        braid = hanging(size or "as written", chosen, sizes_of(chosen.pattern))
        assert braid is not None
        found.append(braid)
    return found


def drawn(found: list[HangingBraid], width: int, height: int, *, colours: bool = False) -> Canvas:
    """Braids in a box, by letters unless said, the first one chosen."""
    canvas = Canvas(width, height)
    draw_hanging(canvas, 0, 0, width, height, found, 0, colours=colours)
    return canvas


def tall(lines: list[str], first: int, last: int) -> int:
    """How many lines hold a letter between two columns."""
    return sum(bool(line[first:last].strip()) for line in lines)


@pytest.mark.parametrize(("width", "height"), [(22, 19), (42, 35)])
def test_both_sizes_hang_side_by_side_at_one_scale(width: int, height: int) -> None:
    """The lengths of two sizes as painted are as their lengths in mm, to a line at either end."""
    large, small = braids("silver-eaves", None, "small")
    lines = drawn([large, small], width, height).as_text().split("\n")
    x = lines[0].index("small")
    painted = tall(lines[2:], 0, x), tall(lines[2:], x, width)
    assert painted[0] == height - 2, "the longer one fills the box"
    assert abs(painted[1] / painted[0] - small.long_mm / large.long_mm) <= 2 / painted[0]


def test_the_core_hangs_beside_its_braid_where_it_comes_to_lie() -> None:
    """A core begins below the first rings, which are too narrow, and keeps its order."""
    lines = drawn(braids("silver-eaves", None), 30, 40).as_text().split("\n")[2:]
    core = [line.rsplit("  ", 1)[1].strip()[:1] if "  " in line.strip() else "" for line in lines]
    shown = "".join(core)
    assert not core[0]
    assert [letter for k, letter in enumerate(shown) if shown[k - 1 : k] != letter] == list("abcba")


def test_a_rope_is_cut_and_says_so() -> None:
    """What is longer than the box at a scale that shows beads is cut; how much of it is said."""
    (rope,) = braids("stair-rope", None)
    canvas = drawn([rope], 20, 22, colours=True)
    said = canvas.as_text().split("\n")[1]
    assert said.startswith("top ")
    assert 10 < float(said.split()[1]) < 100
    library = Library(Path("none"))
    plan = library.plan(library.pattern_path("stair-rope"))
    lattice = grow(plan, sizes_of(plan.pattern)).lattice
    assert lattice is not None
    assert rope.long_mm < lattice.beaded_mm
    assert {bead.along_mm for bead in rope.beads} <= {spot.height_mm for spot in lattice.spots}


def test_without_known_columns_one_strand_is_shown_as_such(tmp_path: Path) -> None:
    """Where nobody knows how the beads lie, the beads of a strand hang, and are named so."""
    home = tmp_path / "patterns"
    home.mkdir()
    text = Path("patterns/silver-eaves.toml").read_text(encoding="utf-8")
    text = text.split("[core]")[0].replace("kongo-8", "square-8")
    (home / "flat.toml").write_text(text, encoding="utf-8")
    library = Library(tmp_path)
    plan = library.plan(library.pattern_path("flat"))
    braid = hanging("flat", plan, sizes_of(plan.pattern))
    assert braid is not None
    shown = drawn([braid], 20, 22).as_text()
    assert "one strand" in shown
    assert len(braid.beads) == 16
