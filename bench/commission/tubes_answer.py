"""The answer about tubes, from the journal's."""

from __future__ import annotations

from collections.abc import Iterable

from bench.answers.tubes import TubeLine, TubesAnswer
from bench.commission.stock_tubes import Difference
from bench.commission.tube_book import Tube
from bench.commission.tube_entry import unit_of


def tubes_answer(
    tubes: Iterable[Tube], done: tuple[str, ...], offered: Iterable[Difference], *, waits: bool
) -> TubesAnswer:
    """Tell of tubes: beads by size and name, thread behind them; empty ones last."""
    found = sorted(
        tubes,
        key=lambda t: (t.is_empty, t.taken.what != "beads", t.taken.size, t.name, not t.opened),
    )
    return TubesAnswer(
        tubes=tuple(map(_line, found)),
        done=done,
        offered=tuple(one.text for one in offered),
        waits=waits,
        warnings=tuple(tube.tells for tube in found if tube.tells),
    )


def _line(tube: Tube) -> TubeLine:
    said = tube.taken
    return TubeLine(
        tube=tube.id,
        what=said.what,
        name=said.name,
        size=said.size,
        shape=said.shape,
        colour=said.colour,
        dye_lot=said.dye_lot,
        number=said.number,
        shop=said.shop,
        place=said.place,
        price=said.price,
        came_in=round(said.held, 2),
        held=round(tube.held, 2),
        error=round(max((count.error for count in tube.balance.counts), default=0.0), 2),
        unit=unit_of(said),
        opened=tube.opened,
        empty=tube.is_empty,
        asked=tube.is_asked,
        tells=tube.tells,
    )
