"""Events as JSON lines: out without loss, in without doubling.

One object a line, keys sorted, ASCII: `format` (1), `uuid`, `bench`, `number`, `sitting`, `pieces`
(objects with `piece`, `share`, `after`), `lot`, `wall` and `mono` in seconds, `offset_min`, `boot`,
`kind`, `version`, `payload`. And `fits`, false, only where the payload is not as its kind must be
and lay in the journal all the same: whoever takes the line in keeps it as it is, and tells it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import inf
from typing import Any, NoReturn, TextIO

from bench.journal.clock import Instant
from bench.journal.errors import BadEvent, Conflict, JournalError
from bench.journal.events import (
    Event,
    canonical,
    check_id,
    check_lot,
    payload_of,
    whole_share,
)
from bench.journal.limits import AHEAD_S, LONGEST_S, LONGEST_WAIT_S, wrong_time
from bench.journal.merge import Merged
from bench.journal.payload_base import FIRST_WALL, LAST_WALL, MOST_MONO, NotUnderstood
from bench.journal.payloads import Recorded
from bench.journal.store import Journal
from bench.journal.typed_json import shown

FORMAT = 1
LONGEST_LINE = 16 << 20
"""Characters; the longest event is the start of a piece, with its pattern."""
MOST_PROBLEMS = 20

_KEYS = {
    "format",
    "uuid",
    "bench",
    "number",
    "sitting",
    "pieces",
    "lot",
    "wall",
    "mono",
    "offset_min",
    "boot",
    "kind",
    "version",
    "payload",
}


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong in a line (counted from 1) of a file that was to be imported."""

    line: int
    text: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.text}"


