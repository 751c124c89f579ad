"""What stands in the lines of the list; documents are read when their line is in sight."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import cache
from itertools import takewhile

from bench.commission.putting_away import put_away
from bench.craft.growth import sizes_of
from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.craft.words import elsewhere_words, lost_words, plural
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
from bench.screens.lists.first_list import A_FOLD, documents_in_order
from bench.screens.lists.home_entry import Clause, HomeEntry
from bench.screens.lists.home_orders import Pieces, order_row
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
    away = put_away(session.journal, session.library)
    documents = documents_in_order(session.library, begun, lambda e: e.name.replace("-", " "), away)
    before = sum(1 for _ in takewhile(lambda row: row.kind != "pattern", documents))
    rows += [*documents[:before], *_sketches(session), *documents[before:]]
    rows += _made_lately(made, session.clock.now().wall)
    return [*rows, *_away(session, away)]


def _away(session: Session, away: Collection[str]) -> list[HomeEntry]:
    """A line that shows the commissions which are put away, and those behind it."""
    there = [entry.name for entry in session.library.commissions() if entry.name in away]
    if not there:
        return []
    fold = plural(len(there), "commission")
    return [
        HomeEntry("away", A_FOLD, fold, (Clause("ENTER shows or hides them"),), folds=True),
        *(HomeEntry("away", name, name.replace("-", " ")) for name in there),
    ]


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
    kinds = {"commission", "pattern", "away"}
    wanted = {row for row in in_sight if row.kind in kinds and not (row.is_read or row.folds)}

    @cache
    def pieces() -> Sequence[PieceState]:
        return () if session.journal is None else session.journal.pieces(open_only=False)

    return [_read_row(session, pace, row, pieces) if row in wanted else row for row in rows]


def _read_row(session: Session, pace: LivePace, row: HomeEntry, pieces: Pieces) -> HomeEntry:
    library = session.library
    try:
        if row.kind in {"commission", "away"}:
            return order_row(session, pace, row, pieces)
        path = library.pattern_path(row.ref)
        plan = library.plan(path)
        own = ["yours"] if path.is_relative_to(session.home) else []
        takes = usual_time(pace, row.ref, work_of(plan))
        said = [Clause(text) for text in counts(plan)]
        if takes is not None:
            said.insert(0, takes)
        entry = row.read_as(plan.pattern.title, own)
        return replace(entry, details=(*entry.details, *said))
    except DocumentError as error:
        return replace(row, title=error.file.name, wrong=error.short, is_read=True)
    except Fault as fault:
        return replace(row, title=row.ref, wrong=str(fault), is_read=True)


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
