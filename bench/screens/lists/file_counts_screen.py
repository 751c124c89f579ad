"""What a changed stock file says otherwise than the book: taken as counts, or refused."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.stock_tubes import Difference, accepted, refused
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.screens.kit.foot import Key
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import readable, write


class FileCountsScreen(FormScreen):
    """Each difference on a line; what is refused is not offered again until the file changes."""

    keeps = ""
    names = 40
    heading = "what the stock file says otherwise"
    own_help = (
        ("ENTER", "the picked line is taken as a count"),
        ("X", "the picked line is refused: the book stays as it is"),
        ("A", "all of them are taken as counts"),
        ("R", "all of them are refused"),
    )

    def __init__(self, companion: ListsCompanion, offered: Sequence[Difference]) -> None:
        super().__init__(companion)
        self.offered = [*offered]

    def rows(self) -> Sequence[FormRow]:
        """Each tube with what the file says, and the book."""
        rows = [
            FormRow(one.tube.name, one.amounts, opens=partial(self._answer, [one], take=True))
            for one in self.offered
        ]
        return rows or (FormRow("nothing", "is left to be answered"),)

    def below(self) -> Sequence[str]:
        """What the keys do with them."""
        return ("Nothing is changed unasked: ENTER takes a line as a count, X refuses it.",)

    def keys(self) -> Sequence[Key]:
        """Besides those of a form: one line, or all of them."""
        if not self.offered:
            return super().keys()
        _, *rest = super().keys()
        return (
            ("ENTER", "count", "enter"), ("X", "refuse", "x"),
            ("A", "count all", "a"), ("R", "refuse all", "r"), *rest,
        )  # fmt: skip

    def other_key(self, key: str) -> None:
        """Refuse the picked line, or answer all of them."""
        if key not in {"x", "a", "r"}:
            super().other_key(key)
            return
        if not self.offered:
            raise Fault("Nothing is left to be answered.")
        chosen = [self.offered[self.picked]] if key == "x" else self.offered
        self._answer(chosen, take=key == "a")

    def _answer(self, chosen: Sequence[Difference], *, take: bool) -> None:
        answer = partial(accepted, readable(self.companion)) if take else refused
        write(self.companion, None, *((answer(one), one.tube.id, None) for one in chosen))
        done = "kept as counts" if take else "refused, until the file says something else"
        self.said = f"{plural(len(chosen), 'line')} {done}."
        self.offered = [one for one in self.offered if one not in chosen]
