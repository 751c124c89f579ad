"""The sheet of `commission`, in plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import full_name
from bench.documents.commission import TERM_WORDS
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.commission import CommissionAnswer, LotLine

_NARROW = 76
"""In fewer columns there is no room for what a lot's pieces are."""


def commission_lines(answer: CommissionAnswer, width: int = WIDTH) -> list[str]:
    """What `commission` prints: the order, its lots, its terms, and how it came to that."""
    lines = [cleaned(answer.title), ""]
    if answer.cancelled:
        lines += headed("CANCELLED", cleaned(answer.cancelled), width=width)
    if answer.whom:
        lines += headed("FOR", cleaned(answer.whom), width=width)
    if answer.due:
        lines += headed("DUE", answer.due, width=width)
    lines += ["", *_lots(answer.lots, wide=width >= _NARROW), ""]
    for name, value in answer.terms.items():
        lines += headed("TERMS", f"{TERM_WORDS.get(name, name)}: {value}", width=width)
    for said in answer.changed:
        lines += headed("CHANGED", cleaned(said), width=width)
    if answer.versions:
        lines += ["", *_history(answer, width)]
    return lines


def _lots(lots: Sequence[LotLine], *, wide: bool) -> Iterator[str]:
    pattern = f"{'pattern':<26}" if wide else ""
    yield f"{'lot':<22}{pattern}{'good':>9}  {'due':<11}{'each':>6}"
    for lot in lots:
        made = cleaned(full_name(lot.pattern, lot.size, lot.colourway), 25)
        pattern = f"{made:<26}" if wide else ""
        yield (
            f"{cleaned(lot.lot, 21):<22}{pattern}{f'{lot.good} of {lot.pieces}':>9}"
            f"  {lot.due or '':<11}{lot.price or '':>6}"
        ).rstrip()


def _history(answer: CommissionAnswer, width: int) -> Iterator[str]:
    yield "HOW IT CAME TO THAT"
    several = sum(version.stands for version in answer.versions) > 1
    for version in answer.versions:
        changes = "; ".join(version.changes) or "as first kept"
        why = f" ({version.reason})" if version.reason else ""
        where = ", by the file" if version.source == "file" else ""
        mark = "* " if several and version.stands else ""
        yield from headed(
            version.day, cleaned(f"{mark}{changes}{where}{why}", 2000), indent=12, width=width
        )
