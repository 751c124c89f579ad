"""What is spoken at the bench: the next cross and its beads, or what stands in its way."""

from __future__ import annotations

from bench.craft.plan import PlannedCross
from bench.making.braid import Braid
from bench.screens.kit import words


def spoken_line(braid: Braid) -> str:
    """Say what the hands do next: a mark that is due, the way back, or the next cross."""
    saved = f"not saved, {braid.unsaved}. " if braid.unsaved else ""
    return saved + _next(braid)


def _next(braid: Braid) -> str:
    plan, state = braid.plan, braid.state
    if state.stage != "braid":
        return f"stage: {words.STAGE_WORDS[state.stage]}" if state.stage else "all stages are done"
    if state.paused:
        return "paused: stick in, weight off"
    if state.back and braid.made < plan.crosses:
        step = plan.step(braid.made + 1)
        return f"back: {step.call}, cross {step.cross} comes out"
    due = braid.mark_due
    if due is not None:
        return f"stop: {due.do}. {due.caution}".strip()
    following = braid.next_step
    if following is None:
        return "all crosses are made"
    _, of_row = plan.row_at(following.cross)
    where = f"{words.row_words(plan, following.cross)[0]}. " if of_row == 1 else ""
    return f"{where}{following.call}: {_beads(braid, following)}"


def _beads(braid: Braid, step: PlannedCross) -> str:
    if step.row is None:
        return "plain"
    found = words.sides(braid.plan, step)
    new = {m.bead for m in step.carried if words.changed(braid.plan, m, step.cross)}
    all_beads = [bead for side in found for bead in side.beads]
    if len(set(all_beads)) == 1:
        return _bead(braid, all_beads[0], new)
    return ", ".join(
        f"{side.name} {' and '.join(_bead(braid, bead, new) for bead in dict.fromkeys(side.beads))}"
        for side in found
    )


def _bead(braid: Braid, letter: str, new: set[str | None]) -> str:
    if not letter:
        return "no bead"
    bead = braid.plan.pattern.beads[letter]
    return f"new, {letter}, {bead.name} {bead.size}" if letter in new else letter
