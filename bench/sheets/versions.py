"""The versions of a pattern in lines: what was changed, why, and what pieces of it measured."""

from __future__ import annotations

from collections.abc import Iterator

from bench.answers.versions import MeasuredPiece, VersionsAnswer


def version_lines(answer: VersionsAnswer) -> Iterator[str]:
    """The versions, the first one first."""
    yield answer.title
    if not answer.versions:
        yield "no version of it was kept yet"
    for one in answer.versions:
        yield f"{one.version}. {one.at[:10]}{': ' if one.why else ''}{one.why}"
        yield from (f"   - {change}" for change in one.changes)
        yield from (f"   - {_measured(piece)}" for piece in one.measured)
    if answer.since:
        yield "changed since in its file:"
        yield from (f"   - {change}" for change in answer.since)


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
