"""What stands in the lines of the list; documents are read when their line is in sight."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.craft.words import lost_words, plural
from bench.documents.errors import DocumentError
from bench.journal.frozen import work_of
from bench.journal.state import PieceState
from bench.making.braid import unfinished
from bench.screens.kit import words
from bench.screens.lists.expected_times import usual_time
from bench.screens.lists.home_list import HomeEntry
from bench.session import Session
from bench.timing.pace_service import LivePace


def list_rows(session: Session) -> list[HomeEntry]:
    """Pieces in the making, patterns and commissions; of documents their names alone."""
    pieces = [] if session.journal is None else unfinished(session.journal)
    return [
        *(HomeEntry("piece", s.uuid, s.title, piece_detail(s)) for s in pieces),
        *(
            HomeEntry("pattern", e.name, e.name.replace("-", " "))
            for e in session.library.patterns()
        ),
        *(
            HomeEntry("commission", e.name, e.name.replace("-", " "))
            for e in session.library.commissions()
        ),
    ]


def read_rows(
    session: Session, pace: LivePace, rows: Sequence[HomeEntry], first: int, last: int
) -> list[HomeEntry]:
    """Read the documents of some lines; a broken one says what is wrong with it."""
    return [
        _read_row(session, pace, row) if first <= number <= last and not row.detail else row
        for number, row in enumerate(rows)
    ]


def _read_row(session: Session, pace: LivePace, row: HomeEntry) -> HomeEntry:
    library = session.library
    try:
        if row.kind == "commission":
            commission = library.commission(library.commission_path(row.ref))
            lots = plural(len(commission.lots), "lot")
            pieces = plural(sum(lot.pieces for lot in commission.lots), "piece")
            return replace(row, title=commission.title, detail=f"{lots}, {pieces}")
        path = library.pattern_path(row.ref)
        plan = library.plan(path)
        pattern = plan.pattern
        own = "yours; " if path.is_relative_to(session.home) else ""
        takes = usual_time(pace, row.ref, work_of(plan))
        detail = ", ".join(filter(None, (takes, counts(plan))))
        return replace(row, title=pattern.title, detail=f"{own}{detail}")
    except DocumentError as error:
        return replace(row, title=error.file.name, wrong=error.short, detail=" ")
    except Fault as fault:
        return replace(row, title=row.ref, wrong=str(fault), detail=" ")


def piece_detail(state: PieceState) -> str:
    """How a piece in the making stands, and when it was touched last."""
    stage = "waits" if state.stage is None else words.STAGE_WORDS[state.stage]
    if state.stage is None and state.stages_done == ("load",):
        stage = "loaded"
    if state.tag is not None:
        stage = f"{state.tag}, {stage}"
    made = f", {plural(state.made, 'cross')} made" if state.made else ""
    paused = ", paused: stick in" if state.paused else ""
    when = dt.datetime.fromtimestamp(state.last_wall).astimezone()
    lost = lost_words(state.not_understood)
    return f"{stage}{made}{paused}, last {when:%d %b %H:%M}{lost}"


def counts(plan: Plan) -> str:
    """The beads and crosses of a plan."""
    beads = sum(len(load.replace(SKIP, "")) for load in plan.loads)
    held = f"{beads:,} beads, " if beads else ""
    return f"{held}{plural(plan.crosses, 'cross')}"
