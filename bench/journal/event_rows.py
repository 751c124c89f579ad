"""Events and checkpoints as rows, and back."""

from __future__ import annotations

import json
import sqlite3
import zlib
from collections.abc import Iterable, Iterator, Sequence
from sys import intern
from typing import Any, TypeAlias

from bench.journal.clock import Instant
from bench.journal.errors import Damaged
from bench.journal.events import Event, canonical, payload_of
from bench.journal.order import after_of, forked, in_order
from bench.journal.piece_state import STATE_VERSION, PieceState, mark_of
from bench.journal.state import apply, blank_state, replay

EventRow: TypeAlias = tuple[Any, ...]
"""The columns of `events` after `seq`."""

COLUMNS = (
    "uuid, bench, number, sitting, pieces, lot, wall, offset_min, boot, mono, kind, version,"
    " payload, crc"
)
_CHECKPOINTS = (
    "SELECT uuid, open, version, seq, state, crc,"
    " (SELECT max(seq) FROM parts WHERE piece = pieces.id) FROM pieces"
)
_NO_PIECE = 2
"""In place of whether a piece is open: events are about something else by this id."""
_ENDED = f"(open = 0 OR version > ?) AND open <> {_NO_PIECE}"
_OPEN = (
    "SELECT id FROM pieces WHERE version <= ?1 AND open = 1"
    " UNION ALL SELECT id FROM pieces WHERE version > ?1"
)
"""By the index alone; a later version may know of other ways to end a piece, or to reopen it."""

_OF_PIECE = (
    f"SELECT {COLUMNS} FROM parts JOIN events USING (seq)"
    " WHERE piece = (SELECT id FROM pieces WHERE uuid = ?) ORDER BY seq"
)
_INSERT = f"INSERT INTO events({COLUMNS}, seq) VALUES ({', '.join('?' * 15)})"


_FOR_A_SAMPLE = '"as_sample":true'
"""Stands so in what began a sample, and nowhere else: in a text a quote is written otherwise."""
_SENSELESS = (ValueError, TypeError, KeyError, AttributeError, RecursionError)
_decode = json.JSONDecoder().raw_decode
"""Without a look for blanks around: no row has any."""


def _crc(columns: Sequence[object]) -> int:
    return zlib.crc32("\x1f".join(map(str, columns)).encode("utf-8", "surrogatepass"))


def to_row(event: Event) -> EventRow:
    """Return the row of an event, its check included."""
    moment = event.instant
    columns = (
        event.uuid,
        event.bench,
        event.number,
        event.sitting,
        canonical([[p, s, a] for (p, s), a in zip(event.pieces, event.after, strict=True)]),
        event.lot,
        float(moment.wall),
        moment.offset_min,
        moment.boot,
        float(moment.mono),
        event.kind,
        event.version,
        canonical(event.values),
    )
    return (*columns, _crc(columns))


def to_event(row: EventRow) -> Event:
    """Return the event of a row. Raises Damaged if the row is not as it was written."""
    if len(row) != 14 or _crc(row[:13]) != row[13]:
        raise Damaged("An event in the journal is not as it was written.")
    # A foreign hand can write what bears its check and is no event all the same.
    try:
        pieces, payload = _decode(row[4])[0], _decode(row[12])[0]
        if not isinstance(payload, dict):
            raise TypeError
        return Event(
            uuid=row[0],
            bench=intern(row[1]),
            number=row[2],
            after=tuple(after for _, _, after in pieces),
            sitting=intern(row[3]),
            pieces=tuple((intern(piece), share) for piece, share, _ in pieces),
            lot=row[5],
            instant=Instant(row[6], row[7], intern(row[8]), row[9]),
            kind=intern(row[10]),
            version=row[11],
            payload=payload_of(row[10], row[11], payload),
        )
    except _SENSELESS as error:
        raise Damaged("An event in the journal makes no sense.") from error


