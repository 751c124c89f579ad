"""Suspects, looks and chances in the maker's words; strands by the place where they lie now."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.load import SKIP, equal_runs
from bench.craft.plan import Plan
from bench.slips.likeness import FOREIGN
from bench.slips.looks import Look, predicted
from bench.slips.planned_stand import MOST_COUNTED, PlannedStand
from bench.slips.supposed_stand import Sight, really_made
from bench.slips.suspect import Suspect

RIGHT = ", the braid is right"


def place_words(plan: Plan, made: int, strand: int) -> str:
    """Where a strand lies now: 'bottom, left of the two'."""
    return plan.structure.places[plan.place_of(strand, made) - 1]


def chance_words(chance: float) -> str:
    """A chance in words: '7 in 10', 'hardly'."""
    if chance > 0.95:
        return "almost surely"
    tenths = round(chance * 10)
    return f"{tenths} in 10" if tenths else "hardly"


def bead_name(letter: str | None) -> str:
    """A bead as it is called in questions."""
    if letter is None:
        return "nothing"
    return "foreign bead" if letter == FOREIGN else letter


def question(look: Look, plan: Plan, *, again: bool = False, piece: str = "") -> str:
    """A look as one question; again, where it was answered before. piece: the name of the piece."""
    place = plan.structure.places[look.place - 1]
    others = plan.strands - 1
    asked = {
        "glance": f"Lift your eyes round the rim. Leaving out {place}: how many of the other"
        f" {others} show {look.bead} next?",
        "next": f"Which bead is next at {place}?",
        "next3": f"{_after(look)}Which are the next three beads at {place}, the nearest first?",
        "left": f"How many alike hang next at {place}, the next one counted? Count to"
        f" {MOST_COUNTED} at most.",
        "braid": f"Look at the braid, on the line of {place}, the last rows: a gap, a bead that"
        " stands proud, or nothing?",
        "piece": f"Which piece lies on the stand: {piece or plan.pattern.title}, or another one?"
        " Its tag says so; without a tag its beads and its braid do.",
        "read": f"Read off all beads left at {place}, the next one first, letter by letter.",
    }[look.kind]
    return f"Look again, as if for the first time. {asked}" if again else asked


def _after(look: Look) -> str:
    """Where the next three are asked behind a bead that was named: that it is left out."""
    if look.bead is None:
        return ""
    bead = "that bead of no load" if look.bead == FOREIGN else f"that {look.bead}"
    return f"Leave out {bead}, which hangs next, and look behind it. "


def offer_words(look: Look, plan: Plan, made: int) -> str:
    """A look that is offered, as a question with what the plan expects."""
    planned = PlannedStand(plan, made)
    if look.kind == "glance":
        showing = sum(beads[:1] == look.bead for beads in planned.ahead.values())
        many = f"all {showing}" if showing == plan.strands else f"{showing} of {plan.strands}"
        return f"round the rim {many} show {look.bead} next?"
    place = plan.structure.places[look.place - 1]
    expected = predicted(look, Sight({}, {}), planned)
    return f"{place}: {expected} {planned.ahead[look.place][:1]} to the change?"


def slips_words(slips: Sequence[Suspect], plan: Plan, made: int) -> str:
    """What may have happened, as one sentence without its chance."""
    made = really_made(plan, made, slips)
    told = [suspect_words(slip, plan, made) for slip in slips]
    if len(told) == 1:
        return told[0]
    if len(set(told)) == 1 and slips[0].slip in ("missing", "extra"):
        many = {2: "two", 3: "three", 4: "four"}.get(len(told), str(len(told)))
        return told[0].replace(": one ", f": {many} ").replace(" was strung", " were strung")
    return "; and ".join(text.removesuffix(RIGHT) for text in told)


def suspect_words(s: Suspect, plan: Plan, made: int) -> str:
    """One suspect as a sentence without its chance."""
    where = place_words(plan, made, s.strand) if s.strand else ""
    bead, actual = bead_name(s.bead), bead_name(s.actual)
    shift = abs(s.shift or 0)
    crosses = "1 cross" if shift == 1 else f"{shift} crosses"
    ahead = "ahead" if (s.shift or 0) > 0 else "behind"
    other = place_words(plan, made, s.with_) if s.with_ else ""
    return {
        "misread": "a misreading: all is as planned",
        "missing": f"{where}: one {bead} too few was strung{_gone(s, plan, made)}",
        "extra": f"{where}: one {actual} too many was strung{_gone(s, plan, made)}",
        "wrong": f"{where}: one {actual} was strung in place of one {bead}",
        "swapped": f"{where}: {_both(s, plan)} were strung the wrong way round",
        "reversed": f"{where} and {other}: both ends of this thread were strung in reverse"
        if other
        else f"{where}: the load was strung in reverse",
        "end_for_end": f"{where} and {other}: this thread lies end for end",
        "doubles_exchanged": f"{where} and {other}: two threads were exchanged, all four ends",
        "strands_exchanged": f"{where} and {other}: two loads were exchanged",
        "turned": f"all loads were turned {shift} place {_way(s.shift)}",
        "wrong_tray": _tray_words(s, where),
        "count_off": f"the count is {crosses} {ahead}{RIGHT}",
        "not_brought_in": f"{where}: one {bead} was not brought in, cross {s.at} or before",
        "two_brought_in": f"{where}: two beads went in at once, cross {s.at} or before",
        "not_tucked": f"{where}: one {bead} was not tucked under, cross {s.at}",
        "wrong_of_pair": f"{where} and {other}: the wrong one of the pair was carried,"
        f" cross {s.at}",
        "cross_twice": f"cross {s.at} was made twice, in place of the next one: the count is right,"
        " the braid is not",
        "round_off": f"a round was {'left out' if (s.shift or 0) > 0 else 'made twice'}",
        "other_piece": "another piece lies on the stand",
        "other": "something that this list does not know",
    }[s.slip]


def _gone(s: Suspect, plan: Plan, made: int) -> str:
    """Where a run of beads is braided to its end, that it is so; one too many is then the next."""
    if s.strand is None or s.last is None:
        return ""
    used = plan.loads[s.strand - 1][: plan.used(s.strand, made)].replace(SKIP, "")
    braided = s.last < len(used) + (s.slip == "missing")
    return ", in what is braided" if braided else ""


def _tray_words(s: Suspect, where: str) -> str:
    """Beads from a wrong tray: a run, all on a strand, or all of them."""
    bead, actual = bead_name(s.bead), bead_name(s.actual)
    if s.strand is None:
        return f"the wrong tray: {actual} was strung for {bead} on all strands"
    if s.first is None or s.last is None:
        return f"{where}: the wrong tray, {actual} was strung for every {bead}"
    many = s.last - s.first + 1
    return f"{where}: the wrong tray, {many} {actual} were strung for {many} {bead}"


def _both(s: Suspect, plan: Plan) -> str:
    """Two neighbours that were swapped: beads, or runs of them: '2 b and 3 c'."""
    if s.strand is None or s.first is None or s.last is None or s.last == s.first + 1:
        return f"{bead_name(s.bead)} and {bead_name(s.actual)}"
    beads = plan.loads[s.strand - 1].replace(SKIP, "")[s.first - 1 : s.last]
    return " and ".join(f"{many} {letter}" for letter, many in equal_runs(beads))


def _way(shift: int | None) -> str:
    return "clockwise" if (shift or 0) > 0 else "anticlockwise"
