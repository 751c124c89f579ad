"""What the maker says of a piece as a whole, even of one whose plan cannot be read."""

from __future__ import annotations

from bench.journal.payloads import BreakCorrected, GivenUp, TriedOut
from bench.journal.store import Journal


def give_up(journal: Journal, piece: str, reason: str) -> None:
    """Keep that a piece in the making is given up. Raises JournalError."""
    journal.append(GivenUp(reason), pieces=piece)


def mark_trial(journal: Journal, piece: str, *, trial: bool) -> None:
    """Keep that a piece was only tried out and counts for nothing, or that it was not.

    Raises KeyError for an unknown piece, JournalError.
    """
    if journal.state(piece).trial != trial:
        journal.append(TriedOut(trial), pieces=piece)


def correct_break(journal: Journal, piece: str, event: str, *, is_break: bool) -> None:
    """Keep that the gap before an event of a piece is a break, or is none. Raises JournalError."""
    journal.append(BreakCorrected(event, is_break), pieces=piece)
