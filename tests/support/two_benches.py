"""Benches of their own folders, whose events are given from one to the other."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from bench.commission.book import CommissionBook, keep, new_book, open_book
from bench.commission.changing import with_lot
from bench.commission.elsewhere import take_over, without_file
from bench.commission.pieces import read_pieces
from bench.commission.starting import start_of_lot
from bench.documents.commission import Commission, Lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

DAY = dt.date(2027, 3, 1)
MADE = {
    name: WorkedPattern.from_library(Library(Path("nowhere")), Settings(), name)
    for name in ("silver-eaves", "cistern")
}


@dataclass(frozen=True)
class Bench:
    """One bench: a folder with orders and a journal."""

    library: Library
    journal: Journal

    @classmethod
    def at(cls, home: Path) -> Bench:
        """Open the bench of a folder; nothing waits for the disk."""
        (home / "commissions").mkdir(parents=True)
        journal = Journal.open(home / "journal.db", write=True)
        journal._hold.db.execute("PRAGMA synchronous = OFF")
        return cls(Library(home), journal)

    def book(self, name: str) -> CommissionBook:
        """An order as it stands here."""
        return open_book(self.library, self.journal, name)

    def begin(self, name: str, pattern: str, lot: str = "Lot 1", pieces: int = 3) -> str:
        """Begin an order with one lot; return its id."""
        first = Lot(id=f"{pattern[:4]}-lot", name=lot, pattern=pattern, pieces=pieces)
        order = Commission(format=1, title=name.title(), lots=(first,))
        book = new_book(self.library, name, order)
        self.journal.append_many(keep(book, book.commission, DAY))
        return book.id

    def change(self, order: str, lot: str, **values: object) -> None:
        """Change a lot of an order in the app."""
        book = self.book(order)
        changed = with_lot(book.commission, lot, values)
        self.journal.append_many(keep(book, changed, DAY, made_more_goes="stock"))

    def by_hand(self, order: str, old: str, new: str) -> None:
        """Change the file of an order as in an editor."""
        file = self.library.home / "commissions" / f"{order}.toml"
        text = file.read_text("utf-8")
        assert old in text
        file.write_text(text.replace(old, new), "utf-8")

    def make(self, name: str, lot: str, *, older: bool = False) -> str:
        """Make a good piece of a lot; `older`: as older programs did, with no ids in its events."""
        book = self.book(name)
        own = book.commission.lot(lot)
        made = MADE[own.kind.pattern]
        number = read_pieces(self.journal, book).next_number(own)
        if older:
            braid = Braid.start(
                self.journal, made, stage="finish", commission=name, lot=own.name, number=number
            )
        else:
            braid = start_of_lot(self.journal, made, name, book.id, own, number, "finish")
        braid.finish("good")
        return braid.piece

    def take_in(self, other: Bench, *, customers: bool = False) -> tuple[str, ...]:
        """Take in all events of another bench; return what is told of it."""
        stream = io.StringIO()
        export_jsonl(other.journal, stream, customers=customers)
        return import_jsonl(self.journal, io.StringIO(stream.getvalue())).warnings

    def take_orders(self) -> list[str]:
        """Write the files of the orders that came in; return their names."""
        came = without_file(self.journal, self.library)
        for name, version in came.items():
            take_over(self.journal, self.library, name, version)
        return [*came]

    def orders(self) -> list[str]:
        """The names of the orders that have a file of their own here."""
        return [entry.name for entry in self.library.commissions() if not entry.shipped]

    def pieces(self) -> Mapping[tuple[str, str], Mapping[str, int | None]]:
        """The pieces of every lot that has a file here, with their numbers: by order and lot."""
        found: dict[tuple[str, str], Mapping[str, int | None]] = {}
        for name in self.orders():
            book = self.book(name)
            there = read_pieces(self.journal, book)
            for lot in book.commission.lots:
                own = {piece.state.uuid: piece.state.number for piece in there.of_lot(lot)}
                assert len(own) == book.made.get(lot.id or "", 0)
                found[book.id, lot.id or ""] = own
        return found


Benches = tuple[Bench, Bench]
"""Two benches, whatever they know of each other."""
