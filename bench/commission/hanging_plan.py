"""A commission's pieces and places, and the arrangement that is kept or worked out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bench.answers.hanging import HangAnswer, HangingPlace
from bench.commission.book import CommissionBook
from bench.commission.hanging import Hung, HungPiece, Place, Rail, cost_of, hang, off_centre_mm
from bench.commission.pieces import CommissionPieces
from bench.craft.text import Fault
from bench.craft.words import full_name
from bench.documents.commission import Commission, Hanging
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


@dataclass(frozen=True)
class NamedPiece:
    """A piece of the commission that can hang: its key, as it is kept, and its colour."""

    key: str
    hung: HungPiece
    colour: str


@dataclass(frozen=True)
class HangingPlan:
    """Rail, pieces and arrangement; `kept`: the arrangement is the maker's, as it was kept."""

    rail: Rail
    hanging: Hanging
    pieces: tuple[NamedPiece, ...]
    hung: Hung
    before: Mapping[int, int]
    kept: bool

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
        for number in found.numbers(lot):
            piece = HungPiece(
                f"{lot.name} {number}",
                (lot.colourway or "") if by_colour else kind,
                expected.length_mm,
                expected.thickness_mm,
                expected.weight_g or 0.0,
            )
            colour = next(iter(beads.values())).colour if beads else "#888888"
            pieces.append(NamedPiece(f"{lot.id}/{number}", piece, colour))
    return tuple(pieces)


def plan_of(
    journal: Journal, book: CommissionBook, pieces: Sequence[NamedPiece], *, anew: bool
) -> HangingPlan:
    """The arrangement that was kept, else the best that is found. Raises Fault without places."""
    hanging = book.commission.hanging
    if hanging is None or not hanging.places:
        raise Fault(
            f"'{book.name}' has no places to hang at: say --evenly N with --width MM, or --places"
        )
    rail = rail_of(hanging)
    hung = [piece.hung for piece in pieces]
    numbers = {piece.key: number for number, piece in enumerate(pieces)}
    kept = [said for _, said in journal.each(HangingKept, book.id)]
    before = {}
    if kept:
        keys = kept[-1].pieces[: len(rail.places)]
        before = _as_kept(keys, numbers)
    if before and not anew:
        at = tuple(before.get(place) for place in range(len(rail.places)))
        found = Hung(at, cost_of(rail, hung, at, before), exact=False)
        return HangingPlan(rail, hanging, tuple(pieces), found, before, kept=True)
    return HangingPlan(rail, hanging, tuple(pieces), hang(rail, hung, before), before, kept=False)


def _as_kept(keys: Sequence[str], numbers: Mapping[str, int]) -> dict[int, int]:
    """The pieces by their places; one made in the place of another of its lot hangs where that did.

    `numbers`: the place of each key among the pieces that hang.
    """
    found = {place: numbers[key] for place, key in enumerate(keys) if key in numbers}
    spare: dict[str, list[int]] = {}
    for key, number in numbers.items():
        if key not in keys:
            spare.setdefault(key.partition("/")[0], []).append(number)
    for place, key in enumerate(keys):
        others = spare.get(key.partition("/")[0])
        if key and key not in numbers and others:
            found[place] = others.pop(0)
    return found


def rail_of(hanging: Hanging) -> Rail:
    """The places as they are arranged over."""
    return Rail(
        hanging.shape,
        tuple(Place(*place) for place in hanging.places),
        hanging.level_mm,
        hanging.room_mm,
        hanging.near_mm,
        math.pi * (hanging.diameter_mm or 0.0),
    )


def hang_answer(book: CommissionBook, plan: HangingPlan) -> HangAnswer:
    """Tell an arrangement."""
    hung = [piece.hung for piece in plan.pieces]
    there = [hung[piece] for piece in plan.hung.at if piece is not None]
    off = None
    if plan.rail.shape == "hoop":
        off = round(off_centre_mm(plan.rail, hung, plan.hung.at), 1)
    unknown = any(piece.grams == 0 for piece in there)
    alike, close, moves = plan.hung.cost
    return HangAnswer(
        commission=book.name,
        title=book.commission.title,
        shape=plan.rail.shape,
        places=tuple(_place(plan, number) for number in range(len(plan.rail.places))),
        alike=alike,
        close=close,
        moves=moves,
        exact=plan.hung.exact,
        kept=plan.kept,
        left_over=tuple(
            piece.hung.name for at, piece in enumerate(plan.pieces) if at not in plan.hung.at
        ),
        grams=None if unknown else round(sum(piece.grams for piece in there), 1),
        off_centre_mm=off,
        round_mm=plan.rail.round_mm or None,
        cautions=CAUTIONS,
        files=(),
        waits=False,
    )


def _place(plan: HangingPlan, number: int) -> HangingPlace:
    place, at = plan.rail.places[number], plan.hung.at[number]
    piece = None if at is None else plan.pieces[at]
    hung = None if piece is None else piece.hung
    return HangingPlace(
        place=number + 1,
        x_mm=place.x_mm,
        drop_mm=place.drop_mm,
        piece=None if hung is None else hung.name,
        colour=None if piece is None else piece.colour,
        length_mm=None if hung is None else round(hung.length_mm, 1),
        thickness_mm=None if hung is None else round(hung.thickness_mm, 1),
        thread_mm=None if hung is None else round(place.drop_mm + plan.hanging.knots_mm),
        moved=number in plan.before and plan.before[number] != at,
    )
