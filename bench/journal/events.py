"""Events: what happened at the bench, one small record each, and what each kind must hold."""

from __future__ import annotations

import json
import math
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from bench.journal.clock import Moment
from bench.journal.errors import BadEvent

JSON: TypeAlias = "bool | int | float | str | list[JSON] | dict[str, JSON] | None"
Pieces: TypeAlias = str | Sequence[tuple[str, float]]
"""One piece's id, or several with the share of the work that each had (shares add up to 1)."""

STAGES = ("load", "set_up", "braid", "dry", "finish")


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
    moment: Moment
    kind: str
    version: int
    payload: dict[str, JSON]

    @property
    def piece(self) -> str:
        """The piece, or the first of several."""
        return self.pieces[0][0]

    @property
    def understood(self) -> bool:
        """Whether this program knows the kind in this version; only then is its payload checked."""
        kind = KINDS.get(self.kind)
        return kind is not None and self.version <= kind.version


@dataclass(frozen=True, slots=True)
class Entry:
    """An event that is to be appended; the journal fills in the rest."""

    kind: str
    payload: Mapping[str, object]
    pieces: Pieces
    lot: str | None = None


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


MOST_AT_ONCE = 20_000
"""One press counts a row or a plain stretch, never more crosses than this."""

Check: TypeAlias = Callable[[object], bool]


def _text(value: object) -> bool:
    return isinstance(value, str)


def _whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**53


def _positive_whole(value: object) -> bool:
    return _whole(value) and value != 0


def _number(value: object) -> bool:
    if not isinstance(value, int | float) or isinstance(value, bool):
        return False
    return abs(value) < 2**1000 and math.isfinite(value)


def _not_negative(value: object) -> bool:
    return _number(value) and isinstance(value, int | float) and value >= 0


def _reading(value: object) -> bool:
    """Whether a rule or a scale can have shown it: a number that no later square overflows."""
    return _not_negative(value) and isinstance(value, int | float) and value < 2**53


def _flag(value: object) -> bool:
    return isinstance(value, bool)


def _object(value: object) -> bool:
    return isinstance(value, dict)


def _list(value: object) -> bool:
    return isinstance(value, (list, tuple))


def _each(**parts: Check) -> Check:
    """A list of objects, each with these parts."""
    return lambda value: (
        isinstance(value, list | tuple)
        and all(
            isinstance(one, dict) and all(check(one.get(key)) for key, check in parts.items())
            for one in value
        )
    )


def _or_null(check: Check) -> Check:
    return lambda value: value is None or check(value)