class ImportRefused(JournalError):
    """A file that was not imported; nothing of it was kept. `problems` has the first ones."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("Nothing was imported; " + "; ".join(map(str, problems)))
        self.problems = tuple(problems)


def to_line(event: Event) -> str:
    """Return an event as one line of JSON, without its line end."""
    moment = event.instant
    odd = {"fits": False} if _misfit(event, moment.wall) else {}
    return canonical(
        {
            **odd,
            "format": FORMAT,
            "uuid": event.uuid,
            "bench": event.bench,
            "number": event.number,
            "sitting": event.sitting,
            "pieces": [
                {"piece": piece, "share": share, "after": after}
                for (piece, share), after in zip(event.pieces, event.after, strict=True)
            ],
            "lot": event.lot,
            "wall": moment.wall,
            "mono": moment.mono,
            "offset_min": moment.offset_min,
            "boot": moment.boot,
            "kind": event.kind,
            "version": event.version,
            "payload": event.values,
        }
    )


def _misfit(event: Event, now: float) -> str:
    """Say what is wrong with an event's payload; "" if it is as its kind must be.

    `now`: UTC seconds; a typed day that is yet to come, by this and by the event's own clock, is
    wrong; so is one before 1970, unless the event's own clock stood there.
    """
    said = event.payload
    if isinstance(said, NotUnderstood):
        return f"The event {event.kind} {said.why}." if said.why else ""
    if not isinstance(said, Recorded):
        return ""
    if (said.finished_at or 0.0) > max(now, event.instant.wall) + AHEAD_S:
        return "finished_at is yet to come."
    if (said.finished_at or 0.0) < min(0.0, event.instant.wall - AHEAD_S):
        return "finished_at is too long ago."
    return _wrong_times(said)


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number here")


def from_line(line: str, now: float = inf) -> Event:
    """Return the event in a line, checked; `now`: UTC seconds, for days typed in. Raises BadEvent.

    Kinds and versions that this program does not know are taken as they are.
    """
    try:
        data: Any = json.loads(line, parse_constant=_no_constant)
        canonical(data)
    except (ValueError, RecursionError) as error:
        raise BadEvent(f"This is not JSON: {shown(str(error), 120)}.") from error
    if not isinstance(data, dict):
        raise BadEvent("An event is a JSON object.")
    if data.get("format") != FORMAT:
        raise BadEvent(f"The format is {shown(repr(data.get('format')))}, not {FORMAT}.")
    fits = data.pop("fits", True)
    if type(fits) is not bool:
        raise BadEvent("The key 'fits' is not true or false.")
    if wrong := sorted(data.keys() ^ _KEYS):
        known = wrong[0] in _KEYS
        raise BadEvent(f"The key {shown(wrong[0])} is {'missing' if known else 'unknown'}.")
    pieces, payload = data["pieces"], data["payload"]
    if not isinstance(payload, dict):
        raise BadEvent("The payload is not an object.")
    if not isinstance(pieces, list) or not all(
        isinstance(part, dict)
        and part.keys() == {"piece", "share", "after"}
        and type(part["share"]) in (int, float)
        for part in pieces
    ):
        raise BadEvent("The pieces are not a list of objects with piece, share and after.")
    kind = check_id("kind", data["kind"])
    version = _whole("version", data["version"], 1, 2**31)
    event = Event(
        uuid=check_id("uuid", data["uuid"]),
        bench=check_id("bench", data["bench"]),
        number=_whole("number", data["number"], 1, 2**53),
        after=tuple(
            None if part["after"] is None else check_id("after", part["after"]) for part in pieces
        ),
        sitting=check_id("sitting", data["sitting"]),
        pieces=whole_share([(part["piece"], part["share"]) for part in pieces]),
        lot=check_lot(data["lot"]),
        instant=Instant(
            wall=_real("wall", data["wall"], FIRST_WALL, LAST_WALL),
            offset_min=_whole("offset_min", data["offset_min"], -1440, 1440),
            boot=check_id("boot", data["boot"]),
            mono=_real("mono", data["mono"], 0.0, MOST_MONO),
        ),
        kind=kind,
        version=version,
        payload=payload_of(kind, version, payload),
    )
    misfit = _misfit(event, now)
    if fits and misfit:
        raise BadEvent(misfit)
    return event


def _wrong_times(said: Recorded) -> str:
    """Say what is wrong with times that were typed in and cannot be; 0 s: nobody timed them."""
    wrong = wrong_time(said.stage, said.hands_on_s, said.crosses)
    if wrong and said.hands_on_s:
        return wrong
    for key, seconds, most in (
        ("waiting_s", said.waiting_s, LONGEST_WAIT_S),
        ("rework_s", said.rework_s, LONGEST_S),
    ):
        if (seconds or 0) > most:
            return f"{key} is {seconds:g}: more than {most:g} cannot be."
    return ""


def _real(key: str, value: object, least: float, most: float) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool) and least <= value <= most:
        return float(value)
    raise BadEvent(f"The key '{key}' is not a number of seconds from {least:.0f} to {most:.0f}.")


def _whole(key: str, value: object, least: int, most: int) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
        return value
    raise BadEvent(f"The key '{key}' is not a whole number from {least} to {most}.")


def export_jsonl(journal: Journal, stream: TextIO, *, customers: bool = True) -> int:
    """Write every event to `stream`, one a line; return how many.

    `customers`: those that name a commission's customer too. No other event follows them.
    """
    count = 0
    for event in journal.events():
        if not customers and event.payload.SUBJECT == "customer":
            continue
        stream.write(to_line(event) + "\n")
        count += 1
    return count


def import_jsonl(
    journal: Journal,
    stream: TextIO,
    *,
    now: float = inf,
    tell: Callable[[int], object] = lambda lines: None,
) -> Merged:
    """Take in the events of another journal's export: all of them, or none.

    `now`: UTC seconds; pieces typed in with a day that was yet to come, now and by their own
    bench's clock, are refused. Presses keep the time that their own bench's clock
    had, right or wrong. Events that are there already change nothing; kinds from a newer program
    and what is marked as not fitting its kind are kept, with a warning. `tell` is called with each
    thousand of lines that are read.

    Raises ImportRefused with the lines that are wrong, NotSaved if nothing can be written.
    """
    problems: list[Problem] = []
    newer: dict[str, None] = {}
    at = 0

    def events() -> Iterator[Event]:
        nonlocal at
        for at, event in _events(stream, problems, now):
            if not event.understood or _misfit(event, event.instant.wall):
                newer[f"{event.kind} (version {event.version})"] = None
            if at % 1000 == 0:
                tell(at)
            yield event
        if problems:
            raise ImportRefused(problems)

    try:
        merged = journal.merge(events())
    except Conflict as error:
        raise ImportRefused([*problems, Problem(at, str(error))]) from error
    kinds = tuple(f"Kept, but not understood: {kind}." for kind in newer)
    return Merged(merged.added, merged.known, merged.warnings + kinds)


def _events(stream: TextIO, problems: list[Problem], now: float) -> Iterator[tuple[int, Event]]:
    """Yield the events of a stream with their lines, and note what is wrong with the others."""
    number = 0
    while len(problems) < MOST_PROBLEMS:
        number += 1
        try:
            line = stream.readline(LONGEST_LINE)
        except UnicodeDecodeError:
            problems.append(Problem(number, "This is not UTF-8, or not text at all."))
            return
        if not line:
            return
        if len(line) == LONGEST_LINE and not line.endswith("\n"):
            problems.append(Problem(number, "This line is too long for an event."))
            return
        if not line.strip():
            continue
        try:
            event = from_line(line.lstrip("\ufeff") if number == 1 else line, now)
        except BadEvent as error:
            problems.append(Problem(number, str(error)))
            continue
        if not problems:
            yield number, event