def has(db: sqlite3.Connection, uuid: str) -> bool:
    """Say whether an event is in the journal."""
    return db.execute("SELECT 1 FROM events WHERE uuid = ?", (uuid,)).fetchone() is not None


def find(db: sqlite3.Connection, uuid: str) -> Event | None:
    """Return the event with this id."""
    row = db.execute(f"SELECT {COLUMNS} FROM events WHERE uuid = ?", (uuid,)).fetchone()
    return to_event(row) if row else None


def piece_id(
    db: sqlite3.Connection, piece: str, ids: dict[str, int], *, is_piece: bool = True
) -> int:
    """Return a piece's number in this file, given one if it is new. `ids` remembers them.

    What else events are about has its number here too, and neither state nor checkpoint.
    """
    number = ids.get(piece)
    if number is None:
        row = db.execute("SELECT id FROM pieces WHERE uuid = ?", (piece,)).fetchone()
        if row is None:
            number = db.execute(
                "INSERT INTO pieces(uuid, open, version, seq, state, crc)"
                " VALUES (?, ?, 0, 0, '', 0)",
                (piece, 1 if is_piece else _NO_PIECE),
            ).lastrowid
            assert number is not None
        else:
            number = int(row[0])
        ids[piece] = number
    return number


def add(db: sqlite3.Connection, event: Event, ids: dict[str, int], seq: int | None = None) -> int:
    """Write an event, not yet its pieces' states; return its place in the file."""
    placed = db.execute(_INSERT, (*to_row(event), seq)).lastrowid
    assert placed is not None
    for piece, _ in event.pieces:
        own = piece_id(db, piece, ids, is_piece=event.of_pieces)
        db.execute("INSERT INTO parts VALUES (?, ?)", (own, placed))
    return placed


def keep(db: sqlite3.Connection, state: PieceState, ids: dict[str, int], seq: int) -> None:
    """Write a piece's checkpoint: its state after the event at `seq`, its last in the file."""
    text = state.to_json()
    number = piece_id(db, state.uuid, ids)
    crc = _crc((state.uuid, int(state.open), seq, text))
    same = db.execute(
        "SELECT open = ? AND version = ? FROM pieces WHERE id = ?",
        (int(state.open), STATE_VERSION, number),
    ).fetchone()[0]
    if not same:
        db.execute(
            "UPDATE pieces SET open = ?, version = ? WHERE id = ?",
            (int(state.open), STATE_VERSION, number),
        )
    db.execute(
        "UPDATE pieces SET seq = ?, state = ?, crc = ? WHERE id = ?", (seq, text, crc, number)
    )


def kept(db: sqlite3.Connection, piece: str) -> PieceState | None:
    """Return a piece's state from its checkpoint; None if it lags or is another version's.

    Raises Damaged if the checkpoint is not as it was written, KeyError if there is no such piece.
    """
    row = db.execute(f"{_CHECKPOINTS} WHERE uuid = ?", (piece,)).fetchone()
    if row is None:
        raise KeyError(piece)
    return _state(row)


def all_kept(db: sqlite3.Connection, *, open_only: bool) -> list[tuple[str, PieceState | None]]:
    """Return all pieces, or those that may be in the making, with their states as `kept` does."""
    where = f"WHERE id IN ({_OPEN})" if open_only else f"WHERE open <> {_NO_PIECE} AND ?1"
    rows = db.execute(f"{_CHECKPOINTS} {where} ORDER BY id", (STATE_VERSION,))
    return [(row[0], _state(row)) for row in rows]


def _state(row: EventRow) -> PieceState | None:
    text = _kept_text(row)
    try:
        return None if text is None or row[2] != STATE_VERSION else PieceState.from_json(text)
    except _SENSELESS as error:
        raise Damaged("A piece's state in the journal makes no sense.") from error


def _kept_text(row: EventRow) -> str | None:
    """Return a checkpoint as it was written, by whatever version; None if it lags."""
    piece, is_open, _, seq, text, crc, last = row
    if seq != last:
        return None
    if _crc((piece, is_open, seq, text)) != crc:
        raise Damaged("A piece's state in the journal is not as it was written.")
    return str(text)