def _one_of(*words: str) -> Check:
    return lambda value: value in words


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of event holds: keys that must be there, keys that may, and whether others may.

    `steps`: how `to` lies to `from`: +1 above, -1 below, 0 anywhere, None for other kinds.
    """

    required: Mapping[str, Check]
    optional: Mapping[str, Check]
    version: int = 1
    free: bool = False
    steps: int | None = None


def _kind(
    required: Mapping[str, Check] | None = None,
    optional: Mapping[str, Check] | None = None,
    *,
    free: bool = False,
    steps: int | None = None,
) -> Kind:
    return Kind(required or {}, optional or {}, free=free, steps=steps)


_STAGE = {"stage": _one_of(*STAGES)}
_FROM_TO = {"from": _whole, "to": _whole}
_SPOTS = _each(strand=_positive_whole, cross=_whole, what=_text)
"""Spots in the braid, with what is seen or to be done there."""

KINDS: Mapping[str, Kind] = {
    "piece_started": _kind(
        {
            "title": _text,
            "pattern_name": _text,
            "size": _or_null(_text),
            "colourway": _or_null(_text),
            "pattern": _object,
            "structure": _object,
            "hash": _text,
            "commission": _or_null(_text),
        },
        {"marks": _list},
    ),
    "stage_started": _kind(_STAGE),
    "stage_ended": _kind(_STAGE),
    "crossed": _kind(_FROM_TO, steps=1),
    "taken_back": _kind(_FROM_TO, steps=-1),
    "place_set": _kind(_FROM_TO, steps=0),
    "mark_done": _kind({"cross": _whole, "mark": _text}),
    "paused": _kind(),
    "resumed": _kind(),
    "note": _kind({"text": _text}),
    "load_changed": _kind({"strand": _positive_whole, "cross": _whole, "remaining": _text}),
    "sew_in": _kind({"strand": _positive_whole, "cross": _whole, "bead": _text}),
    "sew_in_done": _kind({"strand": _positive_whole, "cross": _whole}),
    "slip_reported": _kind(free=True),
    "look_answered": _kind(free=True),
    "mend_chosen": _kind(
        {},
        {
            "do": _text,
            "caution": _text,
            "cross": _whole,
            "back": _flag,
            "back_to": _or_null(_whole),
            "seen": _SPOTS,
            "later": _SPOTS,
            "restores": _each(
                strand=_positive_whole,
                cross=_whole,
                remaining=_text,
                in_place_of=_positive_whole,
            ),
        },
        free=True,
    ),
    "mend_undone": _kind(),
    "loaded": _kind({"strand": _positive_whole, "beads": _whole}),
    "proved": _kind({"strand": _positive_whole, "how": _text, "right": _flag}),
    "set_tagged": _kind({"tag": _text}),
    "measured": _kind(
        {"sample": _flag},
        {
            "length_mm": _reading,
            "thickness_mm": _reading,
            "thread_left_mm": _reading,
            "thread_cut_mm": _reading,
            "weight_g": _reading,
        },
    ),
    "bead_weighed": _kind(
        {
            "size": _text,
            "shape": _text,
            "name": _text,
            "beads": _positive_whole,
            "grams": _reading,
            "resolution_g": _reading,
        },
        {"undone": _flag},
    ),
    "point_seen": _kind({"at": _one_of("high", "low", "level")}),
    "finished": _kind({"quality": _one_of("good", "second")}, {"reason": _or_null(_text)}),
    "given_up": _kind({"reason": _text}),
    "reopened": _kind(),
    "break_corrected": _kind({"event": _text, "is_break": _flag}),
    "recorded": _kind(
        {
            "pattern": _text,
            "size": _or_null(_text),
            "colourway": _or_null(_text),
            "stage": _or_null(_one_of(*STAGES)),
            "hands_on_s": _not_negative,
            "waiting_s": _or_null(_not_negative),
            "crosses": _or_null(_positive_whole),
            "rework_s": _or_null(_not_negative),
            "finished_at": _or_null(_number),
            "quality": _one_of("good", "second"),
        },
        {"title": _or_null(_text)},
    ),
}
"""Every kind that this version writes. `finished_at` is UTC seconds since 1970."""


def shown(text: str, most: int = 40) -> str:
    """Return foreign text fit to stand in a message: quoted, printable, cut."""
    cut = text if len(text) <= most else text[:most] + "…"
    return "'" + "".join(c if c.isprintable() else "?" for c in cut) + "'"


def check_payload(kind: str, payload: Mapping[str, object]) -> None:
    """Raise BadEvent unless the payload holds what its kind, in this version, must hold."""
    spec = KINDS.get(kind)
    if spec is None:
        raise BadEvent(f"The kind of event {shown(kind)} is unknown.")
    for key, check in spec.required.items():
        if key not in payload:
            raise BadEvent(f"The event {kind} lacks {key!r}.")
        if not check(payload[key]):
            raise BadEvent(f"The event {kind} has a wrong {key!r}: {_brief(payload[key])}.")
    for key, value in payload.items():
        if key in spec.required:
            continue
        if key in spec.optional:
            if not spec.optional[key](value):
                raise BadEvent(f"The event {kind} has a wrong {key!r}: {_brief(value)}.")
        elif not spec.free:
            raise BadEvent(f"The event {kind} has no key {shown(str(key))}.")
    if spec.steps:
        start, end = payload["from"], payload["to"]
        assert isinstance(start, int)
        assert isinstance(end, int)
        if not 0 < (end - start) * spec.steps <= MOST_AT_ONCE:
            raise BadEvent(f"The event {kind} cannot go from {start} to {end}.")


def plain(kind: str, payload: Mapping[str, object]) -> dict[str, JSON]:
    """Return a payload as it will be read back: JSON, and nothing shared with the caller's.

    Raises BadEvent for what JSON cannot hold.
    """
    try:
        value: JSON = json.loads(canonical(payload))
    except (TypeError, ValueError, RecursionError) as error:
        raise BadEvent(f"The event {kind} holds what JSON cannot: {error}.") from error
    assert isinstance(value, dict)
    return value


def _brief(value: object) -> str:
    return shown(value) if isinstance(value, str) else shown(repr(value))[1:-1]


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
    raise BadEvent(f"The {what} {_brief(value)} is not an id.")


def check_lot(lot: object) -> str | None:
    """Return a lot's name if it is one (or None). Raises BadEvent."""
    if lot is None or (isinstance(lot, str) and lot.isprintable() and len(lot) <= 200):
        return lot
    raise BadEvent(f"The lot {_brief(lot)} is not a name.")
