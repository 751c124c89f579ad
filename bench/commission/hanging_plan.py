"""A commission's pieces and places, and the arrangement that is kept or worked out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from bench.answers.hanging import HangAnswer, HangingPlace
from bench.commission.book import CommissionBook
from bench.commission.hanging import (
    Cost,
    Hung,
    HungPiece,
    Place,
    Rail,
    cost_of,
    hang,
    off_centre_mm,
    troubles,
)
from bench.commission.hanging_places import Places, round_of
from bench.commission.pieces import CommissionPieces
from bench.craft.text import Fault
from bench.craft.words import full_name
from bench.documents.commission import Commission, Hanging, Lot
from bench.documents.settings import Settings
from bench.journal.commission_payloads import HangingKept
from bench.journal.store import Journal
from bench.making.expected_piece import ExpectedPiece
from bench.making.worked_pattern import WorkedPattern

CAUTIONS = (
    "Fixings and weight overhead: have the fixing checked by someone who knows it. What stands"
    " here is weight and place alone.",
    "Keep small parts, threads and needles out of the reach of children.",
    "Dyed and lined beads fade in sunlight: ask the maker of the beads before they hang in a"
    " window.",
)


APART = (
    "two benches kept which piece hangs where and knew nothing of each other: what was kept last"
    " holds; look it over and keep it again"
)


@dataclass(frozen=True)
class NamedPiece:
    """A piece of the commission that can hang: its key, as it is kept, and its colour.

    `lot`: its id. `begun`: it is made or in the making.
    """

    key: str
    hung: HungPiece
    colour: str
    lot: str
    lot_name: str
    number: int
    begun: bool


@dataclass(frozen=True)
class HangingPlan:
    """Rail, pieces and arrangement: as it was `kept`, or moved `by_hand` since, or worked out."""

    rail: Rail
    hanging: Hanging
    pieces: tuple[NamedPiece, ...]
    hung: Hung
    before: Mapping[int, int]
    kept: bool
    by_hand: bool = False
    apart: bool = False
    """Whether another bench kept another one that this one does not follow."""

    def swapped(self, one: int, other: int) -> tuple[str, ...]:
        """The arrangement with the pieces of two places (from 1) exchanged, as it is kept.

        Raises Fault for a place that there is not.
        """
        keys = list(self.keys)
        for place in (one, other):
            if not 1 <= place <= len(keys):
                raise Fault(f"there is no place {place}; there are 1 to {len(keys)}")
        keys[one - 1], keys[other - 1] = keys[other - 1], keys[one - 1]
        return tuple(keys)

    @property
    def keys(self) -> tuple[str, ...]:
        """The arrangement as it is kept."""
        return tuple("" if p is None else self.pieces[p].key for p in self.hung.at)


def pieces_of(
    commission: Commission,
    found: CommissionPieces,
    worked: Mapping[str, WorkedPattern],
    settings: Settings,
) -> tuple[NamedPiece, ...]:
    """The pieces that hang, as each is predicted: what is good or in hand, then what is planned.

    `worked`: the lots' patterns by their ids. Lots that do not hang are left out, and so are
    seconds, spoilt pieces, those given up, and good ones beyond a lot's count.
    """
    by_colour = commission.hanging is not None and commission.hanging.alike == "colourway"
    pieces = []
    for lot in commission.lots:
        if not lot.hangs:
            continue
        made = worked[lot.id or ""]
        expected = ExpectedPiece.of(made, settings)
        kind = full_name(lot.pattern, lot.size, lot.colourway)
        beads = made.pattern.beads
        begun = found.begun_numbers(lot)
        for number in found.numbers(lot):
            piece = HungPiece(
                f"{lot.name} {number}",
                (lot.colourway or "") if by_colour else kind,
                expected.length_mm,
                expected.thickness_mm,
                expected.weight_g or 0.0,
            )
            colour = next(iter(beads.values())).colour if beads else "#888888"
            key = key_of(lot, number)
            own = (lot.id or "", lot.name, number, number in begun)
            pieces.append(NamedPiece(key, piece, colour, *own))
    return tuple(pieces)


def plan_of(
    journal: Journal, book: CommissionBook, pieces: Sequence[NamedPiece], *, anew: bool
) -> HangingPlan:
    """The arrangement that was kept, else the best that is found. Raises Fault without places."""
    before = kept_before(journal, book, pieces)
    kept = None if anew else as_kept(book, pieces, before)
    plan = kept or worked_out(book, pieces, before)
    return replace(plan, apart=kept_apart(journal, book))


def kept_apart(journal: Journal, book: CommissionBook) -> bool:
    """Whether two benches kept arrangements that differ and know nothing of each other."""
    return len({said.pieces for _, said in standing(journal, book)}) > 1


def kept_before(
    journal: Journal, book: CommissionBook, pieces: Sequence[NamedPiece]
) -> dict[int, int]:
    """Which piece hung at a place when the arrangement was kept last, by their numbers from 0."""
    numbers = {piece.key: number for number, piece in enumerate(pieces)}
    keys = kept_keys(journal, book)[: len(places_in(book))]
    return {place: numbers[key] for place, key in enumerate(present(keys, numbers)) if key}


def as_kept(
    book: CommissionBook, pieces: Sequence[NamedPiece], before: Mapping[int, int]
) -> HangingPlan | None:
    """The arrangement as it was kept; None if none was. Raises Fault without places."""
    if not before:
        return None
    at: list[int | None] = [before.get(place) for place in range(len(places_in(book)))]
    return _planned(book, pieces, at, {**before}, exact=False, kept=True)


def worked_out(
    book: CommissionBook, pieces: Sequence[NamedPiece], before: Mapping[int, int]
) -> HangingPlan:
    """The best arrangement that is found, near the one before. Raises Fault without places."""
    rail = rail_of(hanging_of(book))
    found = hang(rail, [piece.hung for piece in pieces], before)
    return _planned(book, pieces, found.at, before, exact=found.exact, kept=False)


def arranged(book: CommissionBook, plan: HangingPlan, at: Sequence[int | None]) -> HangingPlan:
    """Another arrangement of a plan's pieces, at the places that the order has now."""
    plan = _planned(book, plan.pieces, at, plan.before, exact=False, kept=False)
    return replace(plan, by_hand=True)


