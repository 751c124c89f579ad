"""Colour difference and colour-blind sight, against published pairs and matrices."""

from __future__ import annotations

import pytest
from coloraide import Color

from bench.craft.colour import Vision, ciede2000, seen

# Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30, table 1: L a b, L a b,
# difference. Read from the copy in the tests of colour-science 0.4.7, which leaves out pair 14
# (hue exactly opposite, where the last digit of an arctangent decides); that one is from memory.
PAIRS = [
    (50.0, 2.6772, -79.7751, 50.0, 0.0, -82.7485, 2.0425),
    (50.0, 3.1571, -77.2803, 50.0, 0.0, -82.7485, 2.8615),
    (50.0, 2.8361, -74.02, 50.0, 0.0, -82.7485, 3.4412),
    (50.0, -1.3802, -84.2814, 50.0, 0.0, -82.7485, 1.0),
    (50.0, -1.1848, -84.8006, 50.0, 0.0, -82.7485, 1.0),
    (50.0, -0.9009, -85.5211, 50.0, 0.0, -82.7485, 1.0),
    (50.0, 0.0, 0.0, 50.0, -1.0, 2.0, 2.3669),
    (50.0, -1.0, 2.0, 50.0, 0.0, 0.0, 2.3669),
    (50.0, 2.49, -0.001, 50.0, -2.49, 0.0009, 7.1792),
    (50.0, 2.49, -0.001, 50.0, -2.49, 0.001, 7.1792),
    (50.0, 2.49, -0.001, 50.0, -2.49, 0.0011, 7.2195),
    (50.0, 2.49, -0.001, 50.0, -2.49, 0.0012, 7.2195),
    (50.0, -0.001, 2.49, 50.0, 0.0009, -2.49, 4.8045),
    (50.0, -0.001, 2.49, 50.0, 0.001, -2.49, 4.8045),
    (50.0, -0.001, 2.49, 50.0, 0.0011, -2.49, 4.7461),
    (50.0, 2.5, 0.0, 50.0, 0.0, -2.5, 4.3065),
    (50.0, 2.5, 0.0, 73.0, 25.0, -18.0, 27.1492),
    (50.0, 2.5, 0.0, 61.0, -5.0, 29.0, 22.8977),
    (50.0, 2.5, 0.0, 56.0, -27.0, -3.0, 31.903),
    (50.0, 2.5, 0.0, 58.0, 24.0, 15.0, 19.4535),
    (50.0, 2.5, 0.0, 50.0, 3.1736, 0.5854, 1.0),
    (50.0, 2.5, 0.0, 50.0, 3.2972, 0.0, 1.0),
    (50.0, 2.5, 0.0, 50.0, 1.8634, 0.5757, 1.0),
    (50.0, 2.5, 0.0, 50.0, 3.2592, 0.335, 1.0),
    (60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644),
    (63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.263),
    (61.2901, 3.7196, -5.3901, 61.4292, 2.248, -4.962, 1.8731),
    (35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645),
    (22.7233, 20.0904, -46.694, 23.0331, 14.973, -42.5619, 2.0373),
    (36.4612, 47.858, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146),
    (90.8027, -2.0831, 1.441, 91.1528, -1.6435, 0.0447, 1.4441),
    (90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381),
    (6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377),
    (2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082),
]
COLOURS = ["#9fb8c8", "#86a3b8", "#f2a33a", "#6b4f63", "#ff0000", "#00ff00", "#0000ff", "#101010"]

# Linear RGB as seen without one kind of cone: Machado, Oliveira and Fernandes, IEEE Transactions
# on Visualization and Computer Graphics 15 (2009) 1291-1298, severity 1.0.
MACHADO = {
    "full": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
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
# Linear sRGB to XYZ: the primaries of IEC 61966-2-1 and the white x 0.3127, y 0.3290.
TO_XYZ = (
    (0.4123907992659595, 0.35758433938387796, 0.1804807884018343),
    (0.21263900587151036, 0.7151686787677559, 0.07219231536073371),
    (0.01933081871559185, 0.11919477979462599, 0.9505321522496606),
)
WHITE = (0.9504559270516717, 1.0, 1.0890577507598784)


def times(matrix: tuple[tuple[float, ...], ...], values: list[float]) -> list[float]:
    """A matrix times a column."""
    return [sum(a * b for a, b in zip(row, values, strict=True)) for row in matrix]


def lab(colour: str, vision: str) -> tuple[float, float, float]:
    """CIE L*a*b* of a seen colour, worked out by the published formulas (CIE 15, IEC 61966-2-1)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
    linear = [min(1.0, max(0.0, x)) for x in times(MACHADO[vision], linear)]
    ratios = [x / white for x, white in zip(times(TO_XYZ, linear), WHITE, strict=True)]
    x, y, z = (t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116 for t in ratios)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("pair", PAIRS)
def test_ciede2000_of_the_published_pairs(pair: tuple[float, ...]) -> None:
    """Every published pair comes out to the four decimals that are printed."""
    one, other = Color("lab-d65", pair[:3]), Color("lab-d65", pair[3:6])
    assert ciede2000(one, other) == pytest.approx(pair[6], abs=5e-5)
    assert ciede2000(other, one) == pytest.approx(pair[6], abs=5e-5)


@pytest.mark.parametrize("colour", COLOURS)
@pytest.mark.parametrize("vision", ["full", "protan", "deutan", "tritan"])
def test_colours_as_they_are_seen(vision: Vision, colour: str) -> None:
    """L*a*b* of a hexadecimal colour is as by the published matrices, for every kind of sight."""
    assert seen(colour, vision).coords() == pytest.approx(lab(colour, vision), abs=1e-3)
