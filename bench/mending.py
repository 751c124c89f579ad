"""Carrying out a mend on the braid in hand: afterwards its plan is what hangs on the strands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from bench.braid import Braid
from bench.slips.mends import Mend, NewRemaining, SetCount, SewIn, TakeBack
from bench.slips.scene import GAP, Scene, Seen, Suspect


def carry_out(braid: Braid, mend: Mend, slips: Sequence[Suspect], chance: float) -> None:
    """Record a chosen mend and do what it does to count and loads, each step as an event.

    slips are what it is for, chance how sure that was. Crosses to be taken back are not counted
    as taken back yet, but remembered in the piece's state: the maker takes them back one by one.
    After any other mend the piece goes forward from here, also where crosses were taken back.
    Raises NotNow if the piece is not open or the mend does not fit it.
    """
    back = sum(e.crosses for e in mend.effects if isinstance(e, TakeBack))
    braid.record(
        "mend_chosen",
        {
            "do": mend.do,
            "caution": mend.caution,
            "shows": mend.shows,
            "seconds": mend.seconds,
            "slips": [kept(slip) for slip in slips],
            "chance": chance,
            "cross": braid.made,
            "back_to": braid.made - back if back else None,
            "seen": [asdict(spot) for spot in _seen(braid, mend, slips)],
        },
    )
    for effect in mend.effects:
        if isinstance(effect, SetCount):
            braid.set_place(effect.made)
        elif isinstance(effect, NewRemaining):
            braid.change_load(effect.strand, effect.letters)
        elif isinstance(effect, SewIn):
            spot = {"strand": effect.strand, "cross": effect.cross, "bead": effect.bead}
            braid.record("sew_in", spot)
    if not back:
        braid.set_place(braid.made)


def kept(slip: Suspect) -> dict[str, object]:
    """A suspect as it is kept in events: without what is not known of it."""
    return {key.rstrip("_"): value for key, value in asdict(slip).items() if value is not None}


def _seen(braid: Braid, mend: Mend, slips: Sequence[Suspect]) -> list[Seen]:
    """What stays visible of the slips in what is braided, once the mend is done."""
    sewn = {(e.strand, e.cross) for e in mend.effects if isinstance(e, SewIn)}
    scene = Scene(braid.plan, braid.made)
    return [
        spot
        for spot in scene.braided(slips)
        if (spot.strand, spot.cross) not in sewn or spot.what != GAP
    ]
