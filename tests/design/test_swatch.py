"""Lengths by a measured swatch: whole repeats, by what 24 rows came to in the maker's hands."""

from __future__ import annotations

from functools import cache

import pytest

from bench.craft.load import parse_load
from bench.craft.pattern import Bead
from bench.craft.text import Fault
from bench.design.length import as_measured
from bench.design.operation import Desk
from bench.design.operations import Lengthen, beaded_mm
from bench.design.sheet import Sheet
from tests.support.boards import board, structure

DESK = Desk(structure)


def rope(repeats: int = 11) -> Sheet:
    """A beaded rope with a dot on strand 7 every six rows."""
    sheet = board("stair-rope")
    beads = {
        "g": Bead(size="11/0", colour="#5f7480"),
        "h": Bead(size="8/0", colour="#738a97"),
        "o": Bead(size="8/0", colour="#f2a33a"),
    }
    plain = parse_load(f"4g 1h {6 * repeats}h 2h 4g")
    dots = parse_load(f"4g 1h {repeats}(5h 1o) 2h 4g")
    loads = [dots if strand == 7 else plain for strand in range(1, 9)]
    return sheet.with_pattern(beads=beads).with_loads(loads)


@cache
def modelled(repeats: int) -> float:
    """The rope's beaded length by the model."""
    return beaded_mm(rope(repeats))


@pytest.mark.parametrize("wish_mm", [60.0, 300.0, 305.0, 600.0])
@pytest.mark.parametrize("swatch_mm", [None, 93.0, 101.0])
def test_a_length_is_made_of_the_repeats_that_come_nearest(
    wish_mm: float, swatch_mm: float | None
) -> None:
    """By the model or by a swatch of 24 rows: no other number of repeats comes nearer."""
    sheet = rope()
    wish = {"length_mm": wish_mm, "swatch_mm": swatch_mm, "first": 6, "last": 11, "standing": 11}
    predicted = modelled(6) - modelled(2)
    factor = 1.0 if swatch_mm is None else swatch_mm / predicted
    off = {times: abs(modelled(times) * factor - wish_mm) for times in range(1, 30)}
    nearest = min(off, key=lambda times: off[times])
    assert Lengthen.model_validate(wish).on(sheet, DESK).loads == rope(nearest).loads


def test_a_swatch_as_predicted_changes_nothing_and_a_slip_of_the_pen_is_told() -> None:
    """Measured as predicted it is the model's, but for the first repeats; far off it is told."""
    sheet = rope()
    predicted = modelled(6) - modelled(2)
    length = as_measured(sheet, 6, 11, 24, predicted, beaded_mm)
    assert length(sheet) == pytest.approx(beaded_mm(sheet), rel=0.002)
    with pytest.raises(Fault, match=r"24 rows is predicted as 103 mm; 10\.1 mm is too far"):
        as_measured(sheet, 6, 11, 24, 10.1, beaded_mm)
    with pytest.raises(Fault, match="there are no rows"):
        as_measured(sheet, 90, 99, 24, 96.0, beaded_mm)
