"""Colours by name against lists that others keep of the same standard."""

from __future__ import annotations

from textual.color import Color

from bench.design.colour_names import colour_called, named_colours


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
