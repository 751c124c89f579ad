"""The maker's own notes: of one piece, of a pattern's pieces, of a commission's."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bench.journal import payloads as p
from bench.journal.errors import JournalError
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One note: the piece that it was kept with, when (UTC seconds), and what it says."""

    piece: PieceState
    wall: float
    text: str


def notes_of(journal: Journal | None, wanted: Callable[[PieceState], bool]) -> tuple[NoteLine, ...]:
    """The notes of the pieces that are wanted, the earliest first; none that cannot be read."""
    if journal is None:
        return ()
    found, states = list[NoteLine](), dict[str, PieceState]()
    try:
        for event, said in journal.each(p.Note):
            piece = event.piece
            if piece not in states:
                states[piece] = journal.state(piece)
            if wanted(states[piece]):
                found.append(NoteLine(states[piece], event.instant.wall, said.text))
    except JournalError:
        return ()
    return tuple(found)


def notes_of_piece(journal: Journal | None, piece: str) -> tuple[NoteLine, ...]:
    """The notes of one piece, the earliest first."""
    if journal is None:
        return ()
    state = journal.state(piece)
    return tuple(
        NoteLine(state, event.instant.wall, said.text)
        for event, said in journal.each(p.Note, piece)
    )
