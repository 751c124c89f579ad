"""What a piece, a number of pieces or a commission takes: beads, thread, wire, needles, notions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from bench.answers.loading_sheet import CutLine
from bench.answers.needs import BeadNeed, DyeLotLine, LotNeed, NeedsAnswer, ThreadNeed
from bench.commission.bead_kind import BeadKind, kind_of, thread_kind
from bench.commission.buying import (
    BeadWant,
    Lack,
    LotWant,
    ThreadWant,
    dye_lots_of,
    lacks,
    mid_lot,
    shared_out,
    shopping,
)
from bench.commission.dye_lots import EXACT_TO, DyeTube, DyeWant, share_out
from bench.commission.inspection import Outcomes
from bench.commission.made_again import made_again_said, with_made_again
from bench.commission.notions import notions_of
from bench.craft import thread
from bench.craft.cautions import cautions_for
from bench.craft.cutting import passing
from bench.craft.pattern import Bead
from bench.craft.text import Fault
from bench.craft.thread import Cut
from bench.documents.settings import Settings
from bench.documents.stock import Shelf, StockThread, bought_again, grams_of
from bench.making.core_answer import core_wire_mm
from bench.making.loading_sheet import bead_rows
from bench.making.trays import spare_of
from bench.making.worked_pattern import WorkedPattern

MOST_SPOOLS = 1_000
"""More spools of one thread than any lot takes; a stock may say more."""


@dataclass(frozen=True, slots=True)
class WorkedLot:
    """So many pieces of a pattern worked up, under a lot's name."""

    name: str
    made: WorkedPattern
    pieces: int
    begun: Mapping[BeadKind, str] = field(default_factory=dict)
    """The dye lots that it is begun with."""


def needs_of(
    title: str,
    lots: Sequence[WorkedLot],
    shelf: Shelf,
    settings: Settings,
    outcomes: Outcomes | None = None,
    *,
    to_make: bool = True,
    made_again: bool = False,
) -> NeedsAnswer:
    """Work out what the lots take, against the maker's stock.

    `outcomes`: how the maker's pieces came out so far, for what is to be made again; `made_again`:
    that is counted in. `to_make`: whether they are still to be made; else nothing is short. Raises
    Fault for no lot or a number of pieces below one.
    """
    short = settings.thumb.short
    wanted = [lot.pieces for lot in lots]
    again = tuple(made_again_said(sum(wanted), outcomes, short, counted=made_again))
    if made_again and outcomes is not None:
        begun = with_made_again(wanted, outcomes, short)
        lots = [replace(lot, pieces=pieces) for lot, pieces in zip(lots, begun, strict=True)]
    if not lots or any(lot.pieces < 1 for lot in lots):
        raise Fault("needs are worked out for at least one piece")
    beads = bead_wants(lots, shelf, settings)
    threads = _threads(lots, shelf, settings)
    notions = notions_of((lot.made, lot.pieces) for lot in lots)
    needs = tuple(_lot(lot, settings) for lot in lots)
    wire_mm = max((need.wire_mm for need in needs if need.wire_mm is not None), default=None)
    found = lacks(beads, threads, notions, wire_mm, shelf, settings) if to_make else []
    buy, cost = shopping(found, shelf)
    warnings = [*shelf.warnings, *_warnings(lots, settings)]
    kept = shelf.file is not None and to_make
    mixing = tuple(mid_lot(beads, settings)) if kept else ()
    return NeedsAnswer(
        warnings=tuple(dict.fromkeys([*warnings, *mixing])),
        of=title,
        pieces=sum(lot.pieces for lot in lots),
        beads=tuple(_bead_out(want, found, settings) for want in beads),
        thread_m=round(sum(want.metres for want in threads), 2),
        threads=tuple(
            ThreadNeed(
                name=w.name, metres=round(w.metres, 2), spools=w.spools, have_m=round(w.have_m, 2)
            )
            for w in threads
        ),
        cut_mm=max(cut.cut_mm for need in needs for cut in need.cuts),
        wire_mm=wire_mm,
        needle=_needles(needs),
        lots=needs,
        notions=notions,
        dye_lots=(*_dye_lots(beads, settings), *_thread_lots(lots, shelf, settings)),
        stock=shelf.file.name if shelf.file is not None else None,
        list=None,
        mixing=mixing,
        short=tuple(lack.says for lack in found) if shelf.file is not None else (),
        buy=buy,
        cost=cost,
        rests_on=(
            *_rests_on(settings, beads=bool(beads), wire=wire_mm is not None),
            *again,
            *_by_rule(beads, settings),
        ),
        cautions=tuple(
            dict.fromkeys(
                text for lot in lots for text in cautions_for(lot.made.plan, lot.made.sizes)
            )
        ),
    )


