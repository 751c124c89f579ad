"""`list`: what can be made, and what is in the making."""

from __future__ import annotations

import argparse
import datetime as dt
import time
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.listing import DocumentLine, ListAnswer, PatternLine, PieceLine
    from bench.documents.folders import Entry
    from bench.journal.piece_state import PieceState
    from bench.timing.kept_figures import KeptFigures

STALE = "the times are as they were before the last pieces; `braid-bench pace` works them out anew"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take nothing more."""


def answer(args: argparse.Namespace, session: Session) -> ListAnswer:
    """Read every document; one that is wrong is listed with its mistake, the others go on."""
    from bench.answers.listing import ListAnswer
    from bench.journal.errors import JournalError
    from bench.timing.kept_figures import read_kept_figures

    folders = session.folders
    figures = read_kept_figures(session.journal_path)
    making: list[PieceState] = []
    try:
        with session.reading() as journal:
            making = sorted(journal.pieces(), key=lambda s: s.last_wall, reverse=True)
            if figures.is_stale(journal.mark_of_ended()):
                session.warnings.append(STALE)
            for file in session.kept_aside(journal).files:
                session.warn(
                    f"{file} has what could not be saved: take it in with `braid-bench import`"
                )
    except JournalError as error:
        session.warnings.append(str(error))
    for state in making:
        _warn_of_apart(state, session)
    listed = ListAnswer(
        patterns=tuple(_pattern(entry, session, figures) for entry in folders.patterns()),
        structures=tuple(_structure(entry, session) for entry in folders.structures()),
        commissions=tuple(_commission(entry, session) for entry in folders.commissions()),
        in_the_making=tuple(_making(state) for state in making),
    )
    session.index.save()
    return listed


def sheet(answer: ListAnswer) -> Iterable[RenderableType]:
    """Pieces in the making, patterns, commissions and structures, each as a table."""
    from bench.sheets.listing import tables

    return tables(answer)


def _pattern(entry: Entry, session: Session, figures: KeptFigures) -> PatternLine:
    from bench.answers.listing import PatternLine

    def read() -> tuple[dict[str, Any], list[Path]]:
        from bench.craft.growth import grow, sizes_of
        from bench.journal.frozen import work_of

        plan = session.library.plan(entry.path)
        pattern = plan.pattern
        thumb = session.settings.thumb
        growth = grow(plan, sizes_of(pattern), thumb.plain_cross_mm, thumb.take_up)
        found = {
            "title": pattern.title,
            "structure": pattern.structure,
            "strands": plan.strands,
            "crosses": plan.crosses,
            "rows": plan.rows if plan.last_bead_cross else 0,
            "beads": work_of(plan).beads,
            "length_mm": round(growth.length_mm, 1),
            "length_low_mm": round(growth.low_mm, 1),
            "length_high_mm": round(growth.high_mm, 1),
            "diameter_mm": round(growth.diameter_mm, 1),
            "diameter_at_most": growth.diameter_at_most,
            "sizes": list(pattern.sizes),
            "colourways": list(pattern.colourways),
        }
        structure = session.folders.structure_files(pattern.structure)
        return found, [*structure, session.home / "settings.toml"]

    found = _known(f"pattern {entry.path}", entry, session, read)
    if "error" in found:
        return PatternLine(**_named(entry), **found)
    lists = {key: tuple(found[key]) for key in ("sizes", "colourways")}
    return PatternLine(**_named(entry), **found | lists | _times(entry.name, found, figures))


def _times(name: str, found: Mapping[str, Any], figures: KeptFigures) -> dict[str, Any]:
    """The maker's own times of a pattern; before the first whole piece, what is predicted."""
    from bench.pace.records import Variant, Work

    own = figures.own_times(name)
    if own.median_s is not None:
        return {
            "pieces": own.pieces,
            "hands_on_s": round(own.median_s),
            "low_s": None if own.fastest_s is None else round(own.fastest_s),
            "high_s": None if own.slowest_s is None else round(own.slowest_s),
            "basis": "your pieces",
        }
    work = Work(found["beads"], found["strands"], max(1, found["crosses"]))
    return {
        "hands_on_s": round(figures.next_piece(Variant(name)).median_s(work)),
        "basis": "predicted from your pieces" if figures.pieces else "guess",
    }


def _named(entry: Entry) -> dict[str, Any]:
    from bench.craft.text import cleaned

    return {
        "name": cleaned(entry.name),
        "file": cleaned(str(entry.path)),
        "shipped": entry.shipped,
    }


def _structure(entry: Entry, session: Session) -> DocumentLine:
    from bench.answers.listing import DocumentLine

    def read() -> tuple[dict[str, Any], list[Path]]:
        structure = session.library.structure(entry.name)
        return {"title": structure.title, "strands": structure.strands}, []

    return DocumentLine(**_named(entry), **_known(f"structure {entry.path}", entry, session, read))


def _commission(entry: Entry, session: Session) -> DocumentLine:
    from bench.answers.listing import DocumentLine

    def read() -> tuple[dict[str, Any], list[Path]]:
        library, folders = session.library, session.folders
        commission = library.commission(entry.path)
        files: list[Path] = []
        for lot in commission.lots:
            path = library.pattern_path(lot.pattern)
            structure = library.plan(path).pattern.structure
            files += [
                path,
                *folders.pattern_files(lot.pattern),
                *folders.structure_files(structure),
            ]
        return {
            "title": commission.title,
            "pieces": sum(lot.pieces for lot in commission.lots),
        }, files

    return DocumentLine(**_named(entry), **_known(f"commission {entry.path}", entry, session, read))


def _known(
    key: str,
    entry: Entry,
    session: Session,
    read: Callable[[], tuple[dict[str, Any], list[Path]]],
) -> dict[str, Any]:
    """What the index keeps of a document; else it is read, and kept with the files beside its own.

    Where it is wrong, this warns, and returns the mistake.
    """
    kept: dict[str, Any] | None = session.index.get(key)
    if kept is not None:
        return kept
    from bench.craft.text import Fault
    from bench.documents.errors import DocumentError

    begun = time.time_ns()
    try:
        found, files = read()
    except DocumentError as error:
        session.warnings.append(str(error))
        return {"error": error.short}
    except Fault as fault:
        session.warnings.append(str(fault))
        return {"error": str(fault)}
    if session.settings_wrong is None:
        session.index.put(key, found, [entry.path, *files], begun)
    return found


def _warn_of_apart(state: PieceState, session: Session) -> None:
    from bench.craft.words import elsewhere_words

    said = elsewhere_words(state.made, (made for _, made in state.elsewhere))
    session.warn(f"{state.name} {said}; find your place before you go on" if said else None)


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
        not_understood=state.not_understood,
        last_at=at.isoformat(timespec="seconds"),
    )
