"""What the materials in an order's pieces cost by what the tubes really gave for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bench.commission.loadings import Loading, read_loadings
from bench.commission.lot_refs import OrderLots
from bench.commission.tube_book import Tube, read_tubes
from bench.commission.tube_entry import name_of
from bench.journal.store import Journal


@dataclass(frozen=True)
class MaterialsUsed:
    """What tubes gave for pieces, spoilt ones and those made away too, by those tubes' prices.

    `amount`: None where none of them has a price. `unpriced`: what has none. `drawn`: pieces that
    tubes gave for, of so many that were `begun`; `named`: those of them of which every strand named
    its tube.
    """

    amount: float | None
    unpriced: tuple[str, ...]
    drawn: int
    named: int
    begun: int

    @property
    def is_whole(self) -> bool:
        """Whether every strand of every piece drew from a tube, and each of those has a price."""
        return self.amount is not None and not self.unpriced and self.named == self.begun


def materials_used(journal: Journal, lots: OrderLots) -> MaterialsUsed:
    """Price what was drawn for the pieces of an order; trials and blank ones are left out."""
    own = [
        loading
        for loading in read_loadings(journal)
        if lots.lot_of(loading.state) is not None
        and not (loading.state.trial or loading.state.blank)
    ]
    drawn = [loading for loading in own if loading.draws]
    return used_of(drawn, read_tubes(journal) if drawn else {}, len(own))


def used_of(drawn: Sequence[Loading], tubes: Mapping[str, Tube], begun: int) -> MaterialsUsed:
    """Price the draws of some pieces out of tubes; what was given back costs nothing."""
    held: dict[str, float] = {}
    for loading in drawn:
        for draw in loading.draws:
            held[draw.tube] = held.get(draw.tube, 0.0) + draw.held
    costs: list[float] = []
    unpriced: dict[str, None] = {}
    for tube, amount in held.items():
        found = tubes.get(tube)
        if found is None or amount <= 0:
            continue
        taken = found.taken
        if taken.price is None or found.wrong or taken.held <= 0:
            unpriced[name_of(taken)] = None
        else:
            costs.append(float(taken.price) * amount / taken.held)
    named = sum(all(said.tube for said in loading.state.loaded) for loading in drawn)
    return MaterialsUsed(sum(costs) if costs else None, tuple(unpriced), len(drawn), named, begun)