def _needles(lots: Sequence[LotNeed]) -> str:
    """The needles of all lots; where they differ, each with the lots that it is for."""
    lots_of: dict[str, list[str]] = {}
    for lot in lots:
        lots_of.setdefault(lot.needle, []).append(lot.lot)
    if len(lots_of) == 1:
        return lots[0].needle
    return "; ".join(f"{needle} ({'; '.join(names)})" for needle, names in lots_of.items())


def bead_wants(lots: Sequence[WorkedLot], shelf: Shelf, settings: Settings) -> list[BeadWant]:
    """Every kind of bead of the lots, in the order in which it is first used."""
    letters: dict[tuple[BeadKind, str], tuple[str, Bead, WorkedPattern]] = {}
    wants: dict[tuple[BeadKind, str], list[LotWant]] = {}
    for lot in lots:
        for row in bead_rows(lot.made):
            key = (kind_of(row), row.colour.lower())
            letters.setdefault(key, (row.bead, lot.made.pattern.beads[row.bead], lot.made))
            begun = lot.begun.get(key[0])
            want = LotWant(lot.name, lot.pieces, row.count + row.core, begun)
            wants.setdefault(key, []).append(want)
    found = []
    for key, taken in wants.items():
        letter, bead, made = letters[key]
        mass = made.masses[letter].mean_g
        spare = spare_of(made.sizes[letter].diameter_mm, settings)
        found.append(BeadWant(letter, bead, mass, spare, tuple(taken), shelf.stock.matching(bead)))
    return shared_out(found, settings.thumb.tube_g)


def _dye_lots(beads: Sequence[BeadWant], settings: Settings) -> Iterator[DyeLotLine]:
    for want in beads:
        if len({entry.lot for entry in want.entries}) < 2:
            continue
        given = dye_lots_of(want, settings.thumb.tube_g)
        for lot, name in zip(want.lots, given.dye_lots, strict=True):
            yield DyeLotLine(size=want.bead.size, name=want.bead.name, lot=lot.name, dye_lot=name)


def _thread_lots(
    lots: Sequence[WorkedLot], shelf: Shelf, settings: Settings
) -> Iterator[DyeLotLine]:
    """Which dye lot of thread each lot takes, of threads that the stock has in several.

    Of a spool counts what it gives in whole lengths of the longest cut.
    """
    by_name: dict[str, list[WorkedLot]] = {}
    for lot in lots:
        by_name.setdefault(lot.made.pattern.threads.name, []).append(lot)
    for name, own in by_name.items():
        entries = shelf.stock.thread(name)
        if len({entry.lot for entry in entries}) < 2:
            continue
        cuts = [lot.made.cutting(settings).cuts for lot in own]
        longest_m = max(cut.cut_mm for of_lot in cuts for cut in of_lot) / 1000
        wants = tuple(
            DyeWant(
                lot.name,
                math.ceil(1000 * lot.pieces * sum(cut.total_m for cut in of_lot)),
                lot.begun.get(thread_kind(name)),
            )
            for lot, of_lot in zip(own, cuts, strict=True)
        )
        spools = tuple(
            DyeTube(entry.lot, 1000 * longest_m * math.floor(rest / longest_m), not entry.spools)
            for entry in entries
            for rest in _rests(entry, settings.thumb.spool_m)
        )
        for lot, dye_lot in zip(own, share_out(wants, spools).dye_lots, strict=True):
            yield DyeLotLine(size="", name=name, lot=lot.name, dye_lot=dye_lot)


def _bead_out(want: BeadWant, found: Sequence[Lack], settings: Settings) -> BeadNeed:
    lack = next((f for f in found if f.of is want), None)
    return BeadNeed(
        bead=want.letter,
        size=want.bead.size,
        shape=want.bead.shape,
        colour=want.bead.colour,
        name=want.bead.name,
        count=want.count,
        with_spare=want.needed,
        grams=round(want.needed * want.mass_g, 2),
        tubes=lack.packs if lack is not None else 0,
        have_g=round(sum(grams_of(entry, settings.thumb.tube_g) for entry in want.entries), 2),
    )


