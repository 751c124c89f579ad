"""The maker's stock: beads, thread and notions at hand, in stock.toml or stock.csv."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

from pydantic import Field, ValidationError, model_validator

from bench.craft.bead_weighings import WeighedBeads
from bench.craft.beads import BeadSize, find
from bench.craft.fields import DocumentPart, PlainLine, Title
from bench.craft.pattern import Bead, Colour, Millimetres, Shape
from bench.craft.text import Fault, cleaned
from bench.documents.errors import DocumentError
from bench.documents.reading import read_document, read_text
from bench.journal.regular_file import is_there

Amount = Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)]
AboveZero = Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False)]
Price = Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)]


def plain_name(name: str) -> str:
    """A name without regard to capitals and spaces, as names are compared."""
    return " ".join(name.split()).casefold()


class StockBead(DocumentPart):
    """Tubes of one kind of bead, of one dye lot. Loose beads are given in grams."""

    size: Title
    shape: Shape = "round"
    name: Title
    colour: Colour | None = None
    lot: PlainLine = Field("", description="Dye lot, as printed on the tube.")
    number: PlainLine = Field("", description="The maker's number of this bead.")
    shop: PlainLine = Field("", description="Where it is bought.")
    tubes: Amount = 0
    tube_g: AboveZero | None = Field(None, description="What a full tube holds.")
    grams: Amount = Field(0, description="Loose beads beside the tubes.")
    price: Price | None = Field(None, description="Of one tube.")
    per_10_g: AboveZero | None = Field(None, description="Your own count, if you made one.")
    weighed_beads: Annotated[int, Field(ge=1, le=10_000)] | None = Field(
        None, description="So many beads you weighed together."
    )
    weighed_g: AboveZero | None = Field(None, description="What they weighed.")

    @model_validator(mode="after")
    def _sound(self) -> StockBead:
        if (self.weighed_beads is None) != (self.weighed_g is None):
            raise Fault(
                "weighed_beads and weighed_g belong together; give both or none", "weighed_beads"
            )
        return self


class StockThread(DocumentPart):
    """Spools of one thread."""

    name: Title
    spools: Amount = 0
    spool_m: AboveZero | None = None
    metres: Amount = Field(0, description="What is left on a begun spool.")
    lot: PlainLine = Field("", description="Dye lot, as printed on the spool.")
    price: Price | None = Field(None, description="Of one spool.")
    shop: PlainLine = Field("", description="Where it is bought.")


class StockWire(DocumentPart):
    """Wire for cores."""

    metres: Amount = 0
    diameter_mm: Millimetres | None = None
    price: Price | None = Field(None, description="Of one metre.")
    shop: PlainLine = Field("", description="Where it is bought.")


class StockNotion(DocumentPart):
    """Anything counted: end beads, clips, needles."""

    name: Title
    count: Amount = 0
    price: Price | None = Field(None, description="Of one.")
    shop: PlainLine = Field("", description="Where it is bought.")


class Stock(DocumentPart):
    """Everything at hand."""

    format: Literal[1] = 1
    currency: Title = "EUR"
    beads: Annotated[tuple[StockBead, ...], Field(max_length=10_000)] = ()
    threads: Annotated[tuple[StockThread, ...], Field(max_length=1_000)] = ()
    wires: Annotated[tuple[StockWire, ...], Field(max_length=100)] = ()
    notions: Annotated[tuple[StockNotion, ...], Field(max_length=1_000)] = ()

    def matching(self, bead: Bead) -> tuple[StockBead, ...]:
        """The entries of a pattern's bead: size, shape and name alike, else size, shape, colour."""
        alike = [b for b in self.beads if (b.size, b.shape) == (bead.size, bead.shape)]
        named = tuple(b for b in alike if plain_name(b.name) == plain_name(bead.name))
        if named:
            return named
        return tuple(
            b for b in alike if b.colour is not None and b.colour.lower() == bead.colour.lower()
        )

    def thread(self, name: str) -> tuple[StockThread, ...]:
        """The entries of a thread, by name."""
        return tuple(t for t in self.threads if plain_name(t.name) == plain_name(name))

    def notion(self, name: str) -> StockNotion | None:
        """The entries of a notion taken together, by name; None without any."""
        found = [n for n in self.notions if plain_name(n.name) == plain_name(name)]
        if not found:
            return None
        price = next((n.price for n in found if n.price is not None), None)
        return StockNotion(name=found[0].name, count=sum(n.count for n in found), price=price)


@dataclass(frozen=True, slots=True)
class Shelf:
    """The stock with where it was read, and what was left out of it."""

    stock: Stock
    file: Path | None
    warnings: tuple[str, ...] = ()

    def weighed(self, resolution_g: float) -> Iterator[WeighedBeads]:
        """The weighings that the stock notes, on a scale of that resolution.

        The maker's own count per 10 g is one: of so many beads, weighed together.
        """
        for b in self.stock.beads:
            if b.per_10_g is not None:
                counted = max(1, round(b.per_10_g))
                grams = 10 * counted / b.per_10_g
                yield WeighedBeads(b.size, b.shape, b.name, counted, grams, resolution_g)
            if b.weighed_beads is not None and b.weighed_g is not None:
                yield WeighedBeads(
                    b.size, b.shape, b.name, b.weighed_beads, b.weighed_g, resolution_g
                )


