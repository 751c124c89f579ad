"""The page on which a note is typed, with the earlier ones of the piece above the line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from bench.journal.errors import JournalError
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.notes import NoteLine, notes_of_piece
from bench.screens.kit.companion import Companion
from bench.screens.kit.text_entry import TextEntry

MOST_OF_A_NOTE = 200


def note_words(note: NoteLine) -> str:
    """A note with its day: '03 Mar: the fourth row sits high'."""
    when = dt.datetime.fromtimestamp(note.wall).astimezone()
    return f"{when:%d %b}: {note.text}"


def note_of_piece(note: NoteLine) -> str:
    """A note with its day and the piece that it was kept with."""
    when = dt.datetime.fromtimestamp(note.wall).astimezone()
    return f"{when:%d %b}, {note.piece.name}: {note.text}"


def note_entry(companion: Companion, braid: Braid, tell: Callable[[str], None]) -> TextEntry:
    """The page that keeps a note with a piece, and tells what came of it."""

    def keep(text: str) -> None:
        try:
            braid.note(text)
            unsaved = braid.unsaved
            tell(f"not saved ({unsaved}): the note" if unsaved else "note kept with the piece")
        except (NotNow, JournalError) as refusal:
            tell(str(refusal))

    earlier = [note_words(note) for note in notes_of_piece(braid.journal, braid.piece)]
    asks = "what do you want to keep?"
    return TextEntry(companion, "NOTE", asks, MOST_OF_A_NOTE, keep, earlier)
