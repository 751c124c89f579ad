"""A tag for each piece of a commission: a name that says everything."""

from __future__ import annotations

from collections.abc import Mapping

from bench.answers.tags import Tag, TagsAnswer
from bench.commission.book import CommissionBook
from bench.commission.pieces import CommissionPieces


def tags_of(
    book: CommissionBook,
    found: CommissionPieces,
    titles: Mapping[str, str],
    only: str | None,
    wide_mm: float,
    high_mm: float,
) -> TagsAnswer:
    """Tags of all lots, or of one: the pieces that count for them, by their numbers.

    `titles`: of the patterns by their names. Raises Fault for an unknown lot.
    """
    lots = book.commission.lots if only is None else (book.commission.lot(only),)
    tags = []
    for lot in lots:
        numbers = found.numbers(lot)
        of = lot.pieces if max(numbers, default=0) <= lot.pieces else None
        begun = {piece.state.number: piece.status for piece in found.of_lot(lot)}
        for number in numbers:
            tags.append(
                Tag(
                    name=f"{lot.name} {number}",
                    pattern=titles[lot.pattern],
                    size=lot.size,
                    colourway=lot.colourway,
                    lot=lot.name,
                    number=number,
                    of=of,
                    status=begun.get(number, "planned"),
                )
            )
    return TagsAnswer(
        commission=book.name,
        title=book.commission.title,
        wide_mm=wide_mm,
        high_mm=high_mm,
        tags=tuple(tags),
        file=None,
    )
