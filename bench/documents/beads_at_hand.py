"""What the stock holds of one size of bead, by name, with what is left of it."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.beads import mass_g
from bench.documents.stock import Stock, bead_g, grams_of, size_in_stock


@dataclass(frozen=True, slots=True)
class BeadAtHand:
    """One kind of bead of the stock; `beads` is None where its mass is not known.

    `colour` is None where the stock does not say it: such a bead is listed, and never matched.
    """

    size: str
    shape: str
    name: str
    colour: str | None
    grams: float
    beads: int | None

    @property
    def left(self) -> str:
        """What is left, in words."""
        about = "" if self.beads is None else f", about {self.beads:,} beads"
        return f"{self.grams:.1f} g{about}"


def beads_at_hand(stock: Stock, size: str, shape: str, tube_g: float) -> tuple[BeadAtHand, ...]:
    """Every kind of bead of a size and shape, by name; tubes and dye lots of one kind together.

    `tube_g`: what a full tube holds where the stock does not say.
    """
    grams: dict[tuple[str, str | None], float] = {}
    counts: dict[tuple[str, str | None], float | None] = {}
    for entry in stock.beads:
        if (entry.size, entry.shape) != (size, shape):
            continue
        key = entry.name, None if entry.colour is None else entry.colour.lower()
        known = size_in_stock(entry)
        one_g = bead_g(entry, 0.0 if known is None else mass_g(known))
        held = grams_of(entry, tube_g)
        before = counts.get(key, 0.0)
        grams[key] = grams.get(key, 0.0) + held
        counts[key] = None if before is None or not one_g else before + held / one_g
    found = []
    for name, colour in sorted(grams, key=lambda key: (key[0], key[1] or "")):
        count = counts[name, colour]
        beads = None if count is None else int(count)
        found.append(BeadAtHand(size, shape, name, colour, grams[name, colour], beads))
    return tuple(found)
