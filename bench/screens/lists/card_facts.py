"""What the card of a pattern says: choices, and what they come to."""

from __future__ import annotations

from bench.commission.starting import begun_last_with
from bench.craft.load import SKIP, equal_runs
from bench.craft.plan import Plan
from bench.craft.stages import BEGINNINGS, Stage
from bench.craft.text import Fault
from bench.craft.words import STAGES_DOING
from bench.documents.errors import DocumentError
from bench.journal.frozen import work_of
from bench.making.worked_pattern import WorkedPattern
from bench.screens.lists.expected_times import usual_time
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
        card.facts, card.warnings = [], [str(error)]
        return
    plan, growth = made.plan, made.growth
    shift = made.calibration.corrections.length.says("length")
    rests = shift or f"by {growth.length_by}; measure your first one"
    facts = [
        made.structure.title,
        f"{counts(plan)}, {plan.rows} rows" if plan.rows else counts(plan),
    ]
    for letter, bead in made.pattern.beads.items():
        count = sum(load.count(letter) for load in plan.loads)
        if count:
            facts.append(f"{letter}  {count} × {bead.name} {bead.size}, {bead.shape}")
    facts += [
        f"{growth.size_says} ({rests})",
        f"thread: {made.pattern.threads.name}",
        usual_time(pace, card.ref, work_of(plan)),
    ]
    card.facts, card.warnings = facts, list(made.warnings)
    card.side = _side_view(plan)


def _side_view(plan: Plan) -> list[str]:
    """The beads of one strand from the start, each line as wide as the bead is among them."""
    if not any(plan.loads):
        return []
    order = {letter: width for width, letter in enumerate(sorted(plan.pattern.beads), 2)}
    lines = []
    for letter, count in equal_runs(next(load for load in plan.loads if load).replace(SKIP, "")):
        wide = letter * (2 * order.get(letter, 2))
        lines += [wide.center(20)] * min(count, 6)
    return lines
