"""`versions`: how a pattern of the maker's came about: what was changed, why, what it measured."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.versions import MeasuredPiece, VersionsAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern."""
    parser.add_argument("pattern", metavar="PATTERN", help="a pattern's name in the library")


def answer(args: argparse.Namespace, session: Session) -> VersionsAnswer:
    """Read the versions, and what pieces of them measured."""
    from dataclasses import asdict

    from bench.answers.versions import MeasuredPiece, VersionLine, VersionsAnswer
    from bench.design.pattern_changes import changes
    from bench.documents.pattern_versions import read_versions
    from bench.making.design_history import design_history

    path = session.library.pattern_path(args.pattern)
    plan = session.library.plan(path)
    versions, told = read_versions(session.home, path.stem)
    session.warn(*told)
    with session.reading() as journal:
        traced = design_history(path.stem, versions, journal)
    since: tuple[str, ...] = ()
    if versions:
        since = changes(versions[-1].pattern, plan.pattern, plan.strands)
    return VersionsAnswer(
        pattern=path.stem,
        title=plan.pattern.title,
        versions=tuple(
            VersionLine(
                version=one.version.number,
                at=one.version.at,
                why=one.version.why,
                changes=one.changes,
                measured=tuple(MeasuredPiece(**asdict(piece)) for piece in one.measured),
            )
            for one in traced
        ),
        since=since,
    )


def sheet(answer: VersionsAnswer) -> Iterable[str]:
    """The versions in lines, the first one first."""
    yield answer.title
    if not answer.versions:
        yield "no version of it was kept yet"
    for one in answer.versions:
        yield f"{one.version}. {one.at[:10]}  {one.why or 'no reason given'}"
        yield from (f"     {change}" for change in one.changes)
        yield from (f"     {_measured(piece)}" for piece in one.measured)
    if answer.since:
        yield "changed since in its file:"
        yield from (f"     {change}" for change in answer.since)


def _measured(piece: MeasuredPiece) -> str:
    what = "the sample" if piece.sample else piece.piece
    return f"{what} measured {', '.join(_figures(piece)) or 'nothing'}"


def _figures(piece: MeasuredPiece) -> Iterator[str]:
    if piece.length_mm is not None:
        yield f"{piece.length_mm:g} mm long"
    if piece.thickness_mm is not None:
        yield f"{piece.thickness_mm:g} mm thick"
    if piece.weight_g is not None:
        yield f"{piece.weight_g:g} g"
