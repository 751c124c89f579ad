"""What `notes` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class NoteOfOrder(Part):
    """One note: `about` a lot or a piece, empty for the whole; `photo`: a file's name, or empty."""

    about: str
    at: str
    text: str
    photo: str


@dataclass(frozen=True, kw_only=True)
class NotesAnswer(Answer):
    """`notes COMMISSION`: the earliest first; `done`: what was kept or taken back now."""

    commission: str
    title: str
    notes: tuple[NoteOfOrder, ...]
    done: tuple[str, ...]
    waits: bool
