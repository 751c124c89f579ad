"""What made one piece what it is, as it was made: the facts of its card."""

from __future__ import annotations

from collections.abc import Iterator
from operator import attrgetter

from bench.answers.recipe import HungLater, NotGood, OnTheWay, RecipeAnswer, RecipeCore
from bench.commission.book import CommissionBook
from bench.commission.pieces import LOST, CommissionPieces, LotPiece
from bench.commission.pieces_answer import reason_of
from bench.commission.recipe_beads import recipe_beads
from bench.craft.cutting import passing
from bench.craft.text import Fault
from bench.documents.settings import Settings
from bench.journal.clock import iso_day
from bench.journal.payloads import Crossed, Finished, PlaceSet, PointSeen, TakenBack, WeightsHung
from bench.journal.store import Journal
from bench.making.core_answer import core_part
from bench.making.design_history import version_words
from bench.making.worked_pattern import WorkedPattern, stand_weights_of


def recipe_card(
    journal: Journal,
    book: CommissionBook,
    found: CommissionPieces,
    piece: LotPiece,
    made: WorkedPattern,
    settings: Settings,
) -> RecipeAnswer:
    """Tell what made a piece of a commission what it is.

    `made`: the pattern as the piece keeps it. Raises Fault for a piece that was only typed in.
    """
    started, state = journal.started(piece.state.uuid), piece.state
    if started is None:
        raise Fault(f"{piece.name} was only typed in; a recipe is of a piece made here")
    own, plan = piece.measures, made.plan
    sample = found.sample_of(piece.lot)
    needles = passing(plan, made.sizes)
    ended = [event.instant.wall for event, _ in journal.each(Finished, state.uuid)]
    hung = [said for _, said in journal.each(WeightsHung, state.uuid)]
    hangs = hung[-1] if hung else _by_settings(made, settings)
    return RecipeAnswer(
        commission=book.name,
        lot=piece.lot.name,
        piece=piece.name,
        pattern=started.pattern_name,
        title=made.pattern.title,
        size=started.size,
        colourway=started.colourway,
        version=started.hash[:12],
        version_words=_version(book, started.pattern_name, started.hash),
        begun_on=iso_day(state.started_wall or state.last_wall),
        made_on=iso_day(ended[-1] if ended else state.last_wall),
        signed_off=None if state.signed_off is None else iso_day(state.signed_off.wall),
        approved=sample.approved if sample.piece == piece else None,
        waived=sample.waived,
        loads=plan.loads,
        beads=tuple(recipe_beads(journal, state.uuid, made)),
        core=_core(made),
        plain_start=plan.plain_start,
        plain_end=made.pattern.plain_end if plan.last_bead_cross else 0,
        crosses=plan.crosses,
        thread=made.pattern.threads.name,
        cut=made.thread_said(settings),
        thread_cut_mm=None if state.measured is None else state.measured.thread_cut_mm,
        needles="none: there are no beads" if needles is None else needles.needles,
        tama_g=hangs.tama_g,
        counterweight_g=hangs.counterweight_g,
        weights_g=hangs.weights_g,
        weights_later=tuple(
            HungLater(after_cross=one.cross, counterweight_g=one.counterweight_g)
            for one in hangs.later
        ),
        as_hung=bool(hung),
        on_the_way=tuple(_on_the_way(journal, piece, made)),
        length_mm=own.length_mm,
        thickness_mm=own.thickness_mm,
        weight_g=own.weight_g,
        not_good=tuple(_not_good(found, piece)),
        like=None,
        pieces=1,
        differs=(),
        begun=None,
        file=None,
        waits=False,
    )


def _by_settings(made: WorkedPattern, settings: Settings) -> WeightsHung:
    """What would hang by the settings of today."""
    tama = stand_weights_of(settings, made.plan.strands).tama_g
    start = None if made.weighing is None else round(made.weighing.start_g, 1)
    return WeightsHung(tama, start)


def _version(book: CommissionBook, pattern: str, mark: str) -> str:
    return "" if book.library is None else version_words(book.library.home, pattern, mark)


def _core(made: WorkedPattern) -> RecipeCore | None:
    planned = made.pattern.core
    if planned is None:
        return None
    part = core_part(made)
    return RecipeCore(
        on=planned.on,
        beads=planned.beads,
        cut_mm=part.wire_mm if planned.on == "wire" else part.cord_mm,
        down_after_cross=part.down_after_cross,
    )


def _on_the_way(journal: Journal, piece: LotPiece, made: WorkedPattern) -> Iterator[OnTheWay]:
    """The marks of a piece, and where its point of braiding was seen to lie wrong, by crosses."""
    done = {mark.mark for mark in piece.state.marks_done}
    found = [
        OnTheWay(after_cross=mark.after_cross, what=mark.do, done=mark.id in done)
        for mark in made.marks
    ]
    crosses = 0
    for event in journal.events(piece.state.uuid):
        said = event.payload
        if isinstance(said, Crossed | TakenBack | PlaceSet):
            crosses = said.to
        elif isinstance(said, PointSeen) and said.at != "level":
            seen = f"point of braiding too {said.at}, weight changed as told"
            found.append(OnTheWay(after_cross=crosses, what=seen, done=True))
    yield from sorted(found, key=attrgetter("after_cross"))


def _not_good(found: CommissionPieces, piece: LotPiece) -> Iterator[NotGood]:
    for other in found.of_lot(piece.lot):
        if other.status in LOST:
            why = reason_of(other.state)
            yield NotGood(piece=other.name, status=other.status, reason=why)
