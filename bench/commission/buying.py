"""Stock against needs: what is short, what to buy, what it costs, where a dye lot runs out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bench.answers.needs import BeadToBuy, Notion, Purchase, PurchaseCost
from bench.commission.dye_lots import DyeTube, DyeWant, SharedOut, share_out
from bench.craft.pattern import Bead
from bench.craft.spare import Spare
from bench.documents.settings import Settings
from bench.documents.stock import (
    Shelf,
    Stock,
    StockBead,
    bead_g,
    bought_again,
    grams_of,
    plain_name,
)

MOST_TUBES = 1_000
"""More tubes of one entry than any lot takes; a stock may say more."""


@dataclass(frozen=True, slots=True)
class LotWant:
    """What the pieces of one lot take of one bead: `each` for one piece."""

    name: str
    pieces: int
    each: int
    begun: str | None = None
    """The dye lot that it is begun with."""


@dataclass(frozen=True, slots=True)
class BeadWant:
    """One kind of bead over all lots, with the stock's entries of it."""

    letter: str
    bead: Bead
    mass_g: float
    spare: Spare
    lots: tuple[LotWant, ...]
    entries: tuple[StockBead, ...]

    @property
    def count(self) -> int:
        """Beads of all pieces, without spare."""
        return sum(lot.pieces * lot.each for lot in self.lots)

    @property
    def needed(self) -> int:
        """Beads of all pieces with their spare."""
        return self.spare.beads_for(self.count)

    @property
    def name(self) -> str:
        """Size and name, as on a tube."""
        shape = "" if self.bead.shape == "round" else f" {self.bead.shape}"
        return f"{self.bead.size}{shape} {self.bead.name}"

    @property
    def tube_g(self) -> float:
        """What a tube holds by the stock, the one with a price first; 0 where it does not say."""
        if self._priced is not None:
            return self._priced.tube_g or 0.0
        return next((e.tube_g for e in self.entries if e.tube_g is not None), 0.0)

    @property
    def price(self) -> float | None:
        """What a tube costs by the stock."""
        return None if self._priced is None else self._priced.price

    @property
    def _priced(self) -> StockBead | None:
        """The entry whose tube is bought again."""
        return bought_again(self.entries)


@dataclass(frozen=True, slots=True)
class ThreadWant:
    """One thread over all lots: metres as cut, spools if all were new, metres at hand.

    `missing_m` is what the spools at hand do not give in whole lengths, `buy` the spools for it.
    """

    name: str
    metres: float
    longest_mm: float
    spools: int
    spool_m: float
    have_m: float
    missing_m: float
    buy: int
    price: float | None


@dataclass(frozen=True, slots=True)
class Lack:
    """Something that the stock does not hold enough of."""

    of: BeadWant | ThreadWant | Notion | None
    what: str
    missing: float
    unit: Literal["g", "m", "count"]
    packs: int
    pack: str
    price: float | None
    held: float | None = None
    """What a pack holds in that unit."""

    @property
    def kind(self) -> Literal["beads", "thread", "wire", "notions"]:
        """What kind of thing it is."""
        if isinstance(self.of, BeadWant):
            return "beads"
        if isinstance(self.of, ThreadWant):
            return "thread"
        return "wire" if self.of is None else "notions"

    @property
    def says(self) -> str:
        """What is short, in a few words."""
        if self.unit == "count":
            return f"{self.what}: {self.missing:.0f} short"
        return f"{self.what}: {self.missing:.1f} {self.unit} short"


def shared_out(wants: Sequence[BeadWant], usual_tube_g: float) -> list[BeadWant]:
    """Share the stock out, so that no tube is promised to two kinds of bead.

    Where an entry goes by its name or its colour for several, the one that it fits best takes
    what it needs first; the rest goes to the next, what is over to the first.
    """
    claims: dict[int, list[int]] = {}
    entries = {id(e): e for want in wants for e in want.entries}
    for number, want in enumerate(wants):
        for entry in want.entries:
            claims.setdefault(id(entry), []).append(number)
    needed = [float(want.needed) for want in wants]
    given: dict[tuple[int, int], float] = {}
    left = {key: grams_of(entry, usual_tube_g) for key, entry in entries.items()}
    pairs = [(key, number) for key, numbers in claims.items() for number in numbers]
    for key, number in sorted(
        pairs, key=lambda p: (_misfit(entries[p[0]], wants[p[1]].bead), len(claims[p[0]]), p[1])
    ):
        each = bead_g(entries[key], wants[number].mass_g)
        grams = min(left[key], needed[number] * each)
        given[key, number] = grams
        left[key] -= grams
        needed[number] -= grams / each
    for key, numbers in claims.items():
        best = min(numbers, key=lambda n: (_misfit(entries[key], wants[n].bead), n))
        given[key, best] += left[key]
    return [
        replace(
            want,
            entries=tuple(
                e.model_copy(update={"tubes": 0, "grams": given[id(e), number]})
                if len(claims[id(e)]) > 1
                else e
                for e in want.entries
            ),
        )
        for number, want in enumerate(wants)
    ]


