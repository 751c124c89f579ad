"""What else is said of the hanging: places as typed, and forms for distances and the lots."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from bench.commission.changing import with_lot
from bench.commission.hanging_places import Places, drops_of, even_places, places_of, round_of
from bench.craft.text import Fault
from bench.documents.commission import Commission, Hanging, Lot
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.typed_values import typed_number

DISTANCES = {
    "near_mm": ("neighbours within", "Places in a window no further apart than that, in mm"),
    "level_mm": ("hang level within", "Two neighbours whose middles differ by less, in mm"),
    "room_mm": ("room between", "Least room between two that hang beside each other, in mm"),
    "knots_mm": ("thread for knots", "Of each thread, in mm"),
    "diameter_mm": ("the hoop's diameter", "In mm"),
}
"""What each is called, and what is asked for it."""
ONLY_OF = {"near_mm": "window", "diameter_mm": "hoop"}


class DistancesForm(FormScreen):
    """Distances of the hanging in mm; what is changed is taken over when the form is left."""

    keeps = ""
    heading = "distances, in mm"

    def __init__(
        self,
        companion: ListsCompanion,
        hanging: Hanging,
        take: Callable[[Mapping[str, float]], None],
    ) -> None:
        super().__init__(companion)
        self.shape, self._take = hanging.shape, take
        self.first: dict[str, float] = {key: getattr(hanging, key) or 0.0 for key in DISTANCES}
        self.values = dict(self.first)

    def rows(self) -> Sequence[FormRow]:
        """Those that its shape has."""
        return tuple(
            FormRow(
                *(name, f"{self.values[key]:g}"),
                typed=partial(self._set, key),
                asks=asks,
                starts=f"{self.values[key]:g}",
            )
            for key, (name, asks) in DISTANCES.items()
            if ONLY_OF.get(key, self.shape) == self.shape
        )

    def below(self) -> Sequence[str]:
        """When it is kept."""
        return ("Going back takes it over; K on the page of the hanging keeps it.",)

    def _set(self, key: str, text: str) -> None:
        self.values[key] = typed_number(text, "It")

    def leave(self, *, again: bool) -> None:
        """Hand over what was changed."""
        changed = {key: value for key, value in self.values.items() if value != self.first[key]}
        if changed:
            self._take(changed)
        self.app.pop_screen()


class LotsThatHang(FormScreen):
    """Which lots hang with the others; K on the page of the hanging keeps it."""

    keeps = ""
    heading = "what hangs"

    def __init__(
        self, companion: ListsCompanion, commission: Commission, take: Callable[[Commission], None]
    ) -> None:
        super().__init__(companion)
        self.commission, self._take = commission, take

    def rows(self) -> Sequence[FormRow]:
        """The lots."""
        return tuple(
            FormRow(
                *(lot.name, "hangs" if lot.hangs else "does not hang"),
                turn=partial(self._turn, lot),
            )
            for lot in self.commission.lots
        )

    def _turn(self, lot: Lot, step: int) -> None:
        values = {"hangs": not lot.hangs}
        self.commission = with_lot(self.commission, lot.id or lot.name, values)
        self._take(self.commission)


def places_typed(text: str) -> dict[str, object]:
    """Places as they are typed: a count, a width or a hoop, and drops; or each. Raises Fault."""
    if ":" in text:
        return {"places": places_of(text)}
    words = text.split()
    hoop = "hoop" in words
    numbers = [word for word in words if word != "hoop"]
    if len(numbers) < 3 or not numbers[0].isdecimal():
        raise Fault("Type a count, a width and drops: 24 1200 40,80,120; or places: 0:40 30:80")
    wide = typed_number(numbers[1], "The width")
    drops = drops_of(" ".join(numbers[2:]))
    length = round_of(wide) if hoop else wide
    places: Places = even_places(int(numbers[0]), length, drops, ring=hoop)
    shape = "hoop" if hoop else "rail"
    return {"shape": shape, "places": places, "diameter_mm": wide if hoop else None}
