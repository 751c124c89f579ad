"""Letters five lines high, to be read from a metre away."""

from __future__ import annotations

from .canvas import Canvas, Style

HEIGHT = 5

_SHAPES = """
A .##. #..# #### #..# #..#
B ###. #..# ###. #..# ###.
C .### #... #... #... .###
D ###. #..# #..# #..# ###.
E #### #... ###. #... ####
F #### #... ###. #... #...
G .### #... #.## #..# .###
H #..# #..# #### #..# #..#
I ### .#. .#. .#. ###
J ..## ...# ...# #..# .##.
K #..# #.#. ##.. #.#. #..#
L #... #... #... #... ####
M #...# ##.## #.#.# #...# #...#
N #...# ##..# #.#.# #..## #...#
O .##. #..# #..# #..# .##.
P ###. #..# ###. #... #...
Q .##. #..# #..# #.## .###
R ###. #..# ###. #.#. #..#
S .### #... .##. ...# ###.
T ##### ..#.. ..#.. ..#.. ..#..
U #..# #..# #..# #..# .##.
V #...# #...# #...# .#.#. ..#..
W #...# #...# #.#.# ##.## #...#
X #...# .#.#. ..#.. .#.#. #...#
Y #...# .#.#. ..#.. ..#.. ..#..
Z #### ...# .##. #... ####
0 .##. #..# #..# #..# .##.
1 .#. ##. .#. .#. ###
2 ###. ...# .##. #... ####
3 ###. ...# .##. ...# ###.
4 #..# #..# #### ...# ...#
5 #### #... ###. ...# ###.
6 .##. #... ###. #..# .##.
7 #### ...# ..#. .#.. .#..
8 .##. #..# .##. #..# .##.
9 .##. #..# .### ...# .##.
+ ... .#. ### .#. ...
- ... ... ### ... ...
: . # . # .
. . . . . #
? ###. ...# .##. .... .#..
"""

_GLYPHS: dict[str, list[str]] = {line[0]: line[2:].split() for line in _SHAPES.strip().splitlines()}
_GLYPHS["&"] = _GLYPHS["+"]
_SPACE = 2


def width_of(text: str, scale: int = 1) -> int:
    """Cells that a text takes in big letters."""
    widths = [len(_glyph(ch)[0]) if ch != " " else _SPACE for ch in text.upper()]
    return (sum(widths) + max(0, len(widths) - 1)) * scale


def big(canvas: Canvas, x: int, y: int, text: str, style: Style, scale: int = 1) -> int:
    """Draw a text in big letters, `scale` times as large; return the column behind it."""
    for ch in text.upper():
        if ch == " ":
            x += (_SPACE + 1) * scale
            continue
        glyph = _glyph(ch)
        for row, line in enumerate(glyph):
            for column, dot in enumerate(line):
                if dot == "#":
                    for sub in range(scale):
                        canvas.text(x + column * scale, y + row * scale + sub, "█" * scale, style)
        x += (len(glyph[0]) + 1) * scale
    return x - scale


def _glyph(ch: str) -> list[str]:
    return _GLYPHS.get(ch, _GLYPHS["?"])
