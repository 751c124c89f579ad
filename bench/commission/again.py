"""An order begun from another one's lot, a year later, and what is different by now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bench.answers.needs import NeedsAnswer
from bench.answers.recipe import RecipeBead
from bench.commission.book import CommissionBook, new_book
from bench.commission.changing import with_values
from bench.commission.identity import new_lot_id
from bench.commission.money import shown
from bench.commission.sample_changes import changed_since
from bench.craft.pattern import canonical
from bench.documents.commission import TERM_WORDS, Lot
from bench.documents.library import Library
from bench.journal.events import fingerprint
from bench.journal.frozen import work_of
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.making.worked_pattern import WorkedPattern
from bench.pace.model import Model
from bench.pace.predictive import Job, forecast

FAR = 0.05
"""A pace that differs by less is the same; no source."""


def begun_again(
    library: Library, book: CommissionBook, lot: Lot, name: str, title: str
) -> CommissionBook:
    """Begin a commission of that name with one lot of another one.

    Customer, price and terms are as they were there, but for the days and the hours of drawing:
    those are done. Nothing is written before it is kept. Raises DocumentError if there is such a
    file.
    """
    bare = lot.model_copy(update={"id": new_lot_id(), "due": None})
    values = {"id": None, "title": title, "due": None, "lots": [bare.model_dump()]}
    terms = book.commission.terms.model_dump() | {"holds_until": None, "design_hours": 0.0}
    fresh = with_values(book.commission, **values, hanging=None, terms=terms)
    return new_book(library, name, fresh)


def as_before(book: CommissionBook, lot: Lot) -> str:
    """What an order that is begun from another one's lot has from it, in a line."""
    order, parts = book.commission, []
    parts += [f"for {order.whom}"] if order.whom else []
    parts += [f"{shown(lot.price)} a piece"] if lot.price is not None else []
    terms = order.terms.model_dump(exclude_defaults=True)
    for key in ("holds_until", "design_hours"):
        terms.pop(key, None)
    note = terms.pop("note", None)
    parts += [_term(TERM_WORDS[key], value) for key, value in terms.items()]
    parts += [TERM_WORDS["note"]] if note else []
    like = "" if lot.like is None else f"made like {lot.like.called}"
    said = f"as then: {', '.join(parts)}" if parts else ""
    return "; ".join(filter(None, (like, said, "its day, and until when an offer holds, are new")))


def _term(word: str, value: object) -> str:
    """A term as it is said: 'deposit 30 %'."""
    bare = word.removesuffix(", %")
    return f"{bare} {value}" + ("" if bare == word else " %")


def lacking(needs: NeedsAnswer) -> Iterator[str]:
    """What the stock has too little of for the order, and where its dye lots part."""
    yield from (f"not enough in stock: {short}" for short in needs.short)
    yield from needs.mixing


def pattern_differs(
    journal: Journal, library: Library, piece: PieceState, lot: Lot, today: WorkedPattern
) -> str:
    """What of the pattern is other than when a piece was begun; "" if it is the same."""
    if fingerprint(canonical(today.pattern), canonical(today.structure)) == piece.hash:
        return ""
    change = changed_since(journal, library, piece, lot)
    said = "`versions` tells what was changed" if change is None else change.said
    return f"the pattern has another version by now: {said}"


def beads_differ(beads: Sequence[RecipeBead], pieces: int) -> Iterator[str]:
    """Of which beads the dye lots of a piece are empty or too small, and what else there is."""
    for bead in beads:
        own = [lot for lot in bead.left if lot.used and lot.dye_lot]
        wanted, there = pieces * bead.count, sum(lot.left for lot in own)
        is_empty = any(not lot.left for lot in own)
        if not own or (there >= wanted and not is_empty):
            continue
        said = [
            f"of dye lot {lot.dye_lot} {are_left(lot.left)}"
            if lot.left
            else f"dye lot {lot.dye_lot} is empty"
            for lot in own
        ]
        others = [
            f"of dye lot {lot.dye_lot or 'unknown'}, another one, {are_left(lot.left)}"
            for lot in bead.left
            if lot not in own and lot.left
        ]
        short = "" if there >= wanted else f"; {wanted} are needed"
        yield f"{bead.size} {bead.name}: {'; '.join([*said, *others])}{short}"


def are_left(beads: int) -> str:
    """How many beads are left, in words."""
    return "1 is left" if beads == 1 else f"{beads} are left"


def pace_differs(took_h: float | None, made: WorkedPattern, model: Model) -> str:
    """How long a piece takes by the pace of today, where it took another time then; else ""."""
    job = Job(made.name, made.size, made.colourway, work_of(made.plan))
    now_h = forecast(model, [job]).quantile(0.5) / 3600
    if took_h is None or abs(now_h / took_h - 1) < FAR:
        return ""
    return f"a piece took {took_h:.2f} h then, and takes about {now_h:.2f} h by your pace today"
