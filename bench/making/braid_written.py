"""A braid whose changes are written down: each is in the journal, or known not to be saved yet."""

from __future__ import annotations

from bench.journal.errors import NotSaved
from bench.journal.events import Entry
from bench.journal.payload_base import Payload
from bench.journal.piece_state import PieceState
from bench.making.braid_so_far import BraidSoFar


class NotNow(Exception):
    """Something that cannot be done at this moment; the sentence says why."""


class BraidWritten(BraidSoFar):
    """What is made so far, and the one way in which it changes."""

    trouble = ""
    """Why the last change could not be saved; empty where it was."""

    def journal_retry(self) -> None:
        """Try once more to write what could not be written."""
        try:
            self.journal.retry()
            self.trouble = ""
        except NotSaved as error:
            self.trouble = str(error)

    @property
    def unsaved(self) -> int:
        """How many events could not be written yet."""
        return len(self.journal.pending)

    def _write(self, *said: Payload) -> None:
        lot = self.state.lot
        try:
            self.journal.append_many([Entry(payload, self.piece, lot) for payload in said])
            self.trouble = ""
        except NotSaved as error:
            self.trouble = str(error)

    def _must_be_open(self, state: PieceState) -> None:
        if not state.open:
            raise NotNow("The piece is finished; reopen it to change it.")
