"""How different two colours look, also to eyes that lack one kind of cone."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from coloraide import Color

Vision = Literal["full", "protan", "deutan", "tritan"]
"""All cones, or none for long, middle or short waves."""

COLOUR_UNIT = 12.0
"""CIEDE2000 that tells two small glass beads apart at a glance. Rule of thumb, no source."""


_LOADING = threading.Lock()


def colour_class() -> type[Color]:
    """The library's colours, loaded with the first use.

    One thread at a time: its parts need each other, and one that is half loaded breaks the next.
    """
    with _LOADING:
        from coloraide import Color
    return Color


def seen(colour: str, vision: Vision = "full") -> Color:
    """A colour #rrggbb as these eyes see it, in CIE L*a*b* for the white D65.

    Without a kind of cone: Machado, Oliveira and Fernandes, IEEE Transactions on Visualization
    and Computer Graphics 15 (2009) 1291-1298, severity 1, clipped to what a screen can show.
    """
    shown = colour_class()(colour)
    if vision != "full":
        shown = shown.filter(vision, method="machado").clip()
    return shown.convert("lab-d65")


def ciede2000(one: Color, other: Color) -> float:
    """Colour difference CIEDE2000, all weights 1; symmetric, 0 for equal colours.

    Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30.
    """
    return one.delta_e(other, method="2000", space="lab-d65")
