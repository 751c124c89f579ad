"""What a commission still has to have bought: printed as a list, ticked off as it is bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from bench.answers.needs import NeedsAnswer, Purchase
from bench.craft.text import Fault
from bench.screens.kit.foot import Key
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.tubes_screen import BuyScreen
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.shopping import shopping_html


class BuyingScreen(FormScreen):
    """Each thing to buy on a line; ENTER keeps it as bought, with what is known of it."""

    keeps = ""
    names = 40
    own_help = (
        ("ENTER", "bought: its dye lot, number and price are asked first"),
        ("B", "bought just as it is listed"),
    )

    def __init__(
        self, companion: ListsCompanion, name: str, title: str, needs: NeedsAnswer
    ) -> None:
        super().__init__(companion)
        self.heading = f"to buy: {title}"
        self.name_, self.needs = name, needs
        self._bought: dict[str, int] = {}

    def rows(self) -> Sequence[FormRow]:
        """What to buy, by shop and kind as the printed list has it."""
        rows = [self._row(item) for item in self._items]
        return rows or (FormRow("nothing", "is missing"),)

    @property
    def _items(self) -> Sequence[Purchase]:
        return sorted(self.needs.buy, key=lambda item: (item.shop, item.kind))

    def _row(self, item: Purchase) -> FormRow:
        unit = "" if item.unit == "count" else f" {item.unit}"
        said = f"{item.packs} × {item.pack} ({item.missing:g}{unit} short)"
        said += "" if item.price is None else f", {item.price:.2f}"
        said += f", {item.shop}" if item.shop else ""
        if item.what in self._bought:
            return FormRow(item.what, f"✓ {self._bought[item.what]} bought")
        if item.kind not in ("beads", "thread"):
            return FormRow(item.what, said)
        return FormRow(item.what, said, opens=partial(self._buy, item))

    def below(self) -> Sequence[str]:
        """What it costs, and what a line does."""
        cost = self.needs.cost
        lines = ["ENTER keeps a line as bought, with its dye lot; B as it stands."]
        if cost is not None:
            more = "" if cost.complete else ", and what has no price in your stock"
            lines.insert(0, f"in all {cost.amount:.2f} {cost.currency}{more}")
        return lines

    def written(self) -> Sequence[WrittenSheet]:
        """The list to take along."""
        name = f"{self.name_}-to-buy.html"
        return (WrittenSheet("p", "print", name, partial(shopping_html, self.needs)),)

    def keys(self) -> Sequence[Key]:
        """Besides those of a form: what a letter does with the picked line."""
        first, *rest = super().keys()
        own = [("B", "bought", "b")] if self.rows()[self.picked].opens is not None else []
        return (first, *own, *rest)

    def other_key(self, key: str) -> None:
        """Keep the picked line as bought, just as it is listed."""
        if key != "b":
            super().other_key(key)
            return
        item = self._items[self.picked] if self._items else None
        if item is None or self.rows()[self.picked].opens is None:
            raise Fault("There is nothing of it to be kept as a tube or spool.")
        self._form_of(item).write_down()

    def _buy(self, item: Purchase) -> None:
        self.app.push_screen(self._form_of(item))

    def _form_of(self, item: Purchase) -> BuyScreen:
        told = partial(self._tick, item.what)
        return BuyScreen(self.companion, self._known(item), item.packs, told)

    def _tick(self, what: str, tubes: int) -> None:
        self._bought[what] = tubes
        self.picked += 1

    def _known(self, item: Purchase) -> Mapping[str, str]:
        """What is known of a thing before it is bought: its name, size, and what one holds."""
        found = {"name": item.what, "shop": item.shop}
        if item.price is not None and item.packs:
            found["price"] = f"{item.price / item.packs:.2f}"
        if item.held is not None:
            found["held"] = f"{item.held:g}"
        if (bead := item.bead) is not None:
            found |= {"name": bead.name, "size": bead.size, "shape": bead.shape}
            found |= {"colour": bead.colour, "each_g": str(bead.mass_g)}
        return found
