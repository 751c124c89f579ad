"""Colours by name: those of the CSS standard, and those of the maker's own beads."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from bench.craft.colour import colour_class
from bench.craft.text import Fault

HEX = re.compile(r"#[0-9a-fA-F]{6}")
LONGEST_NAME = 60
SHADES = ("dark", "deep", "dim", "hot", "light", "medium", "pale")
"""What names are put together with; between them and the rest a space is shown."""
TWICE = frozenset({"aqua", "fuchsia"})
"""Names that mean the same as another one, cyan and magenta."""
OTHERWISE = {"mediumpurple": "#9370db", "palevioletred": "#db7093"}
"""Names that coloraide 8 has as an early draft had them, as the standard does."""
GREYEST = 0.04
"""Below such a colourfulness in OKLCh a colour counts as a grey."""
HUES = 12
PLAIN = (
    *("pink", "light pink", "salmon", "coral", "red", "crimson", "dark red", "maroon", "brown"),
    *("sienna", "chocolate", "tan", "wheat", "beige", "ivory", "orange", "dark orange", "gold"),
    *("yellow", "khaki", "olive", "lime", "green", "dark green", "light green", "pale green"),
    *("seagreen", "teal", "turquoise", "cyan", "light cyan", "skyblue", "light blue", "blue"),
    *("steelblue", "light steelblue", "dark blue", "navy", "royalblue", "slateblue", "indigo"),
    *("purple", "violet", "plum", "orchid", "magenta", "lavender", "thistle", "white"),
    *("light grey", "silver", "grey", "dim grey", "slategrey", "dark slategrey", "black"),
)
"""Names that say what one sees, for a colour that was worked out."""


@lru_cache(maxsize=1)
def named_colours() -> Mapping[str, str]:
    """The named colours as #rrggbb, each once, by hue and then from light to dark; greys last.

    CSS Color Module Level 4, section 6.1, as coloraide has it.
    """
    colours = colour_class()

    def order(name: str) -> tuple[float, float]:
        lightness, chroma, hue = colours(found[name]).convert("oklch").coords()
        return (HUES if chroma < GREYEST else hue * HUES // 360, -lightness)

    found = {
        name: value for name, value in _css().items() if name not in TWICE and "gray" not in name
    }
    return MappingProxyType({_spaced(name): found[name] for name in sorted(found, key=order)})


@lru_cache(maxsize=1)
def _css() -> Mapping[str, str]:
    """Every name of the standard without spaces, with its colour as #rrggbb."""
    colour_class()
    from coloraide.css.color_names import name2val_map

    found = {
        name: "#" + "".join(f"{round(part):02x}" for part in values[:3])
        for name, values in name2val_map.items()
        if values[3] == 255
    }
    return found | OTHERWISE


def _spaced(name: str) -> str:
    shade = next((shade for shade in SHADES if name.startswith(shade) and name != shade), "")
    return f"{shade} {name.removeprefix(shade)}" if shade else name


@lru_cache(maxsize=512)
def nearest_name(colour: str) -> str:
    """The plain named colour that a colour #rrggbb looks most like, by its distance in OKLab."""
    wanted = colour_class()(colour).convert("oklab").coords()
    return min(_in_oklab(), key=lambda named: math.dist(named[1], wanted))[0]


@lru_cache(maxsize=1)
def _in_oklab() -> tuple[tuple[str, tuple[float, ...]], ...]:
    colours = colour_class()
    return tuple(
        (name, tuple(colours(named_colours()[name]).convert("oklab").coords())) for name in PLAIN
    )


def colour_called(text: str, own: Mapping[str, str] = MappingProxyType({})) -> str | None:
    """The colour #rrggbb that a text names, or None.

    `own`: the colours of the maker's beads by their names, which come first. Spaces and capitals do
    not count in a name of the standard.
    """
    text = text.strip()
    if HEX.fullmatch(text):
        return text.lower()
    by_name = {name.casefold(): colour for name, colour in own.items()}
    return by_name.get(text.casefold()) or _css().get(re.sub(r"[\s-]+", "", text).lower())


def colour_and_name(text: str, own: Mapping[str, str] = MappingProxyType({})) -> tuple[str, str]:
    """The colour that a line begins with, as long as it can be, and the name behind it.

    Without a name behind it a colour is called as it was typed; one typed as #rrggbb has none, "".
    Raises Fault with what is expected.
    """
    words = text.split()
    for count in range(len(words), 0, -1):
        said, name = " ".join(words[:count]), " ".join(words[count:])
        colour = colour_called(said, own)
        if colour is None:
            continue
        if len(name) > LONGEST_NAME:
            raise Fault(f"a name has at most {LONGEST_NAME} letters")
        return colour, name or ("" if HEX.fullmatch(said) else said)
    raise Fault(f"no colour is called so; {_like(words, own)}")


def _like(words: list[str], own: Mapping[str, str]) -> str:
    """Names that are near what was typed, or how a colour is given at all."""
    typed = " ".join(words[:2]).casefold()
    known = [*own, *named_colours()]
    found = [name for name in known if len(typed) > 1 and name.casefold().startswith(typed)]
    found += difflib.get_close_matches(typed, known, n=3, cutoff=0.6)
    near = ", ".join(list(dict.fromkeys(found))[:4])
    return f"there is {near}" if near else "type a name such as teal or dark red, or #9fb8c8"


def two_colours(text: str, own: Mapping[str, str] = MappingProxyType({})) -> tuple[str, str]:
    """The two colours of a run: "navy pale green". Raises Fault with what is expected."""
    words = text.split()
    for count in range(1, len(words)):
        first = colour_called(" ".join(words[:count]), own)
        last = colour_called(" ".join(words[count:]), own)
        if first is not None and last is not None:
            return first, last
    raise Fault("type two colours one after the other, as navy pale green, or #335577 #ddeeff")
