"""The sheet of `commission`, in plain text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import full_name
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.commission import CommissionAnswer, LotLine

_HEAD = f"{'lot':<22}{'pattern':<26}{'good':>9}  {'due':<11}{'each':>6}"


def commission_lines(answer: CommissionAnswer, width: int = WIDTH) -> list[str]:
    """What `commission` prints: the order, its lots, its terms, and how it came to that."""
    lines = [cleaned(answer.title), ""]
    if answer.cancelled:
        lines += headed("CANCELLED", cleaned(answer.cancelled), width=width)
    if answer.whom:
        lines += headed("FOR", cleaned(answer.whom), width=width)
    if answer.due:
        lines += headed("DUE", answer.due, width=width)
    lines += ["", _HEAD, *map(_lot, answer.lots), ""]
    for name, value in answer.terms.items():
        lines += headed("TERMS", f"{name.replace('_', ' ')}: {value}", width=width)
    for said in answer.changed:
        lines += headed("CHANGED", cleaned(said), width=width)
    if answer.versions:
        lines += ["", *_history(answer, width)]
    return lines


def _lot(lot: LotLine) -> str:
    made = full_name(lot.pattern, lot.size, lot.colourway)
    return (
        f"{cleaned(lot.lot, 21):<22}{cleaned(made, 25):<26}{f'{lot.good} of {lot.pieces}':>9}"
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
