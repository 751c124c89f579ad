"""The sheet of `list`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rich.console import RenderableType

from bench.craft.words import STAGES_DOING, duration, full_name, length_said, lost_words, plural
from bench.sheets.printing import add, columns, line

if TYPE_CHECKING:
    from bench.answers.listing import DocumentLine, ListAnswer, PatternLine, PieceLine


WRONG = "cannot be used, see the warning"


def tables(answer: ListAnswer) -> Iterator[RenderableType]:
    """Yield what is in the making, then patterns, commissions and structures."""
    if answer.in_the_making:
        yield line("In the making", "bold")
        for piece in answer.in_the_making:
            yield line(f"  {_making(piece)}")
        yield line("")
    yield line("Patterns", "bold")
    yield from _patterns(answer.patterns)
    yield line("")
    yield line("Commissions", "bold")
    yield from _documents(answer.commissions, "piece")
    yield line("")
    yield line("Structures", "bold")
    yield from _documents(answer.structures, "strand")


def _making(piece: PieceLine) -> str:
    stage = STAGES_DOING.get(piece.stage or "", "between stages")
    if piece.stage is None and piece.stages_done == ("load",):
        stage = "loaded"
    made = f", {plural(piece.made, 'cross')} made" if piece.made else ""
    paused = ", paused" if piece.paused else ""
    title = full_name(piece.title, piece.size, piece.colourway, piece.tag)
    last = f", last {piece.last_at[:16].replace('T', ' ')}"
    lost = f"; {lost_words(piece.not_understood)}" if piece.not_understood else ""
    return f"{title}: {stage}{made}{paused}{last}{lost}"


def _patterns(patterns: Sequence[PatternLine]) -> Iterator[RenderableType]:
    table = columns("name", "beads", "crosses", "long", "thick", "hands-on", right=range(1, 5))
    for pattern in patterns:
        name = pattern.name if pattern.shipped else f"{pattern.name} (yours)"
        if pattern.error is not None:
            add(table, name, "", "", "", "", WRONG)
            continue
        add(
            table,
            name,
            str(pattern.beads or "-"),
            str(pattern.crosses),
            length_said(pattern.length_low_mm or 0.0, pattern.length_high_mm or 0.0),
            f"{'at most ' if pattern.diameter_at_most else ''}{pattern.diameter_mm:.1f} mm",
            _times(pattern),
        )
    yield table
    chosen = [pattern for pattern in patterns if pattern.sizes or pattern.colourways]
    if chosen:
        yield line("")
        yield line("Sizes and colourways", "bold")
    for pattern in chosen:
        sizes = [f"size {', '.join(pattern.sizes)}"] if pattern.sizes else []
        colourways = [f"in {', '.join(pattern.colourways)}"] if pattern.colourways else []
        yield line(f"{pattern.name}: {'; '.join([*sizes, *colourways])}")


def _times(pattern: PatternLine) -> str:
    about = "" if pattern.basis == "your pieces" else "about "
    text = f"{about}{duration(pattern.hands_on_s or 0)}"
    if pattern.basis == "your pieces":
        spread = ""
        if pattern.low_s is not None and pattern.high_s is not None:
            spread = f": {duration(pattern.low_s)} to {duration(pattern.high_s)}"
        return f"{text} (your {plural(pattern.pieces, 'piece')}{spread})"
    return f"{text} ({'guess' if pattern.basis == 'guess' else 'predicted'})"


def _documents(documents: Sequence[DocumentLine], noun: str) -> Iterator[RenderableType]:
    table = columns("name", "", "title")
    for document in documents:
        name = document.name if document.shipped else f"{document.name} (yours)"
        if document.error is not None:
            add(table, name, "", WRONG)
        else:
            number = document.strands if noun == "strand" else document.pieces
            add(table, name, plural(number or 0, noun), document.title)
    yield table
