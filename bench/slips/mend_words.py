"""Mends in the maker's words, made from their steps."""

from __future__ import annotations

from collections.abc import Sequence

from bench.slips.likeness import FOREIGN
from bench.slips.mend_steps import MendStep, StepKind

_AS_IT_IS: dict[StepKind, str] = {
    "plan_is_right": "Carry on: the plan is right.",
    "strand_is_right": "Carry on: the strand is right.",
    "carry_on": "Carry on with what hangs there.",
    "leave_proud": "Carry on.",
    "open_other": "Mend nothing: leave this piece and open the one that lies on the stand. Crosses"
    " counted here meanwhile were made on that one: find your place in both.",
}

_MADE_GOOD: dict[StepKind, tuple[str, str]] = {
    "tuck": ("that bead", "tuck {bead} at {place} under"),
    "bring_in": ("the gap", "bring {bead} in at {place}"),
    "bring_in_one": ("the two in one place", "bring in one bead only at {place}"),
    "carry_the_right": (
        "where the lines change over",
        "carry the right one of the pair, {place}",
    ),
}
"""How a slip in braiding is found while crosses are taken back, and made good then."""


def mend_words(parts: Sequence[Sequence[MendStep]]) -> str:
    """What is to be done: the steps for each slip as a sentence or two."""
    if len(parts) > 1 and parts[0][0].kind == "set_count":
        made = parts[0][0].crosses
        return f"Set the count to {made} crosses made. {mend_words(parts[1:])}"
    return " Then: ".join(map(_part_words, parts))


def breaking_words(step: MendStep) -> str:
    """A bead that is to be broken later, as the bench reminds of it."""
    return f"break one {_bead(step)}"


def _part_words(steps: Sequence[MendStep]) -> str:
    first = steps[0]
    if first.kind in _AS_IT_IS:
        return _AS_IT_IS[first.kind]
    if first.kind == "set_count":
        return f"Set the count to {first.crosses} crosses made; the braid stays as it is."
    if first.kind in ("take_back", "take_back_plain"):
        return _take_back_words(steps)
    if first.kind == "skip":
        sewing = [f"; sew one {step.bead} in later" for step in steps[1:]]
        return f"{_when(first)} move the strand now at {first.places[0]} without a bead" + (
            "".join(sewing) + "."
        )
    if first.kind == "break_bead":
        return _break_words(steps)
    if first.kind == "leave_over":
        at = f"At {first.places[0]},"
        if len(steps) == 1:
            return f"{at} leave the bead that stays over at the free end; it comes off when the" + (
                " piece is done."
            )
        return f"{at} one bead stays over at the free end: leave it; {_into_the_gap(steps[1:])}."
    if first.kind == "hang":
        return f"Hang {_tama(first)}; no bead is in the braid yet."
    if first.kind == "swap":
        return (
            f"Swap the remaining beads of {' and '.join(first.places)}: each load off over the free"
            " end onto a spare thread, and from there onto the other strand."
        )
    return _restring_words(steps)


def _take_back_words(steps: Sequence[MendStep]) -> str:
    back, then = steps
    if back.kind == "take_back_plain":
        return f"Take back the plain crosses, then hang {_tama(then)}."
    crosses = f"{back.crosses} {'cross' if back.crosses == 1 else 'crosses'}"
    return f"Take back {crosses}{_made_good_words(then)}."


def _made_good_words(step: MendStep) -> str:
    """What is done once the crosses are out."""
    if step.kind == "make_again":
        return ", then make them again as planned"
    if step.kind == "make_the_next":
        return (
            f": the last to come out is {step.places[0]}, made a second time; go by what lies"
            f" uppermost, not by the screen. Then make {step.call} and go on"
        )
    place = step.places[0]
    if step.kind == "break_bead":
        return f", then break the {_bead(step)} that is next at {place}"
    if step.kind == "restring":
        return f", then strip the strand at {place} from its free end to the fault and string anew"
    found, then = _MADE_GOOD[step.kind]
    then = then.format(bead=f"bead {step.bead}" if step.bead else "the bead", place=place)
    return f", or as far as {found}; then {then}" if step.farther else f", then {then}"


def _break_words(steps: Sequence[MendStep]) -> str:
    first, place = steps[0], steps[0].places[0]
    behind = {0: "", 1: " behind the next bead"}.get(
        first.behind, f" behind the next {first.behind} beads"
    )
    if len(steps) == 1:
        return f"At {place}, break one {_bead(first)}{behind or ' now'}, before it is brought in."
    if steps[1].kind == "sew_in":
        return (
            f"At {place}, break the next bead ({_bead(first)}) before it is brought in;"
            f" {_into_the_gap(steps[1:])}."
        )
    skip, sew = steps[1:]
    return (
        f"At {place}, break the {_bead(first)}{behind}. {_when(skip)} move that strand without a"
        f" bead; sew one {sew.bead} in later."
    )


def _restring_words(steps: Sequence[MendStep]) -> str:
    places = steps[0].places
    more = f" and {len(places) - 4} more" if len(places) > 4 else ""
    text = f"Strip from the free end to the fault and string as planned: {'; '.join(places[:4])}"
    sewing = _into_the_gap(steps[1:])
    return f"{text}{more}." + (f" {sewing[0].upper()}{sewing[1:]}." if sewing else "")


def _into_the_gap(sewing: Sequence[MendStep]) -> str:
    if not sewing:
        return ""
    beads = " and ".join(f"one {step.bead}" for step in sewing)
    return f"sew {beads} into the gap{'s' if len(sewing) > 1 else ''} later"


def _when(skip: MendStep) -> str:
    """In which cross it is due: 'In 3 crosses (left and right),'."""
    if skip.crosses == 1:
        return "In the next cross,"
    return f"In {skip.crosses} crosses ({skip.call}),"


def _tama(step: MendStep) -> str:
    strands = len(step.places)
    more = "" if strands == 2 else f" and so on, {strands} strands in all"
    return f"the tama where they belong ({' and '.join(step.places[:2])}{more})"


def _bead(step: MendStep) -> str:
    return "foreign bead" if step.bead == FOREIGN else f"bead {step.bead}"
