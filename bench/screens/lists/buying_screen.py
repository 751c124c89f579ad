"""What a commission still has to have bought: printed as a list, ticked off as it is bought."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from bench.answers.needs import NeedsAnswer, Purchase, PurchaseCost
from bench.commission.tube_book import read_tubes
from bench.commission.tube_entry import tube_kind
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.journal.tube_payloads import TubeContent, TubeTaken
from bench.screens.kit.foot import Key
from bench.screens.lists.buy_form import BuyForm
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.label_form import LabelForm
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.shopping import shopping_html

CONTENT_OF: Mapping[str, TubeContent] = {
    "beads": "beads", "thread": "thread", "wire": "wire", "notions": "notion",
}  # fmt: skip


@dataclass(frozen=True)
class Bought:
    """What was bought of a thing on this page: packs, and grams, metres or pieces in all."""

    packs: int = 0
    held: float = 0.0
    ids: tuple[str, ...] = ()
    """The tubes."""


class BuyingScreen(FormScreen):
    """Each thing to buy on a line; ENTER keeps it as bought, with what is known of it."""

    keeps = ""
    names = 40
    own_help = (
        ("ENTER", "bought: its dye lot, number and price are asked first"),
        ("B", "bought just as it is listed"),
        ("A", "its price, as asked in a shop, without buying it"),
    )

    def __init__(
        self, companion: ListsCompanion, name: str, title: str, needs: NeedsAnswer
    ) -> None:
        super().__init__(companion)
        self.heading = f"to buy: {title}"
        self.name_ = name
        self.needs = replace(
            needs, buy=tuple(sorted(needs.buy, key=lambda item: (item.shop, item.kind)))
        )
        self._bought: dict[str, Bought] = {}
        self._shop = ""
        """Where something was bought last on this page."""

    def rows(self) -> Sequence[FormRow]:
        """What to buy, by shop and kind as the printed list has it."""
        rows = [self._row(item) for item in self.needs.buy]
        return rows or (FormRow("nothing", "is missing"),)

    def _row(self, item: Purchase) -> FormRow:
        bought, rest = self._bought.get(item.what, Bought()), self._rest(item)
        if rest is None:
            done = f"✓ {bought.packs} bought; ENTER: its dye lot …"
            return FormRow(item.what, done, opens=partial(self._label, bought))
        if rest.unit == "count":
            said = plural(rest.packs, "piece")
        elif rest.kind == "wire":
            said = f"{rest.packs} m ({rest.missing:g} m short)"
        else:
            said = f"{rest.packs} × {rest.pack} ({rest.missing:g} {rest.unit} short)"
        said += f", {bought.packs} bought" if bought.packs else ""
        said += "" if rest.price is None else f", {rest.price:.2f}"
        said += f", {rest.shop}" if rest.shop else ""
        return FormRow(item.what, said, opens=partial(self._buy, rest))

    def _rest(self, item: Purchase) -> Purchase | None:
        """What is still to buy of a thing; None once there is enough."""
        bought = self._bought.get(item.what, Bought())
        missing = round(item.missing - bought.held, 2)
        if missing <= 0:
            return None
        each = item.held or 1.0
        packs = min(item.packs, math.ceil(missing / each - 1e-9))
        price = None if item.price is None else round(item.price / item.packs * packs, 2)
        return replace(item, missing=missing, packs=packs, price=price)

    def still(self) -> NeedsAnswer:
        """What is needed, without what was bought on this page."""
        rest = (self._rest(item) for item in self.needs.buy)
        buy = tuple(item for item in rest if item is not None)
        prices = [item.price for item in buy if item.price is not None]
        cost = self.needs.cost
        if cost is not None:
            cost = replace(cost, amount=round(sum(prices), 2), complete=len(prices) == len(buy))
        return replace(self.needs, buy=buy, cost=cost if buy else None)

    def below(self) -> Sequence[str]:
        """What it costs, and what a line does."""
        cost: PurchaseCost | None = self.still().cost
        lines = ["ENTER keeps a line as bought, with its dye lot; B as it stands."]
        if cost is not None:
            more = "" if cost.complete else ", and what has no price in your stock"
            lines.insert(0, f"still to buy {cost.amount:.2f} {cost.currency}{more}")
        return lines

    def written(self) -> Sequence[WrittenSheet]:
        """The list to take along, of what is still to buy."""
        name = f"{self.name_}-to-buy.html"
        return (WrittenSheet("p", "print", name, partial(shopping_html, self.still())),)

    def keys(self) -> Sequence[Key]:
        """Besides those of a form: what a letter does with the picked line."""
        first, *rest = super().keys()
        can = bool(self.needs.buy) and self._rest(self.needs.buy[self.picked]) is not None
        own = [("B", "bought", "b"), ("A", "price asked", "a")] if can else []
        return (first, *own, *rest)

    def other_key(self, key: str) -> None:
        """Keep the picked line as bought, just as it is listed."""
        if key not in {"b", "a"}:
            super().other_key(key)
            return
        item = self._rest(self.needs.buy[self.picked]) if self.needs.buy else None
        if item is None:
            raise Fault("Nothing of it is missing any more.")
        if key == "a":
            self._ask_price(item)
        else:
            self._form_of(item).write_down()

    def _ask_price(self, item: Purchase) -> None:
        """Ask what one of it costs, without buying it."""
        pack = item.pack if item.unit != "count" else "piece"
        asks = f"What a {pack} costs, as 4.50; offers and needs go by it."
        told = partial(self._asked, item)
        self._ask(FormRow(item.what, "", typed=told, asks=asks), "")

    def _asked(self, item: Purchase, text: str) -> None:
        form = self._form_of(item)
        if item.kind not in ("beads", "thread"):
            form.values["held"] = "1"
        taken = form.ask(text)
        price = float(taken.price or 0)
        self.needs = replace(
            self.needs,
            buy=tuple(
                replace(one, price=round(price * one.packs, 2)) if one.what == item.what else one
                for one in self.needs.buy
            ),
            cost=self.needs.cost
            or PurchaseCost(
                amount=0.0, currency=self.companion.settings.work.currency, complete=False
            ),
        )
        self.said = f"{item.what}: {taken.price} each, as asked."

    def _buy(self, item: Purchase) -> None:
        self.app.push_screen(self._form_of(item))

    def _form_of(self, item: Purchase) -> BuyForm:
        told = partial(self._tick, item)
        what = CONTENT_OF[item.kind]
        packs = item.packs if what in ("beads", "thread") else 1
        return BuyForm(self.companion, self._known(item), packs, told, what)

    def _label(self, bought: Bought) -> None:
        """Put in what stands on what was bought just as it was listed."""
        journal = self.companion.journal
        tubes = {} if journal is None else read_tubes(journal)
        found = [tubes[one] for one in bought.ids if one in tubes]
        if not found:
            raise Fault("It was taken back on the page of the tubes.")
        self.app.push_screen(LabelForm(self.companion, found))

    def _tick(self, item: Purchase, ids: Sequence[str], taken: TubeTaken) -> None:
        """Count what was bought, and go on to the next line once there is enough."""
        was, packs = self._bought.get(item.what, Bought()), len(ids)
        held = packs * (taken.grams if taken.grams is not None else taken.held)
        more = packs if taken.what in ("beads", "thread") else round(held)
        self._bought[item.what] = Bought(was.packs + more, was.held + held, (*was.ids, *ids))
        self._shop = taken.shop or self._shop
        self.said = self._other_lots(taken)
        whole = next(one for one in self.needs.buy if one.what == item.what)
        if self._rest(whole) is None:
            self.picked = min(self.picked + 1, len(self.needs.buy) - 1)

    def _other_lots(self, taken: TubeTaken) -> str:
        """Tell where another dye lot of the same is kept than the one just bought."""
        journal = self.companion.journal
        tubes = () if journal is None else read_tubes(journal).values()
        lots = {
            tube.taken.dye_lot
            for tube in tubes
            if tube.kind == tube_kind(taken) and not tube.is_empty and tube.taken.dye_lot
        }
        if not taken.dye_lot or len(lots) < 2:
            return ""
        return f"Now in dye lots {', '.join(sorted(lots))}: each lot of pieces takes one if it can."

    def _known(self, item: Purchase) -> Mapping[str, str]:
        """What is known of a thing before it is bought: its name, size, and what one holds."""
        found = {"name": item.what, "shop": item.shop or self._shop}
        loose = item.kind not in ("beads", "thread")
        if item.price is not None and item.packs:
            found["price"] = f"{item.price / (1 if loose else item.packs):.2f}"
        held = float(item.packs) if loose else item.held
        if held is not None:
            found["held"] = f"{held:g}"
        if (bead := item.bead) is not None:
            found |= {"name": bead.name, "size": bead.size, "shape": bead.shape}
            found |= {"colour": bead.colour, "each_g": str(bead.mass_g)}
        return found
