"""How alike two beads look: by size and by colour, for the maker's own eyes.

Colour difference is CIEDE2000 as given by Sharma, Wu and Dalal, "The CIEDE2000 color-difference
formula", Color Research and Application 30 (2005) 21-30, with all weights 1.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from bench.craft.beads import BeadSize
from bench.craft.pattern import Bead

Vision = Literal["full", "protan", "deutan", "tritan"]
Triple = tuple[float, float, float]
FOREIGN = "?"
"""A bead that is in no load."""

_SEEN: Mapping[Vision, tuple[Triple, Triple, Triple]] = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
"""Linear RGB as seen without one kind of cone: Machado, Oliveira and Fernandes, IEEE
Transactions on Visualization and Computer Graphics 15 (2009) 1291-1298, severity 1.0."""

_TO_XYZ: tuple[Triple, Triple, Triple] = (
    (0.4123907992659595, 0.35758433938387796, 0.1804807884018343),
    (0.21263900587151036, 0.7151686787677559, 0.07219231536073371),
    (0.01933081871559185, 0.11919477979462599, 0.9505321522496606),
)
"""Linear sRGB to XYZ: the primaries of IEC 61966-2-1 and the white x 0.3127, y 0.3290."""

_WHITE: Triple = (0.9504559270516717, 1.0, 1.0890577507598784)

COLOUR_UNIT = 12.0
"""CIEDE2000 that tells two small glass beads apart at a glance. Rule of thumb, no source."""

SIZE_UNIT = 0.25
"""Logarithm of two diameters' ratio that does the same. Rule of thumb, no source: a ladder of
sizes steps by 0.29 to 0.36."""

SHAPE_UNIT = 1.0
"""What another shape adds to the difference, in such units. Rule of thumb, no source."""


def lab(colour: str, vision: Vision = "full") -> Triple:
    """CIE L*a*b* (white D65) of a colour #rrggbb, as seen with this kind of vision."""
    linear = [_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5)]
    if vision != "full":
        linear = [min(1.0, max(0.0, _dot(row, linear))) for row in _SEEN[vision]]
    x, y, z = (_root(_dot(row, linear) / white) for row, white in zip(_TO_XYZ, _WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _dot(row: Triple, values: list[float]) -> float:
    return sum(a * b for a, b in zip(row, values, strict=True))


def _root(ratio: float) -> float:
    return ratio ** (1 / 3) if ratio > 216 / 24389 else (24389 / 27 * ratio + 16) / 116


def ciede2000(one: Triple, other: Triple) -> float:
    """Colour difference of two L*a*b* colours; symmetric, 0 for equal ones."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    chroma = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(_share(chroma)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = _hue(a1, b1), _hue(a2, b2)
    turn = h2 - h1 if c1 * c2 else 0.0
    if turn > 180:
        turn -= 360
    elif turn < -180:
        turn += 360
    d_light, d_chroma = l2 - l1, c2 - c1
    d_hue = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(turn / 2))
    light, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    hue = h1 + h2
    if c1 * c2:
        if abs(h1 - h2) > 180:
            hue += 360 if hue < 360 else -360
        hue /= 2
    t = (
        1
        - 0.17 * math.cos(math.radians(hue - 30))
        + 0.24 * math.cos(math.radians(2 * hue))
        + 0.32 * math.cos(math.radians(3 * hue + 6))
        - 0.20 * math.cos(math.radians(4 * hue - 63))
    )
    s_light = 1 + 0.015 * (light - 50) ** 2 / math.sqrt(20 + (light - 50) ** 2)
    s_chroma = 1 + 0.045 * chroma
    s_hue = 1 + 0.015 * chroma * t
    bend = 60 * math.exp(-(((hue - 275) / 25) ** 2))
    r = -2 * math.sqrt(_share(chroma)) * math.sin(math.radians(bend))
    parts = d_light / s_light, d_chroma / s_chroma, d_hue / s_hue
    return math.sqrt(sum(p * p for p in parts) + r * parts[1] * parts[2])


def _share(chroma: float) -> float:
    return chroma**7 / (chroma**7 + 25.0**7)


def _hue(a: float, b: float) -> float:
    return math.degrees(math.atan2(b, a)) % 360 if a or b else 0.0


def difference(
    one: Bead, other: Bead, sizes: tuple[BeadSize, BeadSize], vision: Vision = "full"
) -> float:
    """How different two beads look: 0 for alike, 1 where a glance tells them apart."""
    colour = ciede2000(lab(one.colour, vision), lab(other.colour, vision)) / COLOUR_UNIT
    size = math.log(sizes[0].diameter_mm / sizes[1].diameter_mm) / SIZE_UNIT
    shape = 0.0 if one.shape == other.shape else SHAPE_UNIT
    return math.hypot(colour, size, shape)


class Likeness:
    """How easily the beads of a pattern are taken for each other.

    `overlooked(x, y)` is the chance that y coming in for x is not noticed; None is no bead,
    `?` a bead that is in no load. It falls from 1 for beads that look the same to `floor`.
    """

    def __init__(
        self,
        beads: Mapping[str, Bead],
        sizes: Mapping[str, BeadSize],
        vision: Vision = "full",
        floor: float = 0.15,
        no_bead: float = 0.05,
    ) -> None:
        self.letters = tuple(sorted(beads))
        self._pairs: dict[tuple[str | None, str | None], float] = {}
        seen: list[str | None] = [*self.letters, FOREIGN, None]
        for x in seen:
            for y in seen:
                if x == y:
                    chance = 1.0
                elif x is None or y is None:
                    chance = no_bead
                elif FOREIGN in (x, y):
                    chance = floor
                else:
                    apart = difference(beads[x], beads[y], (sizes[x], sizes[y]), vision)
                    chance = floor + (1 - floor) * math.exp(-(apart**2))
                self._pairs[x, y] = chance
        self._sums = {x: sum(self._pairs[x, y] for y in seen if y != x) for x in seen}

    def overlooked(self, planned: str | None, actual: str | None) -> float:
        """The chance that this bead, or none, is taken for the planned one as it comes in."""
        return self._pairs[planned, actual]

    def mistaken(self, actual: str | None, seen: str | None) -> float:
        """The share of misreadings of a bead that name this other one."""
        return self._pairs[actual, seen] / self._sums[actual]
