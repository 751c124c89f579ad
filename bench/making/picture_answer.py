"""The answer of `picture`: where every bead of a pattern worked up comes to lie."""

from __future__ import annotations

from collections.abc import Iterator

from bench.answers.picture import LegendLine, PictureAnswer, PicturedBead
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern


def picture_of(made: WorkedPattern, settings: Settings) -> PictureAnswer:
    """The predicted picture of a pattern that was worked up."""
    growth = made.growth
    lattice = growth.lattice
    strung = {letter for load in made.plan.loads for letter in load}
    return PictureAnswer(
        pattern=made.name,
        title=made.pattern.title,
        size=made.size,
        colourway=made.colourway,
        columns=None if lattice is None else lattice.columns,
        beads=tuple(_spots(made, settings)),
        looks=tuple(
            LegendLine(bead=letter, size=bead.size, colour=bead.colour, name=bead.name)
            for letter, bead in sorted(made.pattern.beads.items())
            if letter in strung
        ),
        length_mm=round(growth.length_mm, 1),
        length_low_mm=round(growth.low_mm, 1),
        length_high_mm=round(growth.high_mm, 1),
        diameter_mm=round(growth.diameter_mm, 2),
        diameter_at_most=growth.diameter_at_most,
        hollow_mm=None if growth.hollow_mm is None else round(growth.hollow_mm, 2),
        says=tuple(_says(made, settings)),
    )


def _spots(made: WorkedPattern, settings: Settings) -> Iterator[PicturedBead]:
    """Every bead, with the maker's measured turn and hand."""
    lattice = made.growth.lattice
    turn = made.structure.turn
    if lattice is None or turn is None:
        return
    measured = settings.thumb.measured_turn_deg
    lean = 0.0 if measured is None else turn - measured
    hand = -1 if settings.thumb.flip_hand else 1
    for spot in lattice.spots:
        yield PicturedBead(
            cross=spot.cross,
            strand=spot.strand,
            bead=spot.bead,
            column=hand * spot.column % lattice.columns,
            height_mm=round(spot.height_mm, 3),
            radius_mm=round(spot.radius_mm, 3),
            angle_deg=round(hand * (spot.angle_deg + lean * (spot.cross - 1)) % 360, 2),
            diameter_mm=spot.diameter_mm,
        )


def _says(made: WorkedPattern, settings: Settings) -> Iterator[str]:
    if made.growth.lattice is None:
        yield "no columns are known, so nothing is drawn"
    else:
        yield "predicted from the columns of beads; the hand of the turn is not confirmed"
        if settings.thumb.flip_hand:
            yield "the hand is turned over, as set in settings.toml"
        if settings.thumb.measured_turn_deg is not None:
            yield (
                f"turned {settings.thumb.measured_turn_deg:g} degrees a cross, as measured"
                f" (predicted {made.structure.turn:g})"
            )
    yield f"length by {made.growth.length_rests_on}"
    yield from made.calibration.corrections.says_of_braid
