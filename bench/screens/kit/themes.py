"""Colour themes: dark, light, and one of high contrast. Every pair is at least 4.5 to 1."""

from __future__ import annotations

import os

from rich.console import Console
from textual.theme import Theme

DARK = Theme(
    name="bench-dark",
    dark=True,
    background="#101418",
    surface="#161b20",
    foreground="#e8ecef",
    primary="#8fd3ff",
    secondary="#a3b3bf",
    accent="#ffd28a",
    warning="#ffcf5c",
    error="#ff9a8a",
    success="#9be39b",
)
LIGHT = Theme(
    name="bench-light",
    dark=False,
    background="#fbfaf6",
    surface="#f1efe8",
    foreground="#16191c",
    primary="#004f86",
    secondary="#4a5560",
    accent="#7a3e00",
    warning="#7a4a00",
    error="#9a1c10",
    success="#15601f",
)
CONTRAST = Theme(
    name="bench-contrast",
    dark=True,
    background="#000000",
    surface="#000000",
    foreground="#ffffff",
    primary="#ffff00",
    secondary="#ffffff",
    accent="#ffffff",
    warning="#ffff00",
    error="#ff8080",
    success="#80ff80",
)
LIGHT_OF_16 = Theme(
    name="bench-light-16",
    dark=False,
    background="#ffffff",
    surface="#ffffff",
    foreground="#000000",
    primary="#0000aa",
    secondary="#000000",
    accent="#000000",
    warning="#aa0000",
    error="#aa0000",
    success="#000000",
)
"""The light theme where there are sixteen colours: only those that are dark in every palette."""
DEEP = {"256", "truecolor", "windows"}
"""Colour depths, as Rich names them, in which beads are told apart by their colour."""
THEMES = {"dark": DARK, "light": LIGHT, "contrast": CONTRAST}
"""Themes by the name that the settings use; the first is the usual one."""


def theme_for(name: str, depth: str | None) -> Theme:
    """The theme of a name for a terminal of a colour depth, as Rich names it ('standard' is 16).

    The dark themes keep their contrast in sixteen colours as they are.
    """
    return LIGHT_OF_16 if name == "light" and depth == "standard" else THEMES[name]


def shows_colours(console: Console) -> bool:
    """Whether a bead's colour can be told on the terminal: not with NO_COLOR, nor with 16.

    Textual keeps NO_COLOR from its console, and paints in greys.
    """
    return "NO_COLOR" not in os.environ and console.color_system in DEEP
