"""A run of colours: bands from one row to another, each bead in its own size."""

from __future__ import annotations

import pytest

from bench.craft.text import Fault
from bench.design.colour_run import LayRun
from bench.design.operation import Desk
from tests.support.boards import board, structure, with_loads

DESK = Desk(structure)
RUN = [{"colour": f"#{g:02x}0000", "name": f"red {g}"} for g in (16, 96, 176)]


@pytest.mark.parametrize(("first", "last", "lengths"), [(1, 9, (3, 3, 3)), (2, 9, (2, 3, 3))])
def test_a_run_lies_in_bands_as_even_as_can_be(
    first: int, last: int, lengths: tuple[int, ...]
) -> None:
    """Every row has one of the colours, in their order; rows outside stay as they were."""
    sheet = with_loads("aaabbbccc")
    laid = LayRun.model_validate({"run": RUN, "first": first, "last": last}).on(sheet, DESK)
    for load in laid.loads:
        assert load[: first - 1] == sheet.loads[0][: first - 1]
        names = [laid.beads[letter].name for letter in load[first - 1 :]]
        wanted = [one["name"] for one, n in zip(RUN, lengths, strict=True) for _ in range(n)]
        assert names == wanted
        sizes = [laid.beads[letter].size for letter in load]
        assert sizes == [sheet.beads[letter].size for letter in sheet.loads[0]]


def test_a_run_reaches_what_it_is_for() -> None:
    """Of some strands, in one colourway: the others and the pattern's own colours stay."""
    sheet = board()
    wish = {"run": RUN, "strands": [2], "spread": "opposite", "shown": "dusk"}
    laid = LayRun.model_validate(wish).on(sheet, DESK)
    own, dusk = laid.pattern.resolve(), laid.pattern.resolve(None, "dusk")
    for strand, (load, before) in enumerate(zip(laid.loads, sheet.loads, strict=True), 1):
        assert [own.beads[x].colour for x in load] == [sheet.beads[x].colour for x in before]
        assert (dusk.beads[load[0]].name == "red 16") == (strand in (2, 6))
    with pytest.raises(Fault, match="3 colours need as many rows; there are 2"):
        LayRun.model_validate({"run": RUN, "first": 3, "last": 4}).on(sheet, DESK)
