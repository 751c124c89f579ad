"""The notes of a commission as text."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.notes import NotesAnswer


def note_lines(answer: NotesAnswer, width: int = WIDTH) -> list[str]:
    """What `notes` prints."""
    lines = [f"NOTES: {cleaned(answer.title)}", ""]
    lines += [f"{done}." for done in map(cleaned, answer.done)]
    for note in answer.notes:
        day = f"{dt.datetime.fromisoformat(note.at).astimezone():%Y-%m-%d}"
        parts = [f"{note.about}:" if note.about else "", note.text]
        parts += [f"(photograph {note.photo})"] if note.photo else []
        lines += headed(day, cleaned(" ".join(filter(None, parts)), 2000), indent=12, width=width)
    return lines if answer.notes else [*lines, "nothing is noted yet"]