def _misfit(entry: StockBead, bead: Bead) -> int:
    """How badly an entry fits: 0 by name and colour, 1 by name alone, 2 by colour alone."""
    if plain_name(entry.name) != plain_name(bead.name):
        return 2
    return int(entry.colour is not None and entry.colour.lower() != bead.colour.lower())


def lacks(
    beads: Sequence[BeadWant],
    threads: Sequence[ThreadWant],
    notions: Sequence[Notion],
    wire_mm: float | None,
    shelf: Shelf,
    settings: Settings,
) -> list[Lack]:
    """What the stock lacks; everything that is used up where no stock is kept.

    Things that serve again are only missed where the stock names them.
    """
    found: list[Lack] = []
    for want in beads:
        lack = _bead_lack(want, settings.thumb.tube_g)
        found += [lack] if lack is not None else []
    for one in threads:
        lack = _thread_lack(one)
        found += [lack] if lack is not None else []
    have_wire = sum(wire.metres for wire in shelf.stock.wires)
    if wire_mm is not None and have_wire < wire_mm / 1000:
        price = next((w.price for w in shelf.stock.wires if w.price is not None), None)
        metres = max(1, math.ceil(wire_mm / 1000 - have_wire))
        missing = wire_mm / 1000 - have_wire
        found.append(Lack(None, "core wire", missing, "m", metres, "metre", price))
    for notion in notions:
        entry = shelf.stock.notion(notion.name)
        if entry is None and not notion.used_up:
            continue
        missing = notion.count - (entry.count if entry is not None else 0)
        if missing > 0:
            price = entry.price if entry is not None else None
            packs = math.ceil(missing)
            found.append(Lack(notion, notion.name, missing, "count", packs, "piece", price))
    return found


def shopping(
    found: Sequence[Lack], shelf: Shelf
) -> tuple[tuple[Purchase, ...], PurchaseCost | None]:
    """Turn what lacks into a list to buy from, and its cost where any price is known."""
    buy = tuple(
        Purchase(
            what=lack.what,
            missing=round(lack.missing, 2),
            unit=lack.unit,
            packs=lack.packs,
            pack=lack.pack,
            held=lack.held,
            bead=_bead_to_buy(lack.of),
            price=round(lack.packs * lack.price, 2) if lack.price is not None else None,
            kind=lack.kind,
            shop=_shop_of(lack, shelf.stock),
        )
        for lack in found
    )
    prices = [item.price for item in buy if item.price is not None]
    if not prices:
        return buy, None
    complete = len(prices) == len(buy)
    amount = round(math.fsum(prices), 2)
    return buy, PurchaseCost(amount=amount, currency=shelf.stock.currency, complete=complete)


def _bead_to_buy(of: BeadWant | ThreadWant | Notion | None) -> BeadToBuy | None:
    if not isinstance(of, BeadWant):
        return None
    bead = of.bead
    return BeadToBuy(
        bead=of.letter,
        size=bead.size,
        shape=bead.shape,
        colour=bead.colour,
        name=bead.name,
        mass_g=of.mass_g,
    )


def _shop_of(lack: Lack, stock: Stock) -> str:
    """Where the stock says that such a thing is bought."""
    if isinstance(lack.of, BeadWant):
        shops = [entry.shop for entry in lack.of.entries]
    elif isinstance(lack.of, ThreadWant):
        shops = [entry.shop for entry in stock.thread(lack.of.name)]
    elif lack.of is None:
        shops = [wire.shop for wire in stock.wires]
    else:
        wanted = plain_name(lack.of.name)
        shops = [notion.shop for notion in stock.notions if plain_name(notion.name) == wanted]
    return next(filter(None, shops), "")