def ended(db: sqlite3.Connection) -> dict[str, str]:
    """Return the pieces that are not in the making, each with its state's `mark`.

    "" where only the piece's events can tell. Raises Damaged as `kept` does.
    """
    rows = db.execute(f"{_CHECKPOINTS} WHERE {_ENDED} ORDER BY id", (STATE_VERSION,))
    return {row[0]: _mark(row) for row in rows}


def mark_of_ended(db: sqlite3.Connection) -> list[str | int]:
    """Return a mark of the pieces that are not in the making and of all their events; [] of none.

    Places in a file only rise: whatever is done to a piece gives one of them a higher last place,
    or leaves fewer of them. The ids tell the file from one that went on from its copy.
    """
    count, last = db.execute(
        "SELECT count(*), max((SELECT max(seq) FROM parts WHERE piece = pieces.id))"
        f" FROM pieces WHERE {_ENDED}",
        (STATE_VERSION,),
    ).fetchone()
    row = db.execute("SELECT uuid FROM events WHERE seq = ?", (last,)).fetchone()
    return [who(db)[0], count, last, row[0]] if row else []


def _mark(row: EventRow) -> str:
    text = None if row[2] > STATE_VERSION else _kept_text(row)
    try:
        if text is None:
            return ""
        said = _decode(text)[0]
        return mark_of(said.get("last_event"), said.get("events"))
    except _SENSELESS as error:
        raise Damaged("A piece's state in the journal makes no sense.") from error


def of_piece(db: sqlite3.Connection, piece: str) -> list[Event]:
    """Return a piece's events, in their order. Raises Damaged if one is not as it was written.

    An event that another piece's list holds, or that this one lacks though the file has it, is
    damage too. One that names an event of another piece as the one before it is not: a foreign hand
    can write that, and it is taken like one whose forerunner is missing.
    """
    events = [to_event(row) for row in db.execute(_OF_PIECE, (piece,))]
    known = {event.uuid for event in events}
    for event in events:
        after = after_of(event, piece)
        if after is None or after in known:
            continue
        before = find(db, after) if after else None
        if after == "" or (before is not None and any(own == piece for own, _ in before.pieces)):
            raise Damaged("An event in the journal is not with its piece.")
    return in_order(piece, events)


def all_events(db: sqlite3.Connection, after_seq: int) -> Iterator[tuple[int, Event]]:
    """Yield the events after a place in the file, as they came in, with their places."""
    rows = db.execute(f"SELECT seq, {COLUMNS} FROM events WHERE seq > ? ORDER BY seq", (after_seq,))
    for row in rows:
        yield row[0], to_event(row[1:])


def renew(
    db: sqlite3.Connection, piece: str, ids: dict[str, int]
) -> tuple[PieceState, list[Event]]:
    """Replay a piece from its events and write its checkpoint.

    Returns its state, and its events if it was carried on at two benches, else none: those that lie
    in their order, however many, are taken one by one. What is no piece gets no checkpoint, and a
    blank state.
    """
    state, is_piece = blank_state(piece, timed=False), False
    events: list[Event] = []
    rows = db.execute(_OF_PIECE, (piece,))
    for event in map(to_event, rows):
        if after_of(event, piece) != state.last_event:
            events = of_piece(db, piece)
            state = replay(piece, events, timed=False)
            is_piece = any(event.of_pieces for event in events)
            events = events if forked(piece, events) else []
            break
        is_piece = is_piece or event.of_pieces
        state = apply(state, event)
    rows.close()
    if not is_piece:
        own = piece_id(db, piece, ids)
        db.execute("UPDATE pieces SET open = ? WHERE id = ?", (_NO_PIECE, own))
        return blank_state(piece), events
    last = db.execute(
        "SELECT max(seq) FROM parts WHERE piece = ?", (piece_id(db, piece, ids),)
    ).fetchone()[0]
    keep(db, state, ids, last)
    return state, events


