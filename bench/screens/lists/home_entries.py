"""What stands in the lines of the list; documents are read when their line is in sight."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import takewhile

from bench.commission.identity import with_ids
from bench.commission.lot_number import Settled, next_number, to_make
from bench.commission.lot_refs import order_lots
from bench.commission.versions import read_history
from bench.craft.growth import sizes_of
from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.craft.words import elsewhere_words, lost_words, plural
from bench.documents.commission import Commission
from bench.documents.errors import DocumentError
from bench.documents.sketch import sketch_names
from bench.journal.errors import JournalError
from bench.journal.frozen import work_of
from bench.journal.piece_state import PieceState
from bench.journal.piece_times import PieceTimes
from bench.making.braid import Braid, unfinished
from bench.screens.kit import words
from bench.screens.kit.drying import drying_words
from bench.screens.kit.hanging_braid import HangingBraid, hanging, hanging_as_chosen
from bench.screens.lists.expected_times import usual_time
from bench.screens.lists.first_list import documents_in_order
from bench.screens.lists.home_entry import Clause, HomeEntry
from bench.session import Session
from bench.timing.pace_service import LivePace

LATELY_S = 14 * 86_400.0
MOST_MADE = 5
"""Pieces that were made lately and stand on the list, so that a choice is soon taken back."""


def list_rows(session: Session, made: Sequence[PieceTimes] = ()) -> list[HomeEntry]:
    """What one does next: pieces in the making, commissions, patterns; then what was made lately.

    Of documents their names alone; `made`: the finished pieces, as far as they are known.
    """
    pieces = [] if session.journal is None else unfinished(session.journal)
    begun = {state.commission for state in pieces} | {times.commission for times in made}
    rows = _kept(session, pieces)
    rows += [HomeEntry("piece", s.uuid, s.name, piece_details(s, session)) for s in pieces]
    documents = documents_in_order(session.library, begun, lambda e: e.name.replace("-", " "))
    before = sum(1 for _ in takewhile(lambda row: row.kind != "pattern", documents))
    rows += [*documents[:before], *_sketches(session), *documents[before:]]
    return [*rows, *_made_lately(made, session.clock.now().wall)]


def _kept(session: Session, pieces: Sequence[PieceState]) -> list[HomeEntry]:
    """One line for all that could not be saved when the program ended, if anything was."""
    kept = session.kept
    if kept is None or not kept.events:
        return []
    known = {state.uuid: state.name for state in pieces}
    named = dict.fromkeys(
        known.get(piece, "a piece that is not here yet") for piece in kept.by_piece
    )
    title = f"{plural(len(kept.events), 'change')} of {', '.join(named)}"
    return [HomeEntry("kept", "", title, (Clause("ENTER takes them in, before you go on"),))]


def _sketches(session: Session) -> list[HomeEntry]:
    """The sketches that no pattern's file has as they are."""
    said = (Clause("ENTER goes on with it, G throws it away"),)
    names = sketch_names(session.home)
    return [HomeEntry("sketch", name, name.replace("-", " ").capitalize(), said) for name in names]


def _made_lately(made: Sequence[PieceTimes], now: float) -> list[HomeEntry]:
    """The pieces that ended lately at the bench, the last one first."""
    found = [
        (times.finished_at, times)
        for times in made
        if not times.recorded and times.finished_at and now - times.finished_at < LATELY_S
    ]
    found.sort(key=lambda pair: -pair[0])
    return [
        HomeEntry("made", times.piece, times.name, tuple(map(Clause, _how_made(times, at))))
        for at, times in found[:MOST_MADE]
    ]


def _how_made(times: PieceTimes, at: float) -> list[str]:
    """How a piece came out, of which order it was, and when."""
    return [times.status, *([f"of {times.commission}"] if times.commission else []), _day(at)]


def _day(wall: float) -> str:
    return f"{dt.datetime.fromtimestamp(wall).astimezone():%d %b %H:%M}"


def read_rows(
    session: Session, pace: LivePace, rows: Sequence[HomeEntry], in_sight: Sequence[HomeEntry]
) -> list[HomeEntry]:
    """Read the documents of the lines in sight; a broken one says what is wrong with it."""
    wanted = {row for row in in_sight if row.kind in {"commission", "pattern"} and not row.is_read}
    return [_read_row(session, pace, row) if row in wanted else row for row in rows]


