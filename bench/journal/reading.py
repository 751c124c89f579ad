"""What a journal answers: pieces and events, those that could not be written yet included."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Collection, Iterable, Iterator
from functools import partial
from operator import itemgetter
from pathlib import Path
from typing import TypeVar

from bench.journal import event_rows as table
from bench.journal import schema
from bench.journal.clock import Instant
from bench.journal.events import Event
from bench.journal.file_in_hand import Hold
from bench.journal.order import in_order
from bench.journal.payload_base import Payload
from bench.journal.payloads import PieceStarted
from bench.journal.piece_state import PieceState
from bench.journal.state import apply, blank_state, replay

T = TypeVar("T")
P = TypeVar("P", bound=Payload)

_CHUNK = 1000


class Reading:
    """The questions that an open journal answers; `pending` has what is not in the file yet."""

    def __init__(self, hold: Hold) -> None:
        self.pending: list[Event] = []
        self._hold = hold
        self._states: dict[str, PieceState] = {}
        self._ids: dict[str, int] = {}
        self._guard = threading.RLock()
        self._learn_name()

    @property
    def path(self) -> Path:
        """The file."""
        return self._hold.path

    @property
    def folder(self) -> Path:
        """The data folder that the journal lies in."""
        return self._hold.path.parent

    @property
    def reports(self) -> list[str]:
        """What was done about damage or a vanished folder, one sentence each, for the maker."""
        return self._hold.reports

    @property
    def bench(self) -> str:
        """The id of this journal among others."""
        return self._bench

    def _learn_name(self) -> None:
        self._bench, number = table.who(self._hold.db)
        self._on_disk = number
        mine = (event.number for event in self.pending if event.bench == self._bench)
        self._number = max(number, *mine, 0)

    def _read(self, question: Callable[[sqlite3.Connection], T]) -> T:
        with self._guard:
            answer, mended = self._hold.read(question)
            if mended:
                self._ids.clear()
                self._states.clear()
                self._learn_name()
            return answer

    def _not_in(self, db: sqlite3.Connection, piece: str | None = None) -> list[Event]:
        """Return what is pending and not in the file, of one piece or all.

        An event can be in a file that was taken away, and be pending for the one to come.
        """
        return [
            event
            for event in self.pending
            if (piece is None or any(own == piece for own, _ in event.pieces))
            and not table.has(db, event.uuid)
        ]

    def _pending_pieces(self) -> Iterator[str]:
        return (piece for event in self.pending if event.of_pieces for piece, _ in event.pieces)

    @property
    def writes(self) -> bool:
        """Whether it was opened for writing."""
        return self._hold.write

    def holds(self, uuid: str) -> bool:
        """Say whether an event is in the file, or waits to be written."""
        with self._guard:
            pending = any(event.uuid == uuid for event in self.pending)
            return pending or self._read(partial(table.has, uuid=uuid))

    def state(self, piece: str) -> PieceState:
        """Return how a piece stands, pending events included. Raises KeyError for an unknown one.

        The checkpoint is used if it is up to date; otherwise the piece is replayed.
        """
        with self._guard:
            if piece in self._states:
                return self._states[piece]

            def stands(db: sqlite3.Connection) -> tuple[PieceState, list[Event]]:
                waiting = self._not_in(db, piece)
                try:
                    kept = table.kept(db, piece)
                except KeyError:
                    if not waiting:
                        raise
                    return blank_state(piece), waiting
                return kept or replay(piece, table.of_piece(db, piece)), waiting

            state, waiting = self._read(partial(_at_one_moment, stands))
            for event in waiting:
                state = apply(state, event)
            if self._hold.write:
                self._states[piece] = state
            return state

    def timed(self, piece: str) -> PieceState:
        """Return how a piece stands, with its `presses`. Raises KeyError for an unknown one."""
        with self._guard:
            state = self.state(piece)
            if state.presses is None:
                state = replay(piece, self.events(piece))
                if self._hold.write:
                    self._states[piece] = state
            return state

    def pieces(self, open_only: bool = True) -> list[PieceState]:
        """Return the pieces in the making, or all, in the order in which they came."""
        with self._guard:
            known = dict(self._read(partial(table.all_kept, open_only=open_only)))
            waiting = dict.fromkeys(self._pending_pieces())
            states = (
                self._states.get(piece) or state or self.state(piece)
                for piece, state in {**known, **waiting}.items()
            )
            return [state for state in states if state.open or not open_only]

    def ended(self) -> dict[str, str]:
        """Return the pieces that may be ended, in the order in which they came, with a mark each.

        While a piece's mark is the same, the piece is ended and nothing was done to it; "" is no
        mark: ask for its state. It costs less than the states, and no replay.
        """
        with self._guard:
            ends = self._read(table.ended)
            waiting = dict.fromkeys(self._pending_pieces(), "")
            return {**ends, **waiting}

    def mark_of_ended(self) -> list[str | int]:
        """Return a mark that stays as long as nothing is done to any ended piece; [] is no mark."""
        with self._guard:
            return [] if self.pending else self._read(table.mark_of_ended)

    def mark_of_all(self) -> tuple[int, int]:
        """Return a mark that stays as long as no event comes."""
        with self._guard:
            return self._read(table.last_place), len(self.pending)

    def events(self, piece: str | None = None, kind: str | None = None) -> Iterator[Event]:
        """Yield events, pending ones last: one piece's in their order, or all as they came in.

        `kind` leaves the events of this kind, but for those that a newer program wrote in its own
        way.
        """

        def wanted(event: Event) -> bool:
            return kind is None or (event.kind == kind and event.understood)

        if piece is not None:
            with self._guard:
                events, its = self._read(
                    partial(
                        _at_one_moment,
                        lambda db: (table.of_piece(db, piece), self._not_in(db, piece)),
                    )
                )
            yield from filter(wanted, in_order(piece, events + its) if its else events)
            return
        # What waits now may be written between two reads: it must be in one of them, and in one.
        waiting = {event.uuid: event for event in self.pending}
        for _, event in self._placed(kind):
            waiting.pop(event.uuid, None)
            if wanted(event):
                yield event
        waiting |= {event.uuid: event for event in self._read(self._not_in)}
        yield from filter(wanted, waiting.values())

    def each(self, model: type[P], piece: str | None = None) -> Iterator[tuple[Event, P]]:
        """Yield the events of one kind with what they hold, as `events` does."""
        for event in self.events(piece, model.KIND):
            if isinstance(event.payload, model):
                yield event, event.payload

    def by_piece(self, model: type[P]) -> dict[str, list[tuple[Event, P]]]:
        """Return the events of one kind with what they hold by their pieces, each's in its order.

        `each` gives those of all pieces as they came in, which after a merge is no piece's order.
        """
        found: dict[str, list[tuple[Event, P]]] = {}
        for event, said in self.each(model):
            for piece, _ in event.pieces:
                found.setdefault(piece, []).append((event, said))
        for piece, its in found.items():
            if len({event.bench for event, _ in its}) > 1:
                found[piece] = list(self.each(model, piece))
        return found

    def came(self, models: Collection[type[Payload]]) -> list[Event]:
        """Return the events of some kinds in the order in which they came, pending ones last."""
        kinds, waiting = {model.KIND for model in models}, [*self.pending]
        placed = sorted((one for kind in kinds for one in self._placed(kind)), key=itemgetter(0))
        found = {event.uuid: event for _, event in placed}
        for event in (*waiting, *self.pending):
            if event.kind in kinds:
                found.setdefault(event.uuid, event)
        return [event for event in found.values() if event.understood]

    def _placed(self, kind: str | None) -> Iterator[tuple[int, Event]]:
        """Yield what is saved, each with its place; kind: of that one only."""
        place = 0
        while chunk := self._chunk(place, kind):
            yield from chunk
            place = chunk[-1][0]

    def _chunk(self, place: int, kind: str | None) -> list[tuple[int, Event]]:
        return self._read(lambda db: table.some(db, place, _CHUNK, kind))

    def copy_to(self, path: Path) -> None:
        """Write the journal as it is now to another file, also while it is written to.

        Raises sqlite3.Error or OSError: of the other file, whatever it says.
        """
        with self._guard:
            schema.copy(self._hold.db, path)

    def seen(self) -> dict[str, int]:
        """Return the last number of each bench whose events are known."""
        found = self._read(table.last_numbers)
        for event in self.pending:
            found[event.bench] = max(event.number, found.get(event.bench, 0))
        return found

    def latest(self, models: Iterable[type[Payload]], most: int) -> list[Instant]:
        """Return when events of some kinds came about here, of the last `most` that are saved."""
        kinds = [model.KIND for model in models]
        return self._read(lambda db: table.latest(db, self._bench, kinds, most))

    def started(self, piece: str) -> PieceStarted | None:
        """Return what began a piece; None if that is not there or not understood."""
        found = self._read(lambda db: table.start(db, piece))
        if found is None:
            found = next(
                (e for e in self.pending if e.piece == piece and e.kind == PieceStarted.KIND), None
            )
        said = None if found is None else found.payload
        return said if isinstance(said, PieceStarted) else None

    def begun_last(self) -> PieceState | None:
        """Return how the piece stands that was begun last, by the clock; None without any.

        One that was begun to be a sample is passed over.
        """
        begun = [
            (event.instant.wall, event.piece)
            for event in self.pending
            if isinstance(event.payload, PieceStarted) and not event.payload.as_sample
        ]
        written = self._read(table.begun_last)
        if written is not None:
            begun.append((written[1], written[0]))
        return self.state(max(begun)[1]) if begun else None

    def counts(self) -> dict[str, int]:
        """Return how many `events`, `pieces` and pieces in the making (`open`); and `pending`."""
        counts = self._read(table.counts)
        return {**counts, "open": len(self.pieces()), "pending": len(self.pending)}


def _at_one_moment(question: Callable[[sqlite3.Connection], T], db: sqlite3.Connection) -> T:
    """Answer a question of several reads with nothing written between them."""
    if db.in_transaction:
        return question(db)
    db.execute("BEGIN")
    try:
        return question(db)
    finally:
        db.execute("ROLLBACK")
