"""Tubes and spools out of a stock file, and the stock as the tubes in the journal say."""

from __future__ import annotations

import math
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from bench.commission.bead_kind import BeadKind, kind_of, thread_kind
from bench.commission.tube_book import Tube, read_tubes, seen_by
from bench.commission.tube_entry import Entry, amount_of, entry_of, unit_of
from bench.craft.beads import mass_g
from bench.documents.library import Library
from bench.documents.stock import (
    Shelf,
    StockBead,
    StockNotion,
    StockThread,
    StockWire,
    bead_g,
    plain_name,
    read_stock,
    size_in_stock,
)
from bench.journal.store import Journal
from bench.journal.tube_payloads import FileRefused, TubeContent, TubeCounted, TubeTaken

_NAMESPACE = uuid.UUID("1f0f4d6e-3f55-4f1c-b8a5-2f6c0a6b9d31")
MOST_TUBES = 1_000
"""More tubes of one row than anybody keeps."""


@dataclass(frozen=True)
class FileTube:
    """A tube that a stock file speaks of: its id, which follows from its row, and what it is."""

    id: str
    taken: TubeTaken


@dataclass(frozen=True)
class Difference:
    """A tube of which the file says another amount than when it was taken in."""

    tube: Tube
    says: float

    @property
    def amounts(self) -> str:
        """What the file says, and the book."""
        file, book = (amount_of(self.tube.taken, held) for held in (self.says, self.tube.held))
        return f"file {file}, book {book}"

    @property
    def text(self) -> str:
        """What is offered, in a sentence."""
        return (
            f"{self.tube.short} {self.tube.name}: the file says {self.says:.0f}"
            f" {unit_of(self.tube.taken)}, the book {self.tube.held:.0f}; as a count?"
        )


def tubes_in(shelf: Shelf, tube_g: float, spool_m: float, day: str) -> Iterator[FileTube]:
    """Every tube and spool of a stock file.

    A row of the same kind and dye lot gives its tubes running numbers, so that the same row means
    the same tubes whatever it says of amounts and prices. What is begun comes last of a row.
    Beads that no table knows and that carry no count of their own are left out.
    """
    numbers: dict[str, int] = {}
    for entry in shelf.stock.beads:
        known = size_in_stock(entry)
        each = bead_g(entry, 0.0 if known is None else mass_g(known))
        if each <= 0:
            continue
        key = f"beads|{entry.size}|{entry.shape}|{plain_name(entry.name)}|{entry.lot}"
        whole_g = entry.tube_g or tube_g
        for grams, opened in _tubes(entry.tubes, whole_g, entry.grams):
            taken = TubeTaken(
                "beads", entry.name, round(grams / each), day, "file", entry.size, entry.shape,
                entry.colour, entry.lot, entry.number, entry.shop, "",
                None if entry.price is None else f"{entry.price:.2f}", grams, opened,
            )  # fmt: skip
            yield FileTube(_id(key, numbers), taken)
    for thread in shelf.stock.threads:
        key = f"thread|{plain_name(thread.name)}" + (f"|{thread.lot}" if thread.lot else "")
        for metres, opened in _tubes(thread.spools, thread.spool_m or spool_m, thread.metres):
            price = None if thread.price is None else f"{thread.price:.2f}"
            taken = TubeTaken(
                "thread", thread.name, metres, day, "file", dye_lot=thread.lot, shop=thread.shop,
                price=price, opened=opened,
            )  # fmt: skip
            yield FileTube(_id(key, numbers), taken)
    yield from _loose_in(shelf, day)


def _loose_in(shelf: Shelf, day: str) -> Iterator[FileTube]:
    """The wire and the notions of a stock file, each entry a coil or a bag."""
    numbers: dict[str, int] = {}
    loose: list[tuple[TubeContent, str, float, StockWire | StockNotion]] = [
        *(("wire", wire_name(wire), wire.metres, wire) for wire in shelf.stock.wires),
        *(("notion", one.name, one.count, one) for one in shelf.stock.notions),
    ]
    for what, name, held, entry in loose:
        if held > 0:
            price = None if entry.price is None else f"{entry.price * held:.2f}"
            taken = TubeTaken(
                what, name, held, day, "file", shop=entry.shop, price=price, opened=True
            )
            yield FileTube(_id(f"{what}|{plain_name(name)}", numbers), taken)


