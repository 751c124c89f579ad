from __future__ import annotations

from coloraide import Color

from bench.craft.lattice import PlacedBead
from bench.screens.kit.braid_painter import paint, seen
from bench.screens.kit.canvas import Canvas

COLOURS = {"a": "#305070", "d": "#f0e0a0"}


def bead(letter: str, height_mm: float, diameter_mm: float, angle_deg: float = 0.0) -> PlacedBead:
    """A bead of a braid, on the side that is looked at unless said."""
    return PlacedBead(1, 1, letter, 0, angle_deg, height_mm, 2.0, diameter_mm)


def painted(*beads: PlacedBead, new_on_top: bool = True) -> Canvas:
    """Some beads in a box of 20 by 10 cells, half a millimetre a dot."""
    canvas = Canvas(20, 10)
    paint(canvas, 0, 0, 20, 10, seen(beads, COLOURS, 0.0), 0.5, new_on_top=new_on_top)
    return canvas


def lines_of(canvas: Canvas, colour: str) -> list[int]:
    """The lines on which a colour is seen."""
    return [y for y, row in enumerate(canvas.rows) if any(colour in style for _, style in row)]


def test_beads_are_painted_to_scale() -> None:
    """A bead of twice the measure is twice as wide, in dots of the same size."""
    small, large = painted(bead("a", 5, 2.0)), painted(bead("a", 5, 4.0))
    wide = [max(sum(style != "" for _, style in row) for row in c.rows) for c in (small, large)]
    assert wide == [4, 8]


def test_the_newest_lies_on_top_or_hangs_below() -> None:
    """At the bench new beads are on top; as it hangs from its start they are at the bottom."""
    beads = bead("a", 1.5, 3.0), bead("d", 4.5, 3.0)
    new_on_top, hanging = painted(*beads), painted(*beads, new_on_top=False)
    assert max(lines_of(new_on_top, COLOURS["d"])) <= min(lines_of(new_on_top, COLOURS["a"]))
    assert max(lines_of(hanging, COLOURS["a"])) <= min(lines_of(hanging, COLOURS["d"]))


def test_what_lies_behind_is_hidden_and_what_is_near_bears_its_letter() -> None:
    """Letters stand on the beads that face the eye, read as WCAG 2.2 wants it: 4.5 to 1."""
    assert not lines_of(painted(bead("a", 2, 3.0, angle_deg=180.0)), COLOURS["a"])
    for letter in COLOURS:
        found = [
            style for row in painted(bead(letter, 2, 3.0)).rows for ch, style in row if ch == letter
        ]
        assert len(found) == 1
        ink, ground = found[0].split("/")
        assert Color(ink).contrast(Color(ground)) >= 4.5


def test_what_lies_right_of_the_maker_is_painted_right() -> None:
    """From the bottom of the stand, where the maker sits, a bead from the right is on the right."""
    canvas = Canvas(20, 10)
    paint(
        canvas, 0, 0, 20, 10, seen([bead("a", 2, 3.0, 110.0)], COLOURS, 180.0), 0.5, new_on_top=True
    )
    columns = [x for row in canvas.rows for x, (_, style) in enumerate(row) if style]
    assert min(columns) >= 9


def test_without_colours_each_bead_is_its_letter() -> None:
    """By letters a bead covers the same cells as in colour, and nothing has a colour."""
    beads = seen([bead("a", 2, 3.0), bead("d", 5, 4.0)], COLOURS, 0.0)
    grey, coloured = Canvas(20, 12), Canvas(20, 12)
    for canvas in (grey, coloured):
        colours = canvas is coloured
        paint(canvas, 0, 0, 20, 12, beads, 0.5, new_on_top=False, colours=colours)
    assert set(grey.as_text()) == {"a", "d", " ", "\n"}
    assert {style for row in grey.rows for _, style in row} == {""}
    painted = [[ch != " " for ch, _ in row] for row in coloured.rows]
    assert painted == [[ch != " " for ch, _ in row] for row in grey.rows]


def test_the_far_side_is_dark_where_it_is_seen() -> None:
    """A bead behind the axis shows only if it is asked for, and then darker than its colour."""
    far = seen([bead("d", 2, 3.0, angle_deg=180.0)], COLOURS, 0.0)
    canvas = Canvas(20, 10)
    paint(canvas, 0, 0, 20, 10, far, 0.5, new_on_top=False, back=True)
    styles = {part for row in canvas.rows for _, style in row for part in style.split("/") if part}
    assert styles
    assert all(Color(one).luminance() < Color(COLOURS["d"]).luminance() / 2 for one in styles)