def size_in_stock(entry: StockBead) -> BeadSize | None:
    """The table's row for an entry; None if the table does not know its size and shape."""
    try:
        return find(entry.size, entry.shape)
    except ValueError:
        return None


Sold = TypeVar("Sold", StockBead, StockThread)


def bought_again(entries: Iterable[Sold]) -> Sold | None:
    """The entry whose tube or spool is bought again: of those with a price the largest, or None.

    One that does not say what it holds counts as the smallest.
    """

    def holds(entry: StockBead | StockThread) -> float:
        return (entry.tube_g if isinstance(entry, StockBead) else entry.spool_m) or 0.0

    return max((e for e in entries if e.price is not None), key=holds, default=None)


def grams_of(entry: StockBead, tube_g: float) -> float:
    """How many grams an entry holds; tube_g where it does not say what a tube holds."""
    return entry.tubes * (entry.tube_g or tube_g) + entry.grams


def bead_g(entry: StockBead, otherwise: float) -> float:
    """Mass of one bead of an entry in grams: its own count or weighing, else as given."""
    if entry.per_10_g is not None:
        return 10 / entry.per_10_g
    if entry.weighed_g is not None and entry.weighed_beads is not None:
        return entry.weighed_g / entry.weighed_beads
    return otherwise


def read_stock(home: Path, file: Path | None = None) -> Shelf:
    """Read the stock: the given file, else stock.toml or stock.csv in the data folder.

    An empty shelf if there is none. Beads that are in no table and carry no count are named in
    one warning; the rest of the stock holds. Raises DocumentError for a file that is wrong.
    """
    if file is None:
        found = (home / name for name in ("stock.toml", "stock.csv"))
        file = next((path for path in found if is_there(path)), None)
        if file is None:
            return Shelf(Stock(), None)
    stock = _from_csv(file) if file.suffix.lower() == ".csv" else read_document(file, Stock)
    unknown = [
        f"{b.size} {b.shape} '{b.name}'"
        for b in stock.beads
        if size_in_stock(b) is None and b.per_10_g is None and b.weighed_g is None
    ]
    warnings = []
    if unknown:
        more = f" and {len(unknown) - 5} more" if len(unknown) > 5 else ""
        warnings.append(
            f"{cleaned(file.name)}: not in the bead table: {'; '.join(unknown[:5])}{more}; they"
            " are counted only for a pattern that names the bead and its measures: give per_10_g,"
            " or weighed_beads and weighed_g"
        )
    return Shelf(stock, file, tuple(warnings))


def weighed_in_stock(home: Path, resolution_g: float) -> tuple[tuple[WeighedBeads, ...], str]:
    """The weighings that the stock in a data folder notes; with what kept it from being read."""
    try:
        return tuple(read_stock(home).weighed(resolution_g)), ""
    except DocumentError as error:
        return (), f"beads weighed by your stock are left out: {error}"


_COLUMNS = tuple(StockBead.model_fields)


def _from_csv(path: Path) -> Stock:
    """Read beads from a CSV file with a head line. Raises DocumentError with the line."""
    text = read_text(path)
    head = text.split("\n", 1)[0]
    for other in (";", "\t"):
        if other in head and "," not in head:
            name = "semicolons" if other == ";" else "tabs"
            raise DocumentError(path, f"the columns are parted by {name}; save with commas", line=1)
    rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    beads: list[StockBead] = []
    try:
        names = [name.strip() for name in next(rows, [])]
        _check_head(path, names)
        for row in rows:
            if any(cell.strip() for cell in row):
                beads.append(_bead(path, rows.line_num, names, row))
    except csv.Error as error:
        raise DocumentError(
            path, f"this is not CSV that can be read: {error}", line=rows.line_num
        ) from None
    return Stock(beads=tuple(beads))


def _check_head(path: Path, names: list[str]) -> None:
    known = ", ".join(_COLUMNS)
    for name in names:
        if name not in _COLUMNS:
            raise DocumentError(
                path, f"the column '{cleaned(name, 40)}' is not known; known: {known}", line=1
            )
        if names.count(name) > 1:
            raise DocumentError(path, f"the column '{name}' stands twice", line=1)
    for name in ("size", "name"):
        if name not in names:
            raise DocumentError(path, f"the column '{name}' is missing; known: {known}", line=1)


def _bead(path: Path, line: int, names: list[str], row: list[str]) -> StockBead:
    if len(row) != len(names):
        hint = " (write 1.5, not 1,5)" if len(row) > len(names) else ""
        raise DocumentError(path, f"{len(row)} values for {len(names)} columns{hint}", line=line)
    values: dict[str, Any] = {n: v.strip() for n, v in zip(names, row, strict=True) if v.strip()}
    try:
        return StockBead.model_validate(values)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        raised = first.get("ctx", {}).get("error")
        key = tuple(first["loc"]) or (raised.key if isinstance(raised, Fault) else ())
        message = str(raised) if isinstance(raised, Fault) else first["msg"]
        found = first.get("input")
        if isinstance(found, str):
            message += f"; found '{cleaned(found, 40)}'"
            message += " (write 1.5, not 1,5)" if "," in found and "number" in message else ""
        raise DocumentError(
            path, message[0].lower() + message[1:], line=line, key=tuple(key)
        ) from None
