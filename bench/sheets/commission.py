"""The sheet of `commission`: in plain text, and as a page for the folder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import full_name
from bench.documents.commission import TERM_WORDS
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, column, headed

if TYPE_CHECKING:
    from bench.answers.commission import CommissionAnswer, LotLine

_SAME = "kept again as it was"
"""Said of a version that changes nothing: taken over, or kept at a second bench."""
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
    for lot in answer.lots:
        if lot.like:
            lines += headed("LIKE", cleaned(f"{lot.lot}: as {lot.like}", 300), width=width)
    for name, value in answer.terms.items():
        lines += headed("TERMS", f"{TERM_WORDS.get(name, name)}: {value}", width=width)
    for said in answer.changed:
        lines += headed("CHANGED", cleaned(said), width=width)
    if answer.versions:
        lines += ["", *_history(answer, width)]
    return lines


def commission_html(answer: CommissionAnswer) -> str:
    """The order, its lots, its terms and its history as one HTML page, for the maker's folder."""
    facts = (("cancelled", answer.cancelled), ("for", answer.whom), ("due", answer.due))
    head = "".join(f"<p>{name} {safe(value)}</p>" for name, value in facts if value)
    lots = "".join(
        f"<tr><td>{safe(lot.lot)}</td><td>{safe(_made(lot))}{safe(_like(lot))}</td>"
        f'<td class="n">{lot.good} of {lot.pieces}</td><td>{safe(lot.due or "")}</td>'
        f'<td class="n">{safe(lot.price or "")}</td></tr>'
        for lot in answer.lots
    )
    terms = "".join(
        f"<p>{safe(TERM_WORDS.get(name, name))}: {safe(str(value))}</p>"
        for name, value in answer.terms.items()
    )
    history = "".join(
        f'<tr><td class="day">{day}</td><td>{safe(said)}</td></tr>'
        for day, said in _versions(answer)
    )
    title = f"Order: {answer.title}"
    body = (
        f"<h1>{safe(title)}</h1>{head}"
        '<table><tr><th>lot</th><th>pattern</th><th class="n">good</th><th>due</th>'
        f'<th class="n">each</th></tr>{lots}</table>{terms}'
        f"<h2>How it came to that</h2><table>{history}</table>"
    )
    return page(title, body)


def _made(lot: LotLine) -> str:
    return full_name(lot.pattern, lot.size, lot.colourway)


def _like(lot: LotLine) -> str:
    return f", as {lot.like}" if lot.like else ""


def _lots(lots: Sequence[LotLine], *, wide: bool) -> Iterator[str]:
    pattern = f"{'pattern':<26}" if wide else ""
    yield f"{'lot':<22}{pattern}{'good':>9}  {'due':<11}{'each':>6}"
    for lot in lots:
        pattern = column(_made(lot), 26, 1) if wide else ""
        yield (
            f"{column(lot.lot, 22, 1)}{pattern}{f'{lot.good} of {lot.pieces}':>9}"
            f"  {lot.due or '':<11}{lot.price or '':>6}"
        ).rstrip()
    if len(lots) > 1:
        in_all = f"{sum(lot.good for lot in lots)} of {sum(lot.pieces for lot in lots)}"
        yield f"{'in all':<22}{'':<{26 if wide else 0}}{in_all:>9}"


def _history(answer: CommissionAnswer, width: int) -> Iterator[str]:
    yield "HOW IT CAME TO THAT"
    for day, said in _versions(answer):
        yield from headed(day, cleaned(said, 2000), indent=12, width=width)


def _versions(answer: CommissionAnswer) -> Iterator[tuple[str, str]]:
    """Each version's day, and what it changed."""
    several = sum(version.stands for version in answer.versions) > 1
    for number, version in enumerate(answer.versions):
        changes = "; ".join(version.changes) or (_SAME if number else "as first kept")
        why = f" ({version.reason})" if version.reason else ""
        where = ", by the file" if version.source == "file" else ""
        mark = "* " if several and version.stands else ""
        yield version.day, f"{mark}{changes}{where}{why}"
