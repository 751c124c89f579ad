"""The answer about a commission, from its book."""

from __future__ import annotations

from collections.abc import Iterator

from bench.answers.commission import CommissionAnswer, LotLine, VersionLine
from bench.commission.book import CommissionBook
from bench.commission.money import shown
from bench.commission.versions import differences
from bench.documents.commission import Commission


def commission_answer(
    book: CommissionBook, now: Commission, changed: tuple[str, ...], *, waits: bool
) -> CommissionAnswer:
    """Tell of a commission as it is `now`, with the versions before it."""
    assert now.id is not None
    terms = now.terms.model_dump(mode="json", exclude_defaults=True, exclude_none=True)
    return CommissionAnswer(
        commission=book.name,
        id=now.id,
        title=now.title,
        whom=now.whom,
        due=None if now.due is None else now.due.isoformat(),
        file=str(book.file),
        lots=tuple(_lots(book, now)),
        terms=terms,
        cancelled=None if book.cancelled is None else book.cancelled.words,
        changed=changed,
        versions=tuple(_versions(book)),
        waits=waits,
        warnings=tuple(_warnings(book)),
    )


def _lots(book: CommissionBook, now: Commission) -> Iterator[LotLine]:
    for lot in now.lots:
        due = now.due_of(lot)
        yield LotLine(
            id=lot.id or "",
            lot=lot.name,
            pattern=lot.pattern,
            size=lot.size,
            colourway=lot.colourway,
            pieces=lot.pieces,
            due=None if due is None else due.isoformat(),
            price=None if lot.price is None else shown(lot.price),
            good=book.made.get(lot.id or "", 0),
            like=None if lot.like is None else lot.like.called,
        )


def _versions(book: CommissionBook) -> Iterator[VersionLine]:
    """Each version with what differs from the one that it follows."""
    known = {version.event: version for version in book.history.versions}
    standing = {version.event for version in book.history.apart}
    for version in book.history.versions:
        before = next((known[event] for event in version.over if event in known), None)
        yield VersionLine(
            day=version.day.isoformat(),
            source=version.source,
            reason=version.reason,
            changes=()
            if before is None
            else tuple(differences(before.commission, version.commission)),
            stands=version.event in standing,
        )


def _warnings(book: CommissionBook) -> Iterator[str]:
    if len(book.history.apart) > 1:
        yield (
            f"'{book.name}' was changed at {len(book.history.apart)} benches: both versions are"
            " shown; the next change that you keep follows both"
        )
    if book.history.unread:
        yield f"{book.history.unread} versions of '{book.name}' cannot be read, and are left out"