def with_places_more(book: CommissionBook, plan: HangingPlan) -> HangingPlan:
    """A plan with the places that the order has more by now, each with what costs least there."""
    rail, pieces = rail_of(hanging_of(book)), [piece.hung for piece in plan.pieces]
    at = list(plan.hung.at)
    at += [None] * (len(rail.places) - len(at))
    idle = [number for number in range(len(pieces)) if number not in at]
    for place in range(len(plan.hung.at), len(at)):

        def tried(piece: int, place: int = place) -> tuple[Cost, int]:
            with_it = (*at[:place], piece, *at[place + 1 :])
            return cost_of(rail, pieces, with_it, plan.before), piece

        if idle:
            best = min(idle, key=tried)
            at[place] = best
            idle.remove(best)
    return arranged(book, plan, at)


def _planned(
    book: CommissionBook,
    pieces: Sequence[NamedPiece],
    at: Sequence[int | None],
    before: Mapping[int, int],
    *,
    exact: bool,
    kept: bool,
) -> HangingPlan:
    hanging = hanging_of(book)
    rail, hung = rail_of(hanging), [piece.hung for piece in pieces]
    if hanging.made_by_place:
        at = in_turn_of_places(pieces, at)
    if kept:
        before = {place: piece for place, piece in enumerate(at) if piece is not None}
    cost = cost_of(rail, hung, at, before)
    return HangingPlan(rail, hanging, tuple(pieces), Hung(tuple(at), cost, exact), before, kept)


def in_turn_of_places(
    pieces: Sequence[NamedPiece], at: Sequence[int | None]
) -> tuple[int | None, ...]:
    """The same arrangement, in which pieces of a lot that are still to begin go by their numbers.

    They are alike, so that the first one that is begun is the one of the first place.
    """
    rest: dict[str, list[int]] = {}
    for number, piece in enumerate(pieces):
        if not piece.begun:
            rest.setdefault(piece.lot, []).append(number)
    return tuple(
        piece if piece is None or pieces[piece].begun else rest[pieces[piece].lot].pop(0)
        for piece in at
    )


def hanging_of(book: CommissionBook) -> Hanging:
    """Where an order's pieces hang. Raises Fault if it has no places."""
    hanging = book.commission.hanging
    if hanging is None or not hanging.places:
        raise Fault(
            f"'{book.name}' has no places to hang at: say --evenly N with --width MM, or --places"
        )
    return hanging


def places_in(book: CommissionBook) -> Places:
    """The places of an order; none of one that has none."""
    return () if book.commission.hanging is None else book.commission.hanging.places


def kept_keys(journal: Journal, book: CommissionBook) -> tuple[str, ...]:
    """What was kept last of which piece hangs where, as its event has it; nothing if none was."""
    kept = [said for _, said in journal.each(HangingKept, book.id)]
    return kept[-1].pieces if kept else ()


