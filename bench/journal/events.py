"""Events: what happened at the bench, one small record each, and what each kind must hold."""

from __future__ import annotations

import json
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from bench.journal.clock import Instant
from bench.journal.errors import BadEvent
from bench.journal.payload_base import JSON, NotUnderstood, Payload
from bench.journal.payloads import model_of
from bench.journal.typed_json import as_json, brief, read

Pieces: TypeAlias = str | Sequence[tuple[str, float]]
"""One piece's id, or several with the share of the work that each had (shares add up to 1)."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    `number` runs up within a `bench` (a journal's id). `pieces` holds each piece's id and its share
    of the work; `after`, beside it, each piece's event before this one (None: its first).
    """

    uuid: str
    bench: str
    number: int
    after: tuple[str | None, ...]
    sitting: str
    pieces: tuple[tuple[str, float], ...]
    lot: str | None
    instant: Instant
    kind: str
    version: int
    payload: Payload

    @property
    def piece(self) -> str:
        """The piece, or the first of several."""
        return self.pieces[0][0]

    @property
    def of_pieces(self) -> bool:
        """Whether it is about pieces, and not about a commission, its customer or a tube."""
        return self.payload.SUBJECT == "piece"

    @property
    def understood(self) -> bool:
        """Whether this program knows the kind in this version, and the payload fits it."""
        return not isinstance(self.payload, NotUnderstood)

    @property
    def values(self) -> dict[str, JSON]:
        """The payload as JSON."""
        said = self.payload
        return dict(said.values) if isinstance(said, NotUnderstood) else as_json(said)

    def share(self, piece: str) -> float:
        """Return the share of the work that a piece had; 1 where it is not named."""
        return next((share for own, share in self.pieces if own == piece), 1.0)


@dataclass(frozen=True, slots=True)
class Entry:
    """An event that is to be appended; the journal fills in the rest, an id where none is given."""

    payload: Payload
    pieces: Pieces
    lot: str | None = None
    uuid: str | None = None


def new_id() -> str:
    """Return an id for a piece, an event, a bench or a sitting."""
    return str(uuid.uuid4())


def canonical(value: object) -> str:
    """Return JSON with sorted keys, without spaces, ASCII only.

    Raises ValueError or TypeError for what JSON cannot hold (NaN and infinity included).
    """
    return json.dumps(value, sort_keys=True, separators=(",", ":"), allow_nan=False)


def fingerprint(pattern: object, structure: object) -> str:
    """Return the SHA-256 of a resolved pattern with its structure, as 64 hexadecimal digits."""
    import hashlib

    return hashlib.sha256(canonical([pattern, structure]).encode("ascii")).hexdigest()


def payload_of(kind: str, version: int, values: Mapping[str, JSON]) -> Payload:
    """Return what an event holds, as this program understands it.

    A kind or a version that it does not know, and what does not fit its kind, is NotUnderstood.
    """
    model = model_of(kind)
    if model is None or version > model.VERSION:
        return NotUnderstood(values)
    try:
        return read(model, values)
    except ValueError as misfit:
        return NotUnderstood(values, str(misfit))


def checked(kind: str, version: int, values: Mapping[str, JSON]) -> Payload:
    """Return what an event holds. Raises BadEvent for what does not fit its kind."""
    payload = payload_of(kind, version, values)
    if isinstance(payload, NotUnderstood) and payload.why:
        raise BadEvent(f"The event {kind} {payload.why}.")
    return payload


def kept(payload: Payload) -> Payload:
    """Return a payload as it will be read back, with nothing shared with the caller's.

    Raises BadEvent for what does not fit its kind, and for what JSON cannot hold.
    """
    if model_of(payload.KIND) is None:
        raise BadEvent("What is not understood cannot be written.")
    try:
        values = json.loads(canonical(as_json(payload)))
    except (TypeError, ValueError, RecursionError) as error:
        raise BadEvent(f"The event {payload.KIND} holds what JSON cannot: {error}.") from error
    return checked(payload.KIND, payload.VERSION, values)


def whole_share(pieces: Pieces) -> tuple[tuple[str, float], ...]:
    """Return pieces with their shares, checked: at least one, none twice, together 1.

    Raises BadEvent.
    """
    if isinstance(pieces, str):
        pieces = ((pieces, 1.0),)
    shares = tuple((piece, float(share)) for piece, share in pieces)
    if not shares:
        raise BadEvent("An event needs a piece.")
    for piece, share in shares:
        check_id("piece", piece)
        if not 0 < share <= 1:
            raise BadEvent(f"A piece cannot have a share of {share} in an event.")
    if len({piece for piece, _ in shares}) < len(shares):
        raise BadEvent("A piece stands twice in one event.")
    if abs(sum(share for _, share in shares) - 1) > 1e-6:
        raise BadEvent("The shares of the pieces in an event must add up to 1.")
    return shares


def check_id(what: str, value: object) -> str:
    """Return `value` if it can be an id: 1 to 64 printable ASCII characters. Raises BadEvent."""
    if isinstance(value, str) and 1 <= len(value) <= 64 and value.isascii() and value.isprintable():
        return value
    raise BadEvent(f"The {what} {brief(value)} is not an id.")


def check_lot(lot: object) -> str | None:
    """Return a lot's name if it is one (or None). Raises BadEvent."""
    if lot is None or (isinstance(lot, str) and lot.isprintable() and len(lot) <= 200):
        return lot
    raise BadEvent(f"The lot {brief(lot)} is not a name.")
