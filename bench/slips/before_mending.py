"""The look that must still be answered before the likeliest suspect may be mended."""

from __future__ import annotations

from dataclasses import replace

from bench.slips.evidence import answered_by, named_beads
from bench.slips.looks import ANOTHER, Look, candidates, predicted
from bench.slips.mends import mends
from bench.slips.standing import Standing
from bench.slips.supposed_stand import Sight
from bench.slips.suspect import OF_THE_COUNT

COUNT_LOOKS = 2
"""So many answers must say that the count is off, and by how much, before it is set."""

COSTLY_S = 60.0
"""A mend that takes so long is told after a look that could refute it. Rule of thumb, no source."""

WRONGLY_SET_S = 60.0
"""What it costs to find the place again after the count was set wrongly. Rule of thumb, no
source."""

ANOTHER_LOOKS = 2
"""So many answers must say that another piece lies on the stand."""

ANOTHER_AT_MOST = 3
"""So often is it asked, where one answer says so and another one does not."""

COUNT_OF_ANOTHER_S = 3600.0
"""What it costs where the count is set by another piece: that of both is lost, and beads are
braided on until it shows. Rule of thumb, no source."""

ANOTHER_MENDED_S = 60.0
"""What it costs where a slip is mended that only another piece shows. Rule of thumb, no source."""


def look_before_mending(at: Standing) -> Look | None:
    """The look that the likeliest suspect needs yet; None where it may be mended."""
    if at.top.slip == "misread":
        return _second_look(at)
    return _refuting_look(at) or _which_piece(at)


def _second_look(at: Standing) -> Look | None:
    """The look that a report still needs before it may be taken for a misreading."""
    for one in at.now:
        again = replace(one.look, seconds=at.maker.costs.of(one.look.kind))
        kinds = ("next", "next3") if one.look.kind == "next" else ("braid",)
        if (
            not one.asked
            and again.key not in at.set_aside
            and not any(
                other.asked
                and other.look.place == one.look.place
                and other.look.kind in kinds
                and other.look.bead is None
                for other in at.now
            )
        ):
            return again
    return None


def _refuting_look(at: Standing) -> Look | None:
    """A cheap look that could refute the likeliest suspect, where its mend needs one.

    A count is set after COUNT_LOOKS answers that say so; a mend that takes COSTLY_S or spoils a
    bead is told after one that is not of the strand reported. None where nothing can be asked, or
    only what costs more than the mend would if it were wrong.
    """
    sight = at.top.sight
    if sight is None or not at.now:
        return None
    about = at.now[0].look.place
    agree = {
        one.look.key: one.look.kind == "glance" or one.look.place != about
        for one in at.now
        if one.asked
        and one.look.kind != "piece"
        and predicted(one.look, sight, at.planned) == one.answer
    }
    if not _sets_the_count(at) and (any(agree.values()) or not _costly(at)):
        return None
    asked = {one.look.key for one in at.now if one.asked} | at.set_aside
    places = range(1, at.planned.strands + 1)
    found = [
        look
        for look in candidates(at.planned, places, about, named_beads(at.now), at.maker.costs)
        if look.kind in ("glance", "next")
        and look.key not in asked
        and not answered_by(look, at.now)
        and (look.kind == "glance" or look.place != about)
        and look.seconds <= WRONGLY_SET_S
    ]
    if _sets_the_count(at):
        told = [one for one in at.now if one.asked and one.look.key in agree]
        if sum(_unlike_the_plan(at, one.look, one.answer) for one in told) >= COUNT_LOOKS:
            return None
        telling = [x for x in found if _unlike_the_plan(at, x, predicted(x, sight, at.planned))]
        if not telling and len(agree) >= COUNT_LOOKS:
            return None
        found = telling or found
    return max(found, key=lambda look: _refutes(at, look)) if found else None


def _unlike_the_plan(at: Standing, look: Look, answer: object) -> bool:
    """Whether an answer is another one than what hangs there if all is as counted."""
    return predicted(look, Sight({}, {}), at.planned) != answer


def _refutes(at: Standing, look: Look) -> float:
    """How surely a look refutes the likeliest suspect if it is something else, per second."""
    assert at.top.sight is not None
    right = predicted(look, at.top.sight, at.planned)
    others = sum(
        group.chance
        for group in at.classes[1:]
        if group.sight is not None and predicted(look, group.sight, at.planned) != right
    )
    return (at.surprise(look, [right]) + others) / look.seconds


def _which_piece(at: Standing) -> Look | None:
    """The look at which piece lies on the stand, where what is likeliest needs it.

    It does where it is another piece, or where that is likely enough to weigh the mend against, as
    beside any count; and where a count that is off by more than a row, or all strands from a wrong
    tray, would show the same: there, where it cannot be told, a strand is read off instead. Where
    there is no other piece nothing is asked.
    """
    if not at.model.priors.rates["other_piece"]:
        return None
    look, told, sweeping = at.piece_look(), at.told_of_the_piece, _sweeping(at)
    if look is None:
        return at.whole_strand() if sweeping else None
    if at.top.slip == "other_piece" or ANOTHER in told:
        sure = told.count(ANOTHER) >= ANOTHER_LOOKS or len(told) >= ANOTHER_AT_MOST
        return None if sure else look
    harm_s = COUNT_OF_ANOTHER_S if _sets_the_count(at) else ANOTHER_MENDED_S
    needed = sweeping or at.another_piece * harm_s > look.seconds
    return look if needed and not told else None


def _sets_the_count(at: Standing) -> bool:
    return any(slip.slip in OF_THE_COUNT for slip in at.top.first.slips)


def _sweeping(at: Standing) -> bool:
    """Whether a suspect says of all strands what another piece would show as well."""
    slips = at.top.first.slips
    shift = sum(slip.shift or 0 for slip in slips if slip.slip in OF_THE_COUNT)
    return abs(shift) > at.planned.plan.row_length or any(
        slip.slip == "wrong_tray" and slip.strand is None for slip in slips
    )


def _costly(at: Standing) -> bool:
    """Whether the best mend of a suspect takes long or spoils a bead."""
    ways = mends(at.planned, at.top.first.slips, at.maker)
    return bool(ways) and (
        ways[0].seconds >= COSTLY_S or any(s.kind == "break_bead" for s in ways[0].steps)
    )
