"""What was bought: tubes, spools, wire or notions, alike, kept together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import get_args

from bench.commission.money import read_amount, shown
from bench.commission.tube_entry import checked
from bench.craft.beads import find, mass_g
from bench.craft.text import Fault
from bench.journal.events import new_id
from bench.journal.tube_payloads import TubeContent, TubeTaken
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import write
from bench.screens.lists.typed_values import typed_number

NAME = ("name", "name", "As it stands on it.")
OF_BEADS = (
    ("size", "size of the beads", "As 11/0."),
    ("shape", "shape of the beads", "Round, if you leave it empty."),
)
LABELS = (
    ("dye_lot", "dye lot", "As printed on it."),
    ("number", "maker's number", "As printed on it."),
    ("price", "price of one", "As 4.50."),
    ("shop", "bought at", "The shop's name."),
    ("place", "kept at", "Drawer, box, shelf."),
)
HOLDS: Mapping[TubeContent, tuple[str, str, str]] = {
    "beads": ("held", "holds, g", "Grams of beads in one tube."),
    "thread": ("held", "holds, m", "Metres of thread on one spool."),
    "wire": ("held", "holds, m", "Metres of wire in one coil."),
    "notion": ("held", "holds", "How many are in one bag."),
}
WHAT: Mapping[TubeContent, str] = {
    "beads": "tubes of beads",
    "thread": "spools of thread",
    "wire": "coils of wire",
    "notion": "end beads, caps, clips, counted",
}
CONTENTS: Sequence[TubeContent] = get_args(TubeContent)
MOST = 200


class BuyForm(FormScreen):
    """What is said of a tube, and how many alike."""

    heading = "bought"

    def __init__(
        self,
        companion: ListsCompanion,
        starts: Mapping[str, str] | None = None,
        tubes: int = 1,
        bought: Callable[[Sequence[str], TubeTaken], None] = lambda tubes, taken: None,
        what: TubeContent = "beads",
    ) -> None:
        """`starts`: values that are known; `bought` is told their ids, and of what they are.

        Beside the fields `colour`, and `each_g`: the mass of a bead of that name, size and shape.
        """
        super().__init__(companion)
        known = starts or {}
        keys = (NAME, *OF_BEADS, HOLDS["beads"], *LABELS)
        self.values = {key: known.get(key, "") for key, _, _ in keys}
        self.what: TubeContent = what
        self._colour = known.get("colour")
        self._kind, self._each_g = self._kind_said, float(known.get("each_g", 0.0))
        self.tubes = max(1, tubes)
        self._bought = bought
        if starts is not None:
            self.picked = [row.name for row in self.rows()].index("dye lot")

    @property
    def changed(self) -> bool:
        """Whether anything was said of it."""
        return any(self.values.values())

    def rows(self) -> Sequence[FormRow]:
        """What it is, what is said of it, and how many alike."""
        fields = (NAME, *(OF_BEADS if self.what == "beads" else ()), HOLDS[self.what], *LABELS)
        return (
            FormRow("what", WHAT[self.what], turn=self._turn_what),
            *(
                FormRow(
                    *(name, self.values[key] or "–"),
                    typed=partial(self._set, key),
                    asks=asks,
                    starts=self.values[key],
                )
                for key, name, asks in fields
            ),
            FormRow("how many alike", str(self.tubes), turn=self._turn),
        )

    def _set(self, key: str, text: str) -> None:
        self.values[key] = text

    def _turn_what(self, step: int) -> None:
        at = CONTENTS.index(self.what) + step
        self.what = CONTENTS[at % len(CONTENTS)]

    def _turn(self, step: int) -> None:
        self.tubes = max(1, min(MOST, self.tubes + step))

    def keep(self, choice: str | None = None) -> None:
        """Write them down."""
        self.write_down()
        self.app.pop_screen()

    def write_down(self) -> None:
        """Write them down as they are said. Raises Fault where something is missing."""
        taken = checked(self._taken())
        ids = [new_id() for _ in range(self.tubes)]
        write(self.companion, None, *((taken, one, None) for one in ids))
        self._bought(ids, taken)

    def ask(self, price: str) -> TubeTaken:
        """Write down that such a one costs so much, without buying it."""
        self.values["price"] = price
        taken = replace(checked(self._taken()), source="asked")
        write(self.companion, None, (taken, new_id(), None))
        return taken

    def _taken(self) -> TubeTaken:
        said, today = self.values, dt.date.today().isoformat()
        if not said["name"]:
            raise Fault("Say what stands on it.")
        price = shown(read_amount(said["price"], "A price")) if said["price"] else None
        held = typed_number(said["held"], "What it holds")
        bare = TubeTaken(
            *(self.what, said["name"], held, today, "bought"),
            dye_lot=said["dye_lot"],
            number=said["number"],
            shop=said["shop"],
            place=said["place"],
            price=price,
        )
        return self._of_beads(bare) if self.what == "beads" else bare

    def _of_beads(self, bare: TubeTaken) -> TubeTaken:
        """Beads are counted, by what one weighs."""
        _, size, shape = self._kind_said
        if not size:
            raise Fault("Say the size of the beads, as 11/0.")
        is_known = self._each_g > 0 and self._kind == self._kind_said
        try:
            each_g = self._each_g if is_known else mass_g(find(size, shape))
        except ValueError as error:
            raise Fault(str(error)) from None
        return replace(
            bare,
            held=round(bare.held / each_g),
            grams=bare.held,
            size=size,
            shape=shape,
            colour=self._colour if is_known else None,
        )

    @property
    def _kind_said(self) -> tuple[str, str, str]:
        """Name, size and shape as they are said."""
        said = self.values
        return said["name"], said["size"], said["shape"] or "round"
