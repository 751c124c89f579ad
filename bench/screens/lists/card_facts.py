"""What the card of a pattern says: choices, and what they come to."""

from __future__ import annotations

from dataclasses import replace

from bench.commission.starting import begun_last_with
from bench.craft.load import parse_load, write_load
from bench.craft.stages import BEGINNINGS, Stage
from bench.craft.text import Fault
from bench.craft.words import STAGES_DOING, plural
from bench.documents.errors import DocumentError
from bench.journal.frozen import work_of
from bench.making.worked_pattern import WorkedPattern
from bench.pace.records import Variant
from bench.screens.kit.hanging_braid import HangingBraid, hanging_as_chosen
from bench.screens.lists.expected_times import time_from
from bench.screens.lists.home_entries import counts
from bench.screens.lists.pattern_card import CardChoice, PatternCard
from bench.session import Session
from bench.timing.pace_service import LivePace

AS_WRITTEN = "as written"


def choices_of(session: Session, name: str) -> tuple[str, list[CardChoice]]:
    """The title of a pattern, and what can be chosen on its card."""
    path = session.library.pattern_path(name)
    plan = session.library.plan(path)
    pattern = plan.pattern
    begin = begun_last_with(session.journal)
    if begin == "load" and not any(plan.loads):
        begin = "set_up"
    doing = tuple(STAGES_DOING[stage] for stage in BEGINNINGS)
    return pattern.title, [
        CardChoice("size", (AS_WRITTEN, *pattern.sizes)),
        CardChoice("colourway", (AS_WRITTEN, *pattern.colourways)),
        CardChoice("begin with", doing, BEGINNINGS.index(begin)),
    ]


def beginning_of(card: PatternCard) -> Stage:
    """The stage that a piece of a card begins with."""
    return BEGINNINGS[card.choices[2].at]


def worked_up(session: Session, card: PatternCard) -> WorkedPattern:
    """Work up the pattern of a card in the size and colourway chosen on it."""
    size, colourway = (
        None if choice.value == AS_WRITTEN else choice.value for choice in card.choices[:2]
    )
    return session.work_up(card.ref, size, colourway)


def fill_card(session: Session, pace: LivePace, card: PatternCard) -> None:
    """Work out what the chosen size and colourway come to."""
    try:
        made = worked_up(session, card)
    except (DocumentError, Fault) as error:
        card.facts, card.warnings, card.braids = [], [str(error)], ()
        return
    plan, growth = made.plan, made.growth
    shift = made.calibration.corrections.length.says("length")
    rests = shift or f"by {growth.length_by}; measure your first one"
    facts = [
        made.structure.title,
        ", ".join([*counts(plan), *([f"{plan.rows} rows"] if plan.rows else [])]),
    ]
    for letter, bead in made.pattern.beads.items():
        count = sum(load.count(letter) for load in plan.loads)
        if count:
            facts.append(f"{letter}  {count} × {bead.name} {bead.size}, {bead.shape}")
    facts += [
        f"{growth.size_says} ({rests})",
        *_core_words(made),
        f"thread: {made.pattern.threads.name}",
    ]
    variant = Variant(card.ref, made.size, made.colourway)
    takes = time_from(pace, variant, work_of(plan), beginning_of(card))
    facts += [] if takes is None else [takes.text]
    card.facts, card.warnings = facts, list(made.warnings)
    card.braids, card.chosen = braids_of(session, made), card.choices[0].at


def braids_of(session: Session, made: WorkedPattern) -> list[HangingBraid]:
    """The pattern in each of its sizes, in the colourway that is chosen; none without beads."""
    plan = session.library.plan(session.library.pattern_path(made.name))
    found = []
    for size in (None, *plan.pattern.sizes):
        braid = hanging_as_chosen(plan, size, made.colourway)
        found += [] if braid is None else [replace(braid, name=size or AS_WRITTEN)]
    return found


def _core_words(made: WorkedPattern) -> list[str]:
    """The core that the piece is braided round, if it has one."""
    core = made.pattern.core
    if core is None:
        return []
    if core.on == "cord" or not core.beads:
        return [f"core: a {core.on} inside the braid"]
    beads = plural(len(parse_load(core.beads)), "bead")
    return [f"core: {write_load(parse_load(core.beads))} ({beads}) on a wire"]