def _threads(lots: Sequence[WorkedLot], shelf: Shelf, settings: Settings) -> list[ThreadWant]:
    cuts: dict[str, list[Cut]] = {}
    for lot in lots:
        for cut in lot.made.cutting(settings).cuts:
            cuts.setdefault(lot.made.pattern.threads.name, []).append(
                Cut(cut.lengths * lot.pieces, cut.strands_each, cut.exact_mm, cut.cut_mm)
            )
    found = []
    for name, wanted in cuts.items():
        entries = shelf.stock.thread(name)
        usual_m = settings.thumb.spool_m
        priced = bought_again(entries)
        price = priced.price if priced is not None else None
        sizes_m = (e.spool_m for e in ([priced] if priced is not None else entries))
        spool_m = next((size for size in sizes_m if size), usual_m)
        rests = [rest for entry in entries for rest in _rests(entry, usual_m)]
        metres = sum(cut.total_m for cut in wanted)
        longest = max(cut.cut_mm for cut in wanted)
        fits = longest <= 1000 * spool_m
        left = thread.still_to_cut(tuple(wanted), 1, rests)
        spools, buy = (thread.spools(c, 1, spool_m) if fits else 0 for c in (tuple(wanted), left))
        missing = sum(cut.total_m for cut in left)
        found.append(
            ThreadWant(name, metres, longest, spools, spool_m, sum(rests), missing, buy, price)
        )
    return found


def _rests(entry: StockThread, usual_m: float) -> list[float]:
    """The spools of a stock's entry, each with what is on it, in metres; a begun one by itself."""
    spool_m = entry.spool_m or usual_m
    whole = math.floor(entry.spools)
    parts = (spool_m * (entry.spools - whole), entry.metres)
    return [*[spool_m] * min(whole, MOST_SPOOLS), *(part for part in parts if part > 0)]


def _lot(lot: WorkedLot, settings: Settings) -> LotNeed:
    made = lot.made
    found = passing(made.plan, made.sizes)
    wired = made.pattern.core is not None
    return LotNeed(
        lot=lot.name,
        pattern=made.name,
        pieces=lot.pieces,
        cuts=tuple(
            CutLine(lengths=c.lengths * lot.pieces, strands_each=c.strands_each, cut_mm=c.cut_mm)
            for c in made.cutting(settings).cuts
        ),
        thread=made.pattern.threads.name,
        wire_mm=core_wire_mm(made) if wired else None,
        needle=found.needles if found is not None else "none: there are no beads",
    )


def _warnings(lots: Sequence[WorkedLot], settings: Settings) -> list[str]:
    named = len(lots) > 1
    return [
        f"{lot.name}: {text}" if named else text
        for lot in lots
        for text in (*lot.made.warnings, *lot.made.cutting(settings).findings)
    ]


def _by_rule(beads: Sequence[BeadWant], settings: Settings) -> Iterator[str]:
    """How good the dye lots of an order are that is too large to look at every way of it."""
    for want in beads:
        given = dye_lots_of(want, settings.thumb.tube_g)
        mixed = given.dye_lots.count(None)
        if want.entries and not given.exact:
            yield (
                f"dye lots of {want.name}: shared out by a rule, as there are more than"
                f" {EXACT_TO} lots; {mixed} mix, and no way mixes fewer than {given.best}"
            )


def _rests_on(settings: Settings, *, beads: bool, wire: bool) -> tuple[str, ...]:
    thumb = settings.thumb
    culls = f", {thumb.culls:.0%} thrown out before" if thumb.culls else ""
    said = [
        f"spare: {thumb.spare_small:.0%} of 15/0 and smaller, {thumb.spare:.0%} of others lost"
        f"{culls} (common practice, no source); so many that a kind runs short one time in"
        f" {1 / thumb.short:.0f}",
        "grams: printed counts per 10 g, or beads that you counted or weighed",
    ]
    return (
        *(said if beads else ()),
        "thread: length times take-up, and the hang (rules of thumb in settings.toml)",
        *(["the core wire is pulled out and serves again until it is bent"] if wire else ()),
    )
