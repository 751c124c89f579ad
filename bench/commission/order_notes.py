"""Notes and photographs' names, of a commission, its lots and its pieces, in one list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bench.commission.book import CommissionBook
from bench.commission.pieces import CommissionPieces
from bench.craft.text import Fault, plain
from bench.journal.commission_payloads import CommissionNoted, CommissionUndone
from bench.journal.payloads import Note
from bench.journal.store import Journal


@dataclass(frozen=True, slots=True)
class OrderNote:
    """One note: what it is about (a lot, a piece, or "" for the whole), when (UTC seconds).

    `event`: the event that keeps it. `of_order`: whether it can be taken back; what was noted at
    the bench stays.
    """

    about: str
    wall: float
    text: str
    photo: str
    event: str
    of_order: bool


def read_notes(
    journal: Journal, book: CommissionBook, found: CommissionPieces
) -> tuple[OrderNote, ...]:
    """Read the notes of a commission and its pieces, the earliest first."""
    notes = [*_of_order(journal, book, found), *_of_pieces(journal, found)]
    return tuple(sorted(notes, key=lambda note: note.wall))


def note_said(
    book: CommissionBook,
    found: CommissionPieces,
    text: str,
    photo: str = "",
    lot: str | None = None,
    piece: str | None = None,
) -> CommissionNoted:
    """The note that is to be kept. Raises Fault for one that says nothing, an unknown lot, piece.

    A photograph goes by the name of its file, wherever that lies.
    """
    text, photo = plain(text).strip(), plain(photo.replace("\\", "/").rsplit("/", 1)[-1]).strip()
    if not text and not photo:
        raise Fault("a note says something, or names a photograph")
    of_lot = "" if lot is None else book.commission.lot(lot).id or ""
    of_piece = ""
    if piece is not None:
        of_piece = found.one_called(piece).state.uuid
    return CommissionNoted(text, photo, of_lot, of_piece)


def _of_order(
    journal: Journal, book: CommissionBook, found: CommissionPieces
) -> Iterator[OrderNote]:
    undone = {said.event for _, said in journal.each(CommissionUndone, book.id)}
    lots = dict(book.history.lot_names)
    lots |= {lot.id: lot.name for lot in book.commission.lots if lot.id}
    pieces = {piece.state.uuid: piece.name for piece in found.pieces}
    for event, said in journal.each(CommissionNoted, book.id):
        if event.uuid not in undone:
            about = pieces.get(said.piece, said.piece) or lots.get(said.lot, said.lot)
            yield OrderNote(about, event.instant.wall, said.text, said.photo, event.uuid, True)


def _of_pieces(journal: Journal, found: CommissionPieces) -> Iterator[OrderNote]:
    pieces = {piece.state.uuid: piece.name for piece in found.pieces}
    for event, said in journal.each(Note):
        if event.piece in pieces:
            about = pieces[event.piece]
            yield OrderNote(about, event.instant.wall, said.text, "", event.uuid, False)
