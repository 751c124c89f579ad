"""Colours by name against lists that others keep of the same standard."""

from __future__ import annotations

from coloraide import Color as ColourSpace
from textual.color import Color

from bench.design.colour_names import PLAIN, colour_called, named_colours, nearest_name


def test_a_name_means_what_the_css_standard_says() -> None:
    """Each name that is offered has the colour that Textual's list of the standard gives it.

    Those of the last test: CSS Color Module Level 4, section 6.1, where two libraries differ.
    """
    named = named_colours()
    assert len(named) == 139  # 148 names; grey is written in two ways, cyan and magenta twice
    for name, colour in named.items():
        assert colour == Color.parse(name.replace(" ", "")).hex.lower(), name
    assert colour_called("Medium Purple") == "#9370db"
    assert colour_called("palevioletred") == "#db7093"


def test_the_nearest_name_of_a_plain_colour_is_its_own() -> None:
    """And of colours beside them it is the one that coloraide finds nearest in OKLab."""
    named = {name: named_colours()[name] for name in PLAIN}
    assert all(named[nearest_name(colour)] == colour for colour in named.values())
    for colour in ("#c3d3dc", "#7a1f2b", "#204080", "#fefefe"):
        near = {name: ColourSpace(colour).distance(value, space="oklab")
                for name, value in named.items()}  # fmt: skip
        assert near[nearest_name(colour)] == min(near.values())