def dye_lots_of(want: BeadWant, tube_g: float) -> SharedOut:
    """Which dye lot of one kind of bead each lot of pieces takes."""
    wants = tuple(
        DyeWant(lot.name, want.spare.beads_for(lot.pieces * lot.each), lot.begun)
        for lot in want.lots
    )
    return share_out(wants, tuple(_tubes_of(want, tube_g)))


def mid_lot(beads: Sequence[BeadWant], settings: Settings) -> Iterator[str]:
    """Warn where a lot of pieces has to mix dye lots: which one runs out after which piece.

    It begins with the dye lot that it has begun, else with the largest that is left; once nothing
    is left no more is said.
    """
    for want in beads:
        given = dye_lots_of(want, settings.thumb.tube_g)
        left = held_by_dye_lot(want, settings.thumb.tube_g)
        for lot, name in zip(want.lots, given.dye_lots, strict=True):
            if name is not None:
                left[name] -= want.spare.beads_for(lot.pieces * lot.each)
        for lot, taken in zip(want.lots, given.dye_lots, strict=True):
            if taken is not None:
                continue
            if not any(beads_left > 1e-9 for beads_left in left.values()):
                break
            whole = want.spare.beads_for(lot.pieces * lot.each)
            name = max(left, key=lambda n: (n == lot.begun and left[n] > 0, left[n]))
            piece = want.spare.pieces_from(left[name], lot.each)
            if left[name] >= whole and name != lot.begun:
                yield (
                    f"{want.name}: lot '{lot.name}' is begun with dye lot {lot.begun}, of which"
                    f" {left.get(lot.begun or '', 0.0):.0f} are left; what it still takes"
                    f" ({whole}) comes from dye lot {name}: look whether they match"
                )
                left[name] -= whole
                continue
            label = f"dye lot {name}" if name else "what is in stock"
            when = f"after piece {piece} of {lot.pieces}" if piece else "within its first piece"
            yield (
                f"{want.name}: {label} runs out in lot '{lot.name}' {when}"
                f" ({left[name]:.0f} for {whole});"
                " have tubes of one dye lot for all of it before you begin, or hang what comes"
                " after apart"
            )
            rest = float(whole)
            for other in sorted(left, key=lambda n: (n != name, -left[n])):
                used = min(rest, left[other])
                left[other] -= used
                rest -= used


def held_by_dye_lot(want: BeadWant, tube_g: float) -> dict[str, float]:
    """Beads of one kind that the stock has, by their dye lot."""
    held: dict[str, float] = {}
    for tube in _tubes_of(want, tube_g):
        held[tube.dye_lot] = held.get(tube.dye_lot, 0.0) + tube.beads
    return held


def _tubes_of(want: BeadWant, tube_g: float) -> Iterator[DyeTube]:
    """The tubes of the stock's entries, whole ones and what is begun, in beads."""
    for entry in want.entries:
        each = bead_g(entry, want.mass_g)
        whole, part = divmod(entry.tubes, 1)
        full = (entry.tube_g or tube_g) / each
        yield from (DyeTube(entry.lot, full) for _ in range(min(int(whole), MOST_TUBES)))
        if part:
            yield DyeTube(entry.lot, part * full, True)
        if entry.grams:
            yield DyeTube(entry.lot, entry.grams / each, True)


def _bead_lack(want: BeadWant, usual_tube_g: float) -> Lack | None:
    have = sum(grams_of(e, usual_tube_g) / bead_g(e, want.mass_g) for e in want.entries)
    missing = want.needed - have
    if missing <= 1e-9:
        return None
    tube = want.tube_g or usual_tube_g
    missing_g = missing * want.mass_g
    packs = math.ceil(missing_g / tube - 1e-9)
    return Lack(want, want.name, missing_g, "g", packs, f"tube of {tube:g} g", want.price, tube)


def _thread_lack(want: ThreadWant) -> Lack | None:
    if want.missing_m <= 1e-9:
        return None
    held, pack = want.spool_m, f"spool of {want.spool_m:g} m"
    if not want.buy:
        held = round(want.longest_mm / 1000, 1)
        pack = f"spool of {held:.1f} m or more"
    return Lack(want, want.name, want.missing_m, "m", max(1, want.buy), pack, want.price, held)
