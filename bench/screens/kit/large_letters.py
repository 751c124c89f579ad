"""Letters five lines high, to be read from a metre away."""

from __future__ import annotations

from functools import lru_cache

from bench.screens.kit.canvas import Canvas, Style

HEIGHT = 5

_SHAPES = """
A ..#.. .#.#. .###. #...# #...#
B ###. #..# ###. #..# ###.
C .##. #... #... #... .##.
D ##... #.##. #...# #.##. ##...
E #### #... ###. #... ####
F #### #... ##.. #... #...
G .###. #.... #.### #...# .###.
H #...# #...# ##### #...# #...#
I ### .#. .#. .#. ###
J ..## ...# ...# #..# .##.
K #..# #.#. ##.. #.#. #..#
L #... #... #... #... ####
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O .##. #..# #..# #..# .##.
P ###. #..# ###. #... #...
Q .##. #..# #..# #.## .###
R ###. #..# ##.. #.#. #..#
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
● .###. ##### ##### ##### .###.
▲ ..#.. ..#.. .###. .###. #####
■ ##### ##### ##### ##### #####
◆ ..#.. .###. ##### .###. ..#..
▬ ..... ##### ##### ##### .....
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
    for row, line in enumerate(_lines(text.upper(), scale)):
        canvas.text(x, y + row, line, style)
    return x + width_of(text, scale)


@lru_cache(maxsize=256)
def _lines(text: str, scale: int) -> tuple[str, ...]:
    glyphs = [_glyph(ch) if ch != " " else [" " * _SPACE] * HEIGHT for ch in text]
    dots = ["█" * scale if dot == "#" else " " * scale for dot in "# "]
    rows = [" ".join(row).replace(".", " ") for row in zip(*glyphs, strict=True)]
    wide = ["".join(dots[dot != "#"] for dot in row) for row in rows]
    return tuple(line for line in wide for _ in range(scale))


def _glyph(ch: str) -> list[str]:
    return _GLYPHS.get(ch, _GLYPHS["?"])
