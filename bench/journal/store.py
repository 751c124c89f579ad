"""The journal: every event on disk before it counts, and each piece's state at hand."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from types import TracebackType

from bench.journal import damage, schema
from bench.journal import event_rows as table
from bench.journal.clock import Clock, SystemClock
from bench.journal.errors import BadEvent, JournalError, NotSaved, Refused, Unwritable
from bench.journal.events import (
    Entry,
    Event,
    Pieces,
    check_lot,
    kept,
    new_id,
    whole_share,
)
from bench.journal.file_in_hand import Away, Changed, Hold, first_open, why
from bench.journal.merge import Merged, join
from bench.journal.payload_base import Payload
from bench.journal.payloads import PieceStarted, Recorded
from bench.journal.piece_state import PieceState
from bench.journal.reading import Reading
from bench.journal.state import apply, blank_state

HIGHEST_FOREIGN = 2**52
"""This journal's own numbers go on after none that is higher: they must stay below 2^53."""


class Journal(Reading):
    """One journal file, opened by `Journal.open`.

    `pending`: events that could not be written yet, in order; they count in every answer that the
    journal gives. `trouble`: why nothing can be written now, or nothing. `sitting`: the id of this
    stretch of work.
    """

    def __init__(self, hold: Hold, clock: Clock, *, trouble: str = "") -> None:
        super().__init__(hold)
        self.trouble = trouble
        self.sitting = new_id()
        self._clock = clock
        self._shaky = bool(trouble)
        self._written: list[Event] = []

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        write: bool,
        wait_s: float = 0.0,
        clock: Clock | None = None,
        even_unsaved: bool = False,
    ) -> Journal:
        """Open the journal at `path`; for writing, with its lock beside it.

        Writing: the file is made if it is missing, brought up to date if it is older, mended if it
        is damaged (see `reports`); the lock is waited for up to `wait_s` seconds. With
        `even_unsaved`, a journal that cannot be written is opened all the same: each event is then
        kept in `pending`, tried again with the next, and NotSaved says why.
        Reading: a missing file reads as an empty journal; nothing is locked, made or changed.

        Raises Locked, Unwritable, Refused (another program's file, a newer journal), or Damaged
        (reading only).
        """
        hold = Hold(Path(path), write=write, wait_s=wait_s)
        trouble = first_open(hold, even_unsaved=even_unsaved)
        return cls(hold, clock or SystemClock(), trouble=trouble)

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def another_reader(self) -> Journal:
        """Open the file once more, to read in another thread: what waits to be written counts too.

        It knows what waits now, not what comes later. Raises as `open` does.
        """
        reader = Journal.open(self.path, write=False, clock=self._clock)
        reader.pending = [*self.pending]
        return reader

    def close(self) -> None:
        """Try once more to save what is pending, then let file and lock go."""
        with self._guard:
            with contextlib.suppress(NotSaved):
                self.retry()
            self._hold.close()

    # Writing

    def append(
        self,
        payload: Payload,
        *,
        pieces: Pieces,
        lot: str | None = None,
    ) -> Event:
        """Write one event; it is on disk when this returns.

        Raises BadEvent if it does not hold what its kind must hold (nothing is changed), NotSaved
        if it could not be written (it is kept in `pending` and counts from now on).
        """
        return self.append_many([Entry(payload, pieces, lot)])[0]

    def append_many(self, entries: Sequence[Entry]) -> list[Event]:
        """Write several events in one transaction: all or none. Raises as `append` does."""
        with self._guard:
            self._may_write()
            states: dict[str, PieceState] = {}
            events: list[Event] = []
            for entry in entries:
                event = self._event(entry, self._number + 1 + len(events), states, events)
                events.append(event)
                if event.of_pieces:
                    for piece, _ in event.pieces:
                        states[piece] = apply(states[piece], event)
            self._states.update(states)
            self._number += len(events)
            self.pending = [*self.pending, *events]
            self._save(events)
            return events

    def retry(self) -> None:
        """Try to write what is pending. Raises NotSaved if it still cannot be written."""
        with self._guard:
            if self.pending or self.trouble:
                self._save([])

    def merge(self, events: Iterable[Event]) -> Merged:
        """Take in events from elsewhere, all or none; those that are known change nothing.

        Raises Conflict if one differs from the journal's own of the same id, NotSaved if they could
        not be written; what `events` itself raises passes through. Nothing is kept then.
        """
        with self._guard:
            self._may_write()
            self.retry()
            try:
                self._see_to_changes()
                merged = self._merge(events)
                self._hold.check_place()
            except (Away, *schema.TROUBLE) as error:
                self._shaky = True
                if schema.is_damage(error):
                    self._hold.mend("it is broken")
                    raise NotSaved("the journal was damaged and is mended; try again") from error
                raise NotSaved(why(error)) from error
            return merged

    def _may_write(self) -> None:
        if not self._hold.write:
            raise Unwritable("The journal was opened for reading only.")

    def _event(
        self, entry: Entry, number: int, states: dict[str, PieceState], before: Sequence[Event]
    ) -> Event:
        payload = kept(entry.payload)
        shares = whole_share(entry.pieces)
        if payload.SUBJECT == "piece":
            after = tuple(self._known(piece, payload, states).last_event for piece, _ in shares)
        else:
            after = tuple(self._last_about(subject, before) for subject, _ in shares)
        return Event(
            uuid=entry.uuid or new_id(),
            bench=self._bench,
            number=number,
            after=after,
            sitting=self.sitting,
            pieces=shares,
            lot=check_lot(entry.lot),
            instant=self._clock.now(),
            kind=payload.KIND,
            version=payload.VERSION,
            payload=payload,
        )

    def _known(self, piece: str, payload: Payload, states: dict[str, PieceState]) -> PieceState:
        if piece not in states:
            try:
                states[piece] = self.state(piece)
            except KeyError:
                if not isinstance(payload, PieceStarted | Recorded):
                    raise BadEvent(f"The piece {piece} was never started.") from None
                states[piece] = blank_state(piece)
        return states[piece]

    def _last_about(self, subject: str, before: Sequence[Event]) -> str | None:
        """The last event about a commission or a tube, those still to be written included."""
        about = (e for e in reversed(before) if any(own == subject for own, _ in e.pieces))
        last = next(about, None)
        if last is None:
            last = next(reversed(list(self.events(subject))), None)
        return None if last is None else last.uuid

    def _save(self, new: Sequence[Event]) -> None:
        """Write what is pending, `new` included; leave it pending and raise NotSaved if not."""
        try:
            if self._shaky:
                self._get_ready()
            self._see_to_changes()
            try:
                self._write()
            except Away:
                self._get_ready()
                self._write()
            except schema.TROUBLE as error:
                if not schema.is_damage(error):
                    raise
                self._hold.mend("it is broken")
                self._join([])
            self._shaky, self.trouble = False, ""
        except (OSError, JournalError, *schema.TROUBLE) as error:
            self._shaky, self.trouble = True, why(error)
            raise NotSaved(self.trouble) from error

    def _write(self) -> None:
        """Write what is pending, with the states at hand. Raises Away if the file is not there."""
        if not self.pending:
            return
        db, ids = self._hold.db, self._ids
        db.execute("BEGIN IMMEDIATE")
        try:
            places: dict[str, int] = {}
            for event in self.pending:
                if self._shaky and table.has(db, event.uuid):
                    continue
                seq = table.add(db, event, ids)
                if event.of_pieces:
                    places |= {piece: seq for piece, _ in event.pieces}
            for piece, seq in places.items():
                table.keep(db, self._states[piece], ids, seq)
            db.execute("UPDATE bench SET number = ?", (self._number,))
            db.execute("COMMIT")
        except BaseException:
            self._roll_back()
            raise
        try:
            self._hold.check_place()
        except Away:
            self._shaky = True
            raise
        self._written += self.pending
        self._on_disk, self.pending = self._number, []

    def _see_to_changes(self) -> None:
        """Mend the file if another program has written to it since, and spoilt what was in it."""
        try:
            self._hold.check_content()
        except Changed:
            if self._is_as_known():
                self._hold.know_content()
                return
            wrong = "another program wrote to it while it was open"
            self._hold.mend_as_found(wrong, self._written)
            self._join([])

    def _is_as_known(self) -> bool:
        """Whether the file is whole and has all that was written to it, read anew."""
        try:
            if schema.probe(self.path, write=False) is not None:
                return False
            with contextlib.closing(schema.open_reader(self.path)) as db:
                damage.whole(db)
                last = all(table.has(db, event.uuid) for event in self._written[-1:])
                return last and table.who(db)[1] >= self._on_disk
        except Refused:
            return False
        except schema.TROUBLE as error:
            # A log that was cut is missed where the other connections know it to be: an I/O error.
            cut = getattr(error, "sqlite_errorcode", 0) & 255 == sqlite3.SQLITE_IOERR
            if not (cut or schema.is_damage(error)):
                raise
            return False

    def _get_ready(self) -> None:
        """Have the file open for writing, in its place, and know what is in it."""
        join = self._hold.make_ready()
        self._ids.clear()
        if join is None:
            self._learn_name()
        else:
            self._join(join)

    def _join(self, events: Sequence[Event]) -> None:
        """Write events and what is pending into a file whose content is not known here."""
        self._ids.clear()
        merged = self._merge([*events, *self.pending])
        self.reports.extend(merged.warnings)
        self._hold.check_place()
        self.pending = []

    def _merge(self, events: Iterable[Event]) -> Merged:
        db, ids = self._hold.db, self._ids
        db.execute("BEGIN IMMEDIATE")
        own, latest = table.who(db)

        def counted() -> Iterator[Event]:
            nonlocal latest
            for event in events:
                if event.bench == own and event.number <= HIGHEST_FOREIGN:
                    latest = max(latest, event.number)
                yield event

        try:
            merged = join(db, counted(), ids)
            self._learn_name()
            self._number = max(self._number, latest)
            db.execute("UPDATE bench SET number = ?", (self._number,))
            db.execute("COMMIT")
            self._on_disk = self._number
        except BaseException:
            self._roll_back()
            raise
        self._states.clear()
        return merged

    def _roll_back(self) -> None:
        self._ids.clear()
        with contextlib.suppress(sqlite3.Error):
            if self._hold.db.in_transaction:
                self._hold.db.execute("ROLLBACK")
        self._hold.know_content()

    def check(self, rest: Callable[[], object] = lambda: None) -> bool:
        """Read the whole journal, and mend it if need be (see `reports`); say whether it was sound.

        It takes seconds for a million events, and no event can be appended meanwhile: read it all
        through another `Journal`, opened for reading, and come here only if that one raises.
        `rest` is called now and then, to let others work; what it raises passes through. Raises
        Damaged if this one was opened for reading only.
        """
        before = len(self.reports)
        self._read(partial(damage.whole, rest=rest))
        return len(self.reports) == before
