"""Carrying out a mend on the braid in hand: afterwards its plan is what hangs on the strands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from bench.braid import Braid, NotNow
from bench.craft.text import Fault
from bench.slips.mends import Mend, NewRemaining, SetCount, SewIn, TakeBack
from bench.slips.scene import GAP, Scene, Seen, Suspect


def carry_out(braid: Braid, mend: Mend, slips: Sequence[Suspect], chance: float) -> None:
    """Record a chosen mend and do what it does to count and loads, each step as an event.

    slips are what it is for, chance how sure that was. Crosses to be taken back are not counted
    as taken back yet, but remembered in the piece's state: the maker takes them back one by one.
    After any other mend the piece goes forward from here, also where crosses were taken back.
    All of it is kept, or nothing. Raises NotNow if the piece is not open or the mend does not fit.
    """
    back = sum(e.crosses for e in mend.effects if isinstance(e, TakeBack))
    chosen = {
        "do": mend.do,
        "caution": mend.caution,
        "shows": mend.shows,
        "seconds": mend.seconds,
        "slips": [kept(slip) for slip in slips],
        "chance": chance,
        "cross": braid.made,
        "back_to": braid.made - back if back else None,
        "seen": [asdict(spot) for spot in _seen(braid, mend, slips)],
    }
    braid.record_all([("mend_chosen", chosen), *_events(braid, mend, forward=not back)])


def _events(braid: Braid, mend: Mend, *, forward: bool) -> Iterator[tuple[str, dict[str, object]]]:
    """What a mend does to count and loads, as kinds of events with their payloads."""
    plan, made = braid.plan, braid.made
    turned = not (forward and braid.state.back)
    for effect in mend.effects:
        if isinstance(effect, SetCount):
            if not 0 <= effect.made <= plan.crosses:
                raise NotNow(f"The piece has {plan.crosses} crosses; {effect.made} cannot be made.")
            yield "place_set", {"from": made, "to": effect.made}
            made, turned = effect.made, True
        elif isinstance(effect, NewRemaining):
            strand, letters = effect.strand, effect.letters
            try:
                plan = plan.with_load(strand, made, letters)
            except Fault as error:
                raise NotNow(f"The mend does not fit this piece: {error}.") from error
            yield "load_changed", {"strand": strand, "cross": made, "remaining": letters}
        elif isinstance(effect, SewIn):
            yield (
                "sew_in",
                {"strand": effect.strand, "cross": effect.cross, "bead": effect.bead},
            )
    if not turned:
        yield "place_set", {"from": made, "to": made}


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
