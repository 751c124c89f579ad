"""`list`: what can be made, and what is in the making."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.listing import DocumentLine, ListAnswer, PatternLine, PieceLine
    from bench.documents.library import Entry
    from bench.journal.state import PieceState
    from bench.pace.records import Work
    from bench.timing.kept_figures import KeptFigures

STALE = "the times are as they were before the last pieces; `braid-bench pace` works them out anew"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take nothing more."""


def answer(args: argparse.Namespace, session: Session) -> ListAnswer:
    """Read every document; one that is wrong is listed with its mistake, the others go on."""
    from bench.answers.listing import ListAnswer
    from bench.journal.errors import JournalError
    from bench.timing.kept_figures import read_kept_figures

    library = session.library
    figures = read_kept_figures(session.journal_path)
    making: list[PieceState] = []
    try:
        with session.reading() as journal:
            making = sorted(journal.pieces(), key=lambda s: s.last_wall, reverse=True)
            if figures.is_stale(journal.mark_of_ended()):
                session.warnings.append(STALE)
    except JournalError as error:
        session.warnings.append(str(error))
    return ListAnswer(
        patterns=tuple(_pattern(entry, session, figures) for entry in library.patterns()),
        structures=tuple(_document(e, session, _structure(session)) for e in library.structures()),
        commissions=tuple(
            _document(e, session, _commission(session)) for e in library.commissions()
        ),
        in_the_making=tuple(_making(state) for state in making),
    )


def sheet(answer: ListAnswer) -> Iterable[RenderableType]:
    """Pieces in the making, patterns, commissions and structures, each as a table."""
    from bench.sheets.listing import tables

    return tables(answer)


def _pattern(entry: Entry, session: Session, figures: KeptFigures) -> PatternLine:
    from bench.answers.listing import PatternLine
    from bench.craft.growth import grow, sizes_of
    from bench.journal.piece_times import work_of

    named: dict[str, Any] = _named(entry)

    def read() -> PatternLine:
        plan = session.library.plan(entry.path)
        pattern = plan.pattern
        growth = grow(plan, sizes_of(pattern), session.settings.thumb.plain_cross_mm)
        work = work_of(plan)
        return PatternLine(
            **named,
            title=pattern.title,
            structure=pattern.structure,
            strands=plan.strands,
            crosses=plan.crosses,
            rows=plan.rows if plan.last_bead_cross else 0,
            beads=work.beads,
            length_mm=round(growth.length_mm, 1),
            diameter_mm=round(growth.diameter_mm, 1),
            sizes=tuple(pattern.sizes),
            colourways=tuple(pattern.colourways),
            **_times(entry.name, work, figures),
        )

    found = _or_mistake(read, session)
    return found if isinstance(found, PatternLine) else PatternLine(**named, error=found)


def _times(name: str, work: Work, figures: KeptFigures) -> dict[str, object]:
    """The maker's own times of a pattern; before the first whole piece, what is predicted."""
    from bench.pace.records import Variant

    own = figures.own_times(name)
    if own.median_s is not None:
        return {
            "pieces": own.pieces,
            "hands_on_s": round(own.median_s),
            "low_s": None if own.fastest_s is None else round(own.fastest_s),
            "high_s": None if own.slowest_s is None else round(own.slowest_s),
            "basis": "your pieces",
        }
    return {
        "hands_on_s": round(figures.next_piece(Variant(name)).median_s(work)),
        "basis": "predicted from your pieces" if figures.pieces else "guess",
    }


def _named(entry: Entry) -> dict[str, object]:
    from bench.craft.text import cleaned

    return {
        "name": cleaned(entry.name),
        "file": cleaned(str(entry.path)),
        "shipped": entry.shipped,
    }


def _document(
    entry: Entry, session: Session, read: Callable[[Entry], dict[str, object]]
) -> DocumentLine:
    from bench.answers.listing import DocumentLine

    named: dict[str, Any] = _named(entry)
    found: Any = _or_mistake(lambda: read(entry), session)
    return DocumentLine(**named, **(found if isinstance(found, dict) else {"error": found}))


def _or_mistake(read: Callable[[], object], session: Session) -> Any:
    """Read a document; where it is wrong, warn and return the mistake."""
    from bench.craft.text import Fault
    from bench.documents.errors import DocumentError

    try:
        return read()
    except DocumentError as error:
        session.warnings.append(str(error))
        return error.short
    except Fault as fault:
        session.warnings.append(str(fault))
        return str(fault)


def _structure(session: Session) -> Callable[[Entry], dict[str, object]]:
    def read(entry: Entry) -> dict[str, object]:
        structure = session.library.structure(entry.name)
        return {"title": structure.title, "strands": structure.strands}

    return read


def _commission(session: Session) -> Callable[[Entry], dict[str, object]]:
    def read(entry: Entry) -> dict[str, object]:
        commission = session.library.commission(entry.path)
        return {"title": commission.title, "pieces": sum(lot.pieces for lot in commission.lots)}

    return read


def _making(state: PieceState) -> PieceLine:
    from bench.answers.listing import PieceLine

    at = dt.datetime.fromtimestamp(state.last_wall, dt.UTC).astimezone()
    return PieceLine(
        piece=state.uuid,
        title=state.title,
        pattern=state.pattern_name,
        size=state.size,
        colourway=state.colourway,
        lot=state.lot,
        tag=state.tag,
        stage=state.stage,
        stages_done=state.stages_done,
        made=state.made,
        paused=state.paused,
        last_at=at.isoformat(timespec="seconds"),
    )