def _read_row(session: Session, pace: LivePace, row: HomeEntry) -> HomeEntry:
    library = session.library
    try:
        if row.kind == "commission":
            path = library.commission_path(row.ref)
            commission = with_ids(path.stem, library.commission(path))
            if cancelled := _cancelled(session, commission):
                details: tuple[str, ...] = (cancelled,)
            elif pace.known:
                details = next_of(session, pace.pieces, row.ref, commission)
            else:
                lots = plural(len(commission.lots), "lot")
                pieces = plural(sum(lot.pieces for lot in commission.lots), "piece")
                details = (lots, pieces)
            return _said(row, commission.title, details)
        path = library.pattern_path(row.ref)
        plan = library.plan(path)
        own = ["yours"] if path.is_relative_to(session.home) else []
        takes = usual_time(pace, row.ref, work_of(plan))
        said = [Clause(text) for text in counts(plan)]
        if takes is not None:
            said.insert(0, takes)
        entry = _said(row, plan.pattern.title, own)
        return replace(entry, details=(*entry.details, *said))
    except DocumentError as error:
        return replace(row, title=error.file.name, wrong=error.short, is_read=True)
    except Fault as fault:
        return replace(row, title=row.ref, wrong=str(fault), is_read=True)


def _said(row: HomeEntry, title: str, details: Iterable[str]) -> HomeEntry:
    """A line that was read."""
    return replace(row, title=title, details=tuple(map(Clause, details)), is_read=True)


def piece_details(state: PieceState, session: Session) -> tuple[Clause, ...]:
    """How a piece in the making stands, until when it dries, and when it was touched last."""
    stage = words.doing(state)
    if state.stage == "dry" and session.journal is not None:
        stage = drying_words(session.journal, state.uuid, session.clock)
    apart = elsewhere_words(state.made, (made for _, made in state.elsewhere))
    found = [apart] if apart else []
    sample = "the sample: " if state.to_be_sample else ""
    found += [f"a trial: {stage}" if state.trial else f"{sample}{stage}"]
    found += [f"{plural(state.made, 'cross')} made"] if state.made else []
    found += ["paused: stick in"] if state.paused else []
    found += [f"of {state.commission}"] if state.commission is not None else []
    found += [lost_words(state.not_understood)] if state.not_understood else []
    return tuple(map(Clause, [*found, f"last {_day(state.last_wall)}"]))


def _cancelled(session: Session, commission: Commission) -> str:
    """Since when a commission is cancelled; "" if it is not."""
    if session.journal is None or commission.id is None:
        return ""
    said = read_history(session.journal, commission.id).cancelled
    return f"cancelled on {said.day}" if said is not None else ""


def next_of(
    session: Session, made: Sequence[PieceTimes], name: str, commission: Commission
) -> tuple[str, ...]:
    """What of a commission, with its ids, is to be made next; how many of its pieces are good."""
    own = order_lots(session.journal, name, commission)
    ended: dict[str | None, list[PieceTimes]] = {}
    for times in made:
        ended.setdefault(None if times.trial else own.lot_of(times), []).append(times)
    begun: dict[str | None, list[PieceState]] = {}
    for state in [] if session.journal is None else unfinished(session.journal):
        begun.setdefault(None if state.trial else own.lot_of(state), []).append(state)
    right = {key: sum(times.status == "good" for times in of_lot) for key, of_lot in ended.items()}
    good = sum(min(right.get(lot.id, 0), lot.pieces) for lot in commission.lots)
    pieces = sum(lot.pieces for lot in commission.lots)
    by_day = sorted(commission.lots, key=lambda lot: commission.due_of(lot) or dt.date.max)
    for lot in by_day:
        making = begun.get(lot.id, [])
        settled = own.settled.get(lot.id or "", Settled())
        if to_make(lot, settled, right.get(lot.id, 0), len(making)):
            number = next_number(own.refs.numbers([*made, *making], own.ref(lot)))
            return f"next: {lot.name} {number}", f"{good} of {pieces} good"
    if good < pieces:
        return f"{good} of {pieces} good", "the rest is begun"
    return (f"all {pieces} good",)


def counts(plan: Plan) -> list[str]:
    """The beads and the crosses of a plan."""
    beads = sum(len(load.replace(SKIP, "")) for load in plan.loads)
    held = [f"{beads:,} beads"] if beads else []
    return [*held, plural(plan.crosses, "cross")]


def braid_of(session: Session, entry: HomeEntry) -> HangingBraid | None:
    """The braid of a pattern or a piece, to be shown beside the list; None where none is known."""
    with suppress(DocumentError, Fault, JournalError, KeyError):
        if entry.kind == "pattern":
            plan = session.library.plan(session.library.pattern_path(entry.ref))
            return hanging_as_chosen(plan)
        if entry.kind in {"piece", "made"} and session.journal is not None:
            plan = Braid(session.journal, entry.ref).plan
            return hanging("", plan, sizes_of(plan.pattern))
    return None