def renew_all(db: sqlite3.Connection, pieces: Iterable[str], ids: dict[str, int]) -> None:
    """Replay several pieces and write their checkpoints."""
    for piece in pieces:
        renew(db, piece, ids)


def check_pieces(db: sqlite3.Connection, *, open_only: bool) -> None:
    """Read the checkpoints of pieces. Raises Damaged if one is broken, or listed but not found."""
    for piece, _ in all_kept(db, open_only=open_only):
        if not db.execute("SELECT 1 FROM pieces WHERE uuid = ?", (piece,)).fetchone():
            raise Damaged("A piece in the journal is listed but not found.")


def some(
    db: sqlite3.Connection, after_seq: int, most: int, kind: str | None
) -> list[tuple[int, Event]]:
    """Return up to `most` events after a place in the file, of one kind or all."""
    rows = db.execute(some_of(kind), (after_seq, kind, most))
    return [(row[0], to_event(row[1:])) for row in rows]


def some_of(kind: str | None) -> str:
    """Return the query for events of one kind or all; it says what lets the index be used."""
    which = "kind = ?2"
    if kind is None:
        which = "?2 IS NULL"
    elif kind != "crossed":
        which = "kind = ?2 AND kind <> 'crossed'"
    return f"SELECT seq, {COLUMNS} FROM events WHERE seq > ?1 AND {which} ORDER BY seq LIMIT ?3"


def latest(db: sqlite3.Connection, bench: str, kinds: Sequence[str], most: int) -> list[Instant]:
    """Return when a bench's events of some kinds came about, of the last `most` in the file."""
    rows = db.execute(
        "SELECT wall, offset_min, boot, mono FROM"
        " (SELECT * FROM events ORDER BY seq DESC LIMIT ?)"
        f" WHERE bench = ? AND kind IN ({', '.join('?' * len(kinds))}) ORDER BY seq",
        (most, bench, *kinds),
    )
    return [Instant(*row) for row in rows]


def start(db: sqlite3.Connection, piece: str) -> Event | None:
    """Return the event that started a piece, or None."""
    row = db.execute(
        f"SELECT {COLUMNS} FROM parts JOIN events USING (seq)"
        " WHERE piece = (SELECT id FROM pieces WHERE uuid = ?) AND kind = 'piece_started'"
        " ORDER BY seq LIMIT 1",
        (piece,),
    ).fetchone()
    return to_event(row) if row else None


def begun_last(db: sqlite3.Connection) -> tuple[str, float] | None:
    """Return the piece whose beginning is the latest, and when that was; or None.

    One that was begun to be a sample is passed over.
    """
    rows = db.execute(
        "SELECT pieces.uuid, wall, payload FROM events JOIN parts USING (seq)"
        " JOIN pieces ON pieces.id = parts.piece WHERE kind = 'piece_started'"
        " ORDER BY wall DESC, events.seq DESC"
    )
    return next(((uuid, wall) for uuid, wall, text in rows if _FOR_A_SAMPLE not in text), None)


def counts(db: sqlite3.Connection) -> dict[str, int]:
    """Return how many events and pieces the file holds."""
    return {
        "events": db.execute("SELECT count(*) FROM events").fetchone()[0],
        "pieces": db.execute(f"SELECT count(*) FROM pieces WHERE open <> {_NO_PIECE}").fetchone()[
            0
        ],
    }


def last_place(db: sqlite3.Connection) -> int:
    """Return the place of the event that came last; 0 without any."""
    place: int | None = db.execute("SELECT max(seq) FROM events").fetchone()[0]
    return place or 0


def last_numbers(db: sqlite3.Connection) -> dict[str, int]:
    """Return the highest number of each bench's events."""
    return dict(db.execute("SELECT bench, max(number) FROM events GROUP BY bench"))


def who(db: sqlite3.Connection) -> tuple[str, int]:
    """Return this bench's id and the number of its last event."""
    row: tuple[str, int] = db.execute("SELECT uuid, number FROM bench").fetchone()
    return row
