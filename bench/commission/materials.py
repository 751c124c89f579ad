"""What the materials in some pieces cost: the share of each tube and spool that goes into them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bench.answers.needs import BeadNeed, NeedsAnswer
from bench.craft.pattern import Bead
from bench.documents.settings import ShopSettings, ThumbRules
from bench.documents.stock import Stock, bought_again


@dataclass(frozen=True)
class Materials:
    """What is known of the cost, in the stock's currency, and what has no price there."""

    amount: float
    currency: str
    unpriced: tuple[str, ...]


def materials_of(needs: NeedsAnswer, stock: Stock, thumb: ThumbRules) -> Materials | None:
    """Price what is used up, spare included, by the packs in the stock; None without any price."""
    parts = list(_parts(needs, stock, thumb))
    known = [cost for _, cost in parts if cost is not None]
    if not known:
        return None
    unpriced = tuple(dict.fromkeys(name for name, cost in parts if cost is None))
    return Materials(sum(known), stock.currency, unpriced)


def _parts(
    needs: NeedsAnswer, stock: Stock, thumb: ThumbRules
) -> Iterator[tuple[str, float | None]]:
    for bead in needs.beads:
        yield f"{bead.size} {bead.name}", _bead(bead, stock, thumb)
    for thread in needs.threads:
        spool = bought_again(stock.thread(thread.name))
        cost = None
        if spool is not None and spool.price is not None:
            cost = thread.metres / (spool.spool_m or thumb.spool_m) * spool.price
        yield thread.name, cost
    for notion in needs.notions:
        if notion.used_up:
            entry = stock.notion(notion.name)
            price = None if entry is None else entry.price
            yield notion.name, None if price is None else price * notion.count


def _bead(bead: BeadNeed, stock: Stock, thumb: ThumbRules) -> float | None:
    kind = Bead.model_validate(
        {"size": bead.size, "shape": bead.shape, "colour": bead.colour, "name": bead.name}
    )
    bought = bought_again(stock.matching(kind))
    if bought is None or bought.price is None:
        return None
    return bead.grams / (bought.tube_g or thumb.tube_g) * bought.price


def priced_by(shop: ShopSettings, materials: str = "") -> str:
    """Return what goes into a price: 'hours, materials (12.00), overhead and margin'."""
    parts = ["hours"]
    if materials:
        parts.append(f"materials ({materials})")
    if shop.overhead_percent:
        parts.append("overhead")
    return f"{', '.join(parts)} and margin"
