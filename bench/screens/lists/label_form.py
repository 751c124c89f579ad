"""What stands on tubes, put in afterwards: dye lot, maker's number, price, shop, place."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.money import read_amount, shown
from bench.commission.tube_book import Tube
from bench.commission.tube_entry import checked, labelled
from bench.journal.tube_payloads import TubeLabelled
from bench.screens.lists.buy_form import LABELS
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import write


class LabelForm(FormScreen):
    """The labels of tubes that were bought together; what is changed is kept for all of them."""

    heading = "what stands on it"

    def __init__(self, companion: ListsCompanion, tubes: Sequence[Tube]) -> None:
        super().__init__(companion)
        self.tubes = tubes
        taken = tubes[0].taken
        self.was = {key: getattr(taken, key) or "" for key, _, _ in LABELS}
        self.values = dict(self.was)

    @property
    def changed(self) -> bool:
        """Whether a label is another."""
        return self.values != self.was

    def rows(self) -> Sequence[FormRow]:
        """Each label."""
        return [
            FormRow(
                *(name, self.values[key] or "–"),
                typed=partial(self._set, key),
                asks=asks if key == "price" else f"{asks} “none” takes it away.",
                starts=self.values[key],
            )
            for key, name, asks in LABELS
        ]

    def below(self) -> Sequence[str]:
        """Which tubes they are of."""
        alike = f", {len(self.tubes)} alike" if len(self.tubes) > 1 else ""
        return [f"{self.tubes[0].name}{alike}"]

    def _set(self, key: str, text: str) -> None:
        text = "" if text == "none" and key != "price" else text
        if key == "price":
            text = shown(read_amount(text, "A price"))
        self.values[key] = text

    def keep(self, choice: str | None = None) -> None:
        """Write down what is another."""
        said = TubeLabelled(
            **{key: value for key, value in self.values.items() if value != self.was[key]}
        )
        for tube in self.tubes:
            checked(labelled(tube.taken, said))
        write(self.companion, None, *((said, tube.id, None) for tube in self.tubes))
        self.app.pop_screen()