def standing(journal: Journal, book: CommissionBook) -> tuple[tuple[str, HangingKept], ...]:
    """The arrangements that none follows, each with its event's id; the last of them holds.

    They are several where benches kept one that knew nothing of each other's.
    """
    kept = [*journal.each(HangingKept, book.id)]
    followed = {one for _, said in kept for one in said.over}
    last = {event.bench: event.uuid for event, _ in kept}
    return tuple(
        (event.uuid, said)
        for event, said in kept
        if event.uuid not in followed and last[event.bench] == event.uuid
    )


def kept_as(journal: Journal, book: CommissionBook, keys: Sequence[str]) -> HangingKept:
    """The event that keeps an arrangement over all that there are."""
    return HangingKept(tuple(keys), tuple(uuid for uuid, _ in standing(journal, book)))


def present(keys: Sequence[str], known: Collection[str]) -> list[str]:
    """The keys that were kept, as the pieces are now; "" where nothing hangs.

    One made in the place of another of its lot hangs where that did. `known`: the keys that there
    are, in their order.
    """
    spare: dict[str, list[str]] = {}
    held = set(keys)
    for key in known:
        if key not in held:
            spare.setdefault(lot_of(key), []).append(key)
    found = []
    for key in keys:
        others = spare.get(lot_of(key))
        if key and key not in known:
            key = others.pop(0) if others else ""
        found.append(key)
    return found


def key_of(lot: Lot, number: int | None) -> str:
    """The key of a lot's piece of that number, as it is kept."""
    return f"{lot.id}/{number}"


def lot_of(key: str) -> str:
    """The id of the lot in a piece's key."""
    return key.rpartition("/")[0]


def rail_of(hanging: Hanging) -> Rail:
    """The places as they are arranged over."""
    return Rail(
        hanging.shape,
        tuple(Place(*place) for place in hanging.places),
        hanging.level_mm,
        hanging.room_mm,
        hanging.near_mm,
        round_of(hanging.diameter_mm or 0.0),
    )


def hang_answer(book: CommissionBook, plan: HangingPlan) -> HangAnswer:
    """Tell an arrangement."""
    hung = [piece.hung for piece in plan.pieces]
    there = [hung[piece] for piece in plan.hung.at if piece is not None]
    off = None
    if plan.rail.shape == "hoop":
        off = round(off_centre_mm(plan.rail, hung, plan.hung.at), 1)
    unknown = any(piece.grams == 0 for piece in there)
    places = tuple(_place(plan, number) for number in range(len(plan.rail.places)))
    alike, close, moves = plan.hung.cost
    alike_at, close_at = troubles(plan.rail, hung, plan.hung.at)
    return HangAnswer(
        commission=book.name,
        title=book.commission.title,
        shape=plan.rail.shape,
        places=places,
        alike=alike,
        close=close,
        alike_at=_from_one(alike_at),
        close_at=_from_one(close_at),
        moves=moves,
        by_hand=plan.by_hand,
        exact=plan.hung.exact,
        kept=plan.kept,
        left_over=tuple(
            piece.hung.name for at, piece in enumerate(plan.pieces) if at not in plan.hung.at
        ),
        grams=None if unknown else round(sum(piece.grams for piece in there), 1),
        thread_m=round(sum(place.thread_mm or 0.0 for place in places) / 1000, 2),
        knots_mm=plan.hanging.knots_mm,
        off_centre_mm=off,
        round_mm=plan.rail.round_mm or None,
        cautions=CAUTIONS,
        warnings=(APART,) if plan.apart else (),
        files=(),
        waits=False,
    )


def _from_one(pairs: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Pairs of places with their numbers as they are told, in their order."""
    return tuple(sorted((min(a, b) + 1, max(a, b) + 1) for a, b in pairs))


def _place(plan: HangingPlan, number: int) -> HangingPlace:
    place, at = plan.rail.places[number], plan.hung.at[number]
    piece = None if at is None else plan.pieces[at]
    hung = None if piece is None else piece.hung
    return HangingPlace(
        place=number + 1,
        x_mm=place.x_mm,
        drop_mm=place.drop_mm,
        piece=None if hung is None else hung.name,
        lot=None if piece is None else piece.lot_name,
        number=None if piece is None else piece.number,
        colour=None if piece is None else piece.colour,
        length_mm=None if hung is None else round(hung.length_mm, 1),
        thickness_mm=None if hung is None else round(hung.thickness_mm, 1),
        thread_mm=None if hung is None else round(place.drop_mm + plan.hanging.knots_mm),
        moved=number in plan.before and plan.before[number] != at,
    )