def wire_name(wire: StockWire) -> str:
    """What a coil of wire is called."""
    return "core wire" if wire.diameter_mm is None else f"core wire {wire.diameter_mm:g} mm"


def wire_kind(wire: StockWire) -> BeadKind:
    """The kind that a coil of wire is of."""
    return "", "wire", plain_name(wire_name(wire))


def notion_kind(notion: StockNotion) -> BeadKind:
    """The kind that something counted is of."""
    return "", "notion", plain_name(notion.name)


def differences(
    file: list[FileTube], tubes: Mapping[str, Tube], *, own: bool = True
) -> list[Difference]:
    """The tubes of which the file says what was not answered yet, nor is counted.

    own: it is the maker's stock file, so that what it no longer has holds nothing.
    """
    found = []
    says = {one.id: one.taken.held for one in file}
    for tube in tubes.values():
        if tube.taken.source != "file" or not (own or tube.id in says):
            continue
        now = says.get(tube.id, 0.0)
        known = {tube.file_said, tube.held, *(count.held for count in tube.balance.counts)}
        if now not in known:
            found.append(Difference(tube, now))
    return found


def accepted(journal: Journal, one: Difference) -> TubeCounted:
    """The event that takes what the file says as a count."""
    return TubeCounted(one.says, 0.0, "file", seen_by(journal))


def refused(one: Difference) -> FileRefused:
    """The event that refuses it, so that it is not offered again until the file changes."""
    return FileRefused(one.says)


def read_shelf(journal: Journal, library: Library) -> Shelf:
    """The stock: of what the journal has tubes, as they stand; of the rest, as the file says."""
    return with_tubes(read_stock(library.home), read_tubes(journal))


def with_tubes(shelf: Shelf, tubes: Mapping[str, Tube]) -> Shelf:
    """Put the tubes of the journal in the place of a file's entries of the same kind."""
    sound = {tube.id: tube for tube in tubes.values() if not tube.wrong}
    left_out = [f"{tube.short} is left out: {tube.wrong}" for tube in tubes.values() if tube.wrong]
    shelf = replace(shelf, warnings=(*shelf.warnings, *left_out))
    if not sound:
        return shelf
    kinds = {tube.kind for tube in sound.values() if not tube.is_asked}
    from_file = {tube.kind for tube in sound.values() if tube.taken.source == "file"}
    stock = shelf.stock
    entries: list[Entry] = [
        *(bead for bead in stock.beads if kind_of(bead) not in kinds),
        *(thread for thread in stock.threads if thread_kind(thread.name) not in kinds),
        *(wire for wire in stock.wires if wire_kind(wire) not in from_file),
        *(one for one in stock.notions if notion_kind(one) not in from_file),
    ]
    owed: dict[BeadKind, float] = {}
    for tube in sound.values():
        owed[tube.kind] = owed.get(tube.kind, 0.0) + max(0.0, -tube.held)
    for tube in sorted(sound.values(), key=lambda tube: -tube.held):
        held = max(0.0, tube.held)
        off = min(held, owed[tube.kind])
        owed[tube.kind] -= off
        entries.append(entry_of(tube.taken, held - off, opened=tube.opened))
    of_tubes = {
        "beads": tuple(one for one in entries if isinstance(one, StockBead)),
        "threads": tuple(one for one in entries if isinstance(one, StockThread)),
        "wires": tuple(one for one in entries if isinstance(one, StockWire)),
        "notions": tuple(one for one in entries if isinstance(one, StockNotion)),
    }
    stock = stock.model_copy(update=of_tubes)
    return replace(shelf, stock=stock, file=shelf.file or Path("tubes"))


def _tubes(whole: float, each: float, rest: float) -> Iterator[tuple[float, bool]]:
    """Whole tubes of so much each, then what is begun."""
    for _ in range(min(math.floor(whole), MOST_TUBES)):
        yield each, False
    for part in ((whole - math.floor(whole)) * each, rest):
        if part > 0:
            yield part, True


def _id(key: str, numbers: dict[str, int]) -> str:
    numbers[key] = numbers.get(key, 0) + 1
    return str(uuid.uuid5(_NAMESPACE, f"{key}|{numbers[key]}"))
