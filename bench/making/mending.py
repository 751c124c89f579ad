"""Carrying out a mend on the braid in hand: afterwards its plan is what hangs on the strands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, replace

from bench.craft.load import SKIP, write_load
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.journal import slip_payloads as payloads
from bench.journal.slip_payloads import HandsWork, LoadChanged, MendChosen, Restore, SlipFound, Spot
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.slips.likeness import FOREIGN
from bench.slips.mend import Mend
from bench.slips.mend_steps import MendStep, NewRemaining, SetCount, SewIn, TakeBack
from bench.slips.mend_words import breaking_words
from bench.slips.planned_stand import PlannedStand, common_start, with_skips
from bench.slips.supposed_stand import GAP, Irregularity, SupposedStand
from bench.slips.suspect import OF_THE_COUNT, Suspect


def carry_out(
    braid: Braid,
    mend: Mend,
    slips: Sequence[Suspect],
    chance: float,
    hands: HandsWork | None = None,
) -> None:
    """Record a chosen mend and do what it does to count and loads, each step as an event.

    slips are what it is for, chance how sure that was, hands how long it took by hand. Crosses to
    be taken back are not counted as taken back yet, but remembered in the piece's state: the maker
    takes them back one by one.
    A mend that changes nothing leaves a piece that is being taken back as it is; after any other
    it goes forward from here. Loads are changed from the slip on, so that the plan is also what
    hangs on the strands once these crosses are taken back.
    All of it is kept, or nothing. Raises NotNow if the piece is not open or the mend does not fit.
    """
    back = sum(e.crosses for e in mend.effects if isinstance(e, TakeBack))
    made = next((e.made for e in mend.effects if isinstance(e, SetCount)), braid.made)
    if not 0 <= made <= braid.plan.crosses:
        raise NotNow(f"The piece has {braid.plan.crosses} crosses; {made} cannot be made.")
    scene = PlannedStand(braid.plan, made)
    slips_here = [slip for slip in slips if slip.slip not in OF_THE_COUNT]
    changes, after = ([], scene.plan) if back else _changes(scene, mend, slips_here)
    restores = [] if back else _restores(scene, after, mend, slips_here)
    restores += _kept_up(scene, after, braid.state.restores)
    chosen = MendChosen(
        do=mend.do if not back else " ".join([mend.do, *_strung(mend)]),
        caution=mend.caution,
        shows=mend.shows,
        seconds=mend.seconds,
        slips=tuple(SlipFound(**asdict(slip)) for slip in slips),
        chance=chance,
        cross=braid.made,
        back=braid.state.back,
        back_to=made - back if back else None,
        seen=tuple(
            Spot(spot.strand, spot.cross, spot.what)
            for spot in _seen(scene, mend, slips_here, back=back > 0)
        ),
        later=tuple(_reminder(step) for step in mend.later),
        restores=tuple(restores),
        hands=hands,
    )
    sew_ins = [
        payloads.SewIn(e.strand, e.cross, e.bead) for e in mend.effects if isinstance(e, SewIn)
    ]
    forward = braid.state.back and not back and (mend.effects or changes)
    place = made if made != braid.made or forward else None
    braid.choose_mend(chosen, place, changes, sew_ins)


def _changes(
    scene: PlannedStand, mend: Mend, slips: Sequence[Suspect]
) -> tuple[list[LoadChanged], Plan]:
    """The loads that a mend changes, from the slip on, and the plan with them."""
    plan, made = scene.plan, scene.made
    new = {e.strand: e.letters for e in mend.effects if isinstance(e, NewRemaining)}
    past = SupposedStand(scene, slips).history()
    changes: list[LoadChanged] = []
    after = plan
    for strand in sorted({*new, *past}):
        cross, came = past.get(strand, (made, ""))
        named = plan.remaining(strand, cross)
        came = "".join(
            planned if bead == FOREIGN else bead for planned, bead in zip(named, came, strict=False)
        )
        try:
            # A strand that has run out gets its beads from here on, not from the slip on.
            left = plan.with_load(strand, made, new[strand]) if strand in new else plan
            letters = came + left.loads[strand - 1][plan.used(strand, cross) + len(came) :]
            if letters == named:
                continue
            after = after.with_load(strand, cross, letters)
        except Fault as error:
            raise NotNow(f"The mend does not fit this piece: {error}.") from error
        changes.append(LoadChanged(strand, cross, letters))
    return changes, after


def _restores(
    scene: PlannedStand, after: Plan, mend: Mend, slips: Sequence[Suspect]
) -> list[Restore]:
    """What hangs on the strands once the slips' own crosses are taken out, after the mend."""
    sewn = _sewn(mend)
    undone = [slip for slip in slips if (slip.strand, slip.at) not in sewn]
    found = []
    for strand, cross, role, beads in SupposedStand(scene, undone).taken_back():
        whole = beads + after.remaining(role, scene.made).replace(SKIP, "")
        whole = with_skips(whole, scene.plan.remaining(strand, cross)).replace(FOREIGN, "")
        found.append(Restore(strand, cross, whole, role))
    return found


def _kept_up(scene: PlannedStand, after: Plan, pending: Sequence[Restore]) -> list[Restore]:
    """What earlier mends give back, with what this one changes on the same strands."""
    plan, made, found = scene.plan, scene.made, []
    for restore in pending:
        role, whole = restore.in_place_of, restore.remaining
        if plan.loads[role - 1] == after.loads[role - 1]:
            continue
        beads, left = whole.replace(SKIP, ""), plan.remaining(role, made).replace(SKIP, "")
        old, new = (
            p.loads[role - 1][p.used(role, restore.cross) : p.used(role, made)]
            for p in (plan, after)
        )
        same = common_start(old, new)
        came = beads[: len(beads) - len(left) - len(old[same:].replace(SKIP, ""))]
        came += new[same:].replace(SKIP, "") + after.remaining(role, made).replace(SKIP, "")
        found.append(replace(restore, remaining=with_skips(came, whole)))
    return found


def _reminder(step: MendStep) -> Spot:
    """A bead that is to be broken later, as it is kept in events."""
    assert step.due is not None
    strand, cross = step.due
    return Spot(strand, cross, breaking_words(step))


def _strung(mend: Mend) -> list[str]:
    """What is to be strung anew, as it is told where the mend's own page is gone."""
    return [f"String on, to the free end: {write_load(beads)}." for _, beads in mend.string]


def _seen(
    scene: PlannedStand, mend: Mend, slips: Sequence[Suspect], *, back: bool
) -> list[Irregularity]:
    """What stays to be seen in what is braided, once the mend is done, and no plan can say.

    Where crosses are taken back for it: all that comes out with them.
    """
    sewn = _sewn(mend)
    return [
        spot
        for spot in SupposedStand(scene, slips).irregularities()
        if back
        or spot.what == FOREIGN
        or not (spot.other_bead or (spot.what == GAP and (spot.strand, spot.cross) in sewn))
    ]


def _sewn(mend: Mend) -> set[tuple[int, int]]:
    """Where beads are to be sewn in later: strand and cross."""
    return {(e.strand, e.cross) for e in mend.effects if isinstance(e, SewIn)}
