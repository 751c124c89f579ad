"""The answer of `card`: a pattern's sizes and colourways, each worked up, for a customer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from bench.answers.card import CardAnswer, CardBead, CardPiece
from bench.craft.pattern import Pattern
from bench.documents.settings import Settings
from bench.making.picture_answer import picture_of
from bench.making.worked_pattern import WorkedPattern


def card_answer(
    title: str,
    made: Sequence[WorkedPattern],
    figures: tuple[str, ...],
    prices: Mapping[str | None, float | None],
    settings: Settings,
) -> CardAnswer:
    """What is on a card: the pieces in their order, the figures wished, a price by size."""
    return CardAnswer(
        pattern=made[0].name,
        title=title,
        figures=figures,
        currency=settings.work.currency,
        pieces=tuple(_piece(one, settings, prices.get(one.size)) for one in made),
    )


def left_as_designed(pattern: Pattern, colourways: Iterable[str]) -> Iterator[str]:
    """Say which beads a colourway does not name."""
    strung = {letter for text in pattern.loads.values() for letter in text}
    for name in colourways:
        left = [bead for bead in pattern.beads if bead not in pattern.colourways[name]]
        left = [bead for bead in left if bead in strung]
        if left:
            beads = "bead" if len(left) == 1 else "beads"
            yield f"the colourway {name} leaves {beads} {', '.join(left)} as designed"


def _piece(made: WorkedPattern, settings: Settings, price: float | None) -> CardPiece:
    picture = picture_of(made, settings)
    strung = [letter for load in made.plan.loads for letter in load if letter in made.masses_g]
    return CardPiece(
        size=made.size,
        colourway=made.colourway,
        beads=picture.beads,
        looks=tuple(
            CardBead(
                bead=look.bead,
                size=look.size,
                colour=look.colour,
                name=look.name,
                diameter_mm=made.sizes[look.bead].diameter_mm,
            )
            for look in picture.looks
        ),
        length_mm=picture.length_mm,
        length_low_mm=picture.length_low_mm,
        length_high_mm=picture.length_high_mm,
        diameter_mm=picture.diameter_mm,
        diameter_at_most=picture.diameter_at_most,
        beads_in_all=len(strung),
        beads_g=round(sum(made.masses_g[letter] for letter in strung), 2),
        price=price,
    )
