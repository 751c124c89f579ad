"""What every screen owes to people who see little, see other colours, or have few of them."""

from __future__ import annotations

import importlib
import pkgutil
import re
import sys
from collections.abc import Iterator
from functools import cache
from itertools import combinations
from pathlib import Path
from types import CodeType, FrameType, ModuleType

import pytest
from coloraide import Color as Ink
from rich.color import Color, ColorSystem
from rich.segment import Segment
from rich.style import Style
from textual.color import Color as Ground
from textual.filter import Monochrome

import bench.screens
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.beads_to_bring_in import draw_beads
from bench.screens.kit.board import STYLES
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, Cell
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View
from tests.support.terminal import Program

from .conftest import Sit, Sitting
from .drawn_again import EffectsOfDrawing, wrong_at_odd_sizes
from .tour import walk
from .written import Written

XTERM = (
    "#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
    "#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff",
)  # fmt: skip
"""The sixteen colours of xterm, by its resource file XTerm-col.ad."""
BLOCKS = set("█▌▐▀▄▖▗▘▝▙▚▛▜▞▟ ")
LARGE = 5
"""Columns of a patch beside large letters."""
HALVES = "▀▄"
"""What a picture of the braid is made of."""
WAYS_BACK = ("leave", "back", "ESC", "close", "any key", "later")


TYPED = {"a line at the board", "a note", "the point of braiding, in grams", "what was measured"}
"""Where H is a letter of a note, or any key goes back: no help there."""
QUIET = {
    "not what I see",
    "a report",
    "which strand",
    "which line",
    "which bead",
    "a look",
    "what it may be",
}
QUIET |= {"what can be done", "a mend", "a strand read off", "sewn in", "not saved"}
"""Where the foot has no room for it."""


def shown(color: Color, depth: ColorSystem) -> tuple[int, int, int]:
    """What a terminal of a depth shows for a colour."""
    found = color.downgrade(depth)
    if depth is ColorSystem.STANDARD:
        assert found.number is not None
        red, green, blue = Color.parse(XTERM[found.number]).get_truecolor()
    else:
        red, green, blue = found.get_truecolor()
    return red, green, blue


@cache
def contrast(style: Style, depth: ColorSystem) -> float:
    """Contrast by WCAG of a style's text with its ground, as a terminal of a depth shows it."""
    assert style.color is not None
    assert style.bgcolor is not None
    text, ground = (
        Ink("srgb", [part / 255 for part in shown(color, depth)])
        for color in (style.color, style.bgcolor)
    )
    return text.contrast(ground, method="wcag21")


def painted(sitting: Sitting) -> Iterator[Segment]:
    """Every piece of text that is on the screen, as it goes to the terminal."""
    for strip in sitting.app.screen._compositor.render_strips():
        for segment in strip:
            if segment.text.strip():
                yield segment


def canvas_of(sitting: Sitting) -> Canvas:
    """The canvas that is up."""
    screen = sitting.app.screen
    assert isinstance(screen, BoardScreen)
    return screen.board.canvas


def is_large(row: list[Cell], x: int) -> bool:
    """Whether a patch is as wide as a large letter."""
    first, last = x, x
    while first and row[first - 1] == row[x]:
        first -= 1
    while last + 1 < len(row) and row[last + 1] == row[x]:
        last += 1
    return last - first + 1 >= LARGE


def bad_patches(canvas: Canvas) -> list[str]:
    """Where a bead's colour stands on anything but a block, or without a letter beside it.

    But in a picture of the braid, made of half blocks and of letters on their colour, and in a
    large patch, which stands beside large letters.
    """
    found = []
    for y, row in enumerate(canvas.rows):
        patches = [
            x
            for x, (ch, style) in enumerate(row)
            if style.startswith("#") and "/" not in style and ch not in HALVES
        ]
        patches = [x for x in patches if not is_large(row, x)]
        found += [f"{row[x][0]!r} at {x}, {y}" for x in patches if row[x][0] not in BLOCKS]
        for x in patches:
            line = "".join(ch or " " for ch, _ in row)
            start, end = x, x + 1
            while start and line[start - 1] in BLOCKS - {" "}:
                start -= 1
            while end < len(line) and line[end] in BLOCKS - {" "}:
                end += 1
            beside = line[max(0, start - 2) : start] + line[end : end + 2]
            if not any(ch.islower() for ch in beside):
                found.append(f"no letter beside {x}, {y}: {line.strip()!r}")
    return found


DEPTHS = {
    "bench-dark": (ColorSystem.TRUECOLOR, ColorSystem.EIGHT_BIT, ColorSystem.STANDARD),
    "bench-contrast": (ColorSystem.TRUECOLOR, ColorSystem.EIGHT_BIT, ColorSystem.STANDARD),
    "bench-light": (ColorSystem.TRUECOLOR, ColorSystem.EIGHT_BIT),
    "bench-light-16": (ColorSystem.STANDARD,),
}
"""Every theme, and on which terminals it is used."""


def faint(sitting: Sitting) -> Iterator[str]:
    """Text on the screen that has too little contrast on a terminal that its theme is used on."""
    colours = {style for row in canvas_of(sitting).rows for _, style in row if style[:1] == "#"}
    patches = {Color.parse(c).get_truecolor() for style in colours for c in style.split("/")}
    for segment in painted(sitting):
        assert segment.style is not None
        assert segment.style.color is not None
        if segment.style.color.get_truecolor() in patches and set(segment.text) <= BLOCKS:
            continue
        assert segment.style.bgcolor is not None
        on_a_bead = segment.style.bgcolor.get_truecolor() in patches
        for depth in DEPTHS[sitting.app.theme]:
            if on_a_bead and depth is ColorSystem.STANDARD:
                continue  # sixteen colours show no picture in colour
            ratio = contrast(segment.style, depth)
            if ratio < 4.5:
                yield f"{segment.text!r} {sitting.app.theme} {depth.name} {ratio:.2f}"


def faint_or_coloured_without_colours(sitting: Sitting) -> Iterator[str]:
    """Text that has a colour, or too little contrast, where NO_COLOR takes colours away."""
    for segment in painted(sitting):
        for grey in Monochrome().apply([segment], Ground(0, 0, 0)):
            assert grey.style is not None
            for color in (grey.style.color, grey.style.bgcolor):
                if color is not None and len(set(color.get_truecolor())) != 1:
                    yield f"{grey.text!r} {color} without colours"
            is_text = bool(set(grey.text) - BLOCKS)
            if is_text and contrast(grey.style, ColorSystem.TRUECOLOR) < 4.5:
                yield f"{grey.text!r} is faint without colours"


def without_way_back(sitting: Sitting) -> Iterator[str]:
    """The foot of a screen that names no way back."""
    foot = "\n".join(sitting.shown.split("\n")[-4:])
    if not any(way in foot for way in WAYS_BACK):
        yield f"no way back in {foot!r}"


async def faint_in_some_theme(sitting: Sitting, looked_at: set[str]) -> list[str]:
    """What is faint in any theme; themes are changed only where a style is new.

    A style looks the same wherever it stands. `looked_at`: the styles so far, added to.
    """
    styles = {style for row in canvas_of(sitting).rows for ch, style in row if ch and ch != " "}
    found = list(faint(sitting))
    for theme in DEPTHS if styles - looked_at else ():
        sitting.app.theme = theme
        await sitting.pilot.pause()
        found += faint(sitting)
    looked_at |= styles
    return found


async def without_help(sitting: Sitting, name: str) -> list[str]:
    """What H fails to tell of a screen's keys; any key must lead back to the screen."""
    if name in TYPED or name.startswith("help"):
        return []
    screen = sitting.app.screen
    assert isinstance(screen, BoardScreen)
    lines = screen.help_lines()
    before = sitting.shown
    await sitting.press("h", seconds=0.0)
    read = " ".join(re.sub(r"[│║]", " ", sitting.shown).split())
    await sitting.press("space", seconds=0.0)
    held = {
        "H help at the foot": "H help" in before or name in QUIET,
        "help": bool(lines),
        "every line of the help": all(what in read for _, what in lines),
        "one 'any key: back'": read.count("any key: back") == 1,
        "the screen of before": sitting.shown == before,
    }
    return [f"without {what}" for what, holds in held.items() if not holds]


async def takes_odd_numbers(sitting: Sitting, name: str) -> list[str]:
    """Whether a raised two or another script's three is taken for a number."""
    before = sitting.shown
    for sign in ("²", "٣"):
        await sitting.pilot.press(sign)
    assert sitting.app.is_running
    typed = "note" in name or "line" in name
    taken = not typed and sitting.shown.count("²") != before.count("²")
    return ["an odd number is taken"] if taken else []


@pytest.fixture
def written(monkeypatch: pytest.MonkeyPatch) -> Written:
    """What notes how text is written on the screens."""
    return Written(monkeypatch)


def drawing(screen: BoardScreen) -> set[CodeType]:
    """The code of every function that runs while a screen is drawn."""
    ran = set[CodeType]()

    def note(frame: FrameType, event: str, arg: object) -> None:
        if event == "call":
            ran.add(frame.f_code)

    sys.setprofile(note)
    try:
        screen.redraw()
    finally:
        sys.setprofile(None)
    return ran


@pytest.mark.parametrize(("width", "height"), [(80, 24), (60, 20)])
async def test_every_screen_can_be_read_and_used(
    sit: Sit, sixty: Path, written: Written, width: int, height: int
) -> None:
    """One walk through all screens, and what each owes to those who read and use it.

    In every theme all text has a contrast of at least 4.5 to 1 (WCAG 2.2, success criterion
    1.4.3) with all colours, with 256, with the sixteen of xterm, and in greys. A way back is named
    at the foot, H tells all keys whole, a bead's colour never stands without its letter, no text
    lies over other text, only names in lists are cut, and no odd sign is taken for a number. At
    80 by 24 the walk comes by each function that draws, every screen is drawn whole at each odd
    size, and drawing a page of the bench or of preparing again, in any mode, has no effect.
    """
    (sixty / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0.0\n")
    wrong: list[str] = []
    looked_at: set[str] = set()
    texts, ran, effects = set(), set[CodeType](), EffectsOfDrawing()
    async with sit(width, height) as sitting:
        assert set(DEPTHS) == {t for t in sitting.app.available_themes if t.startswith("bench-")}
        async for name in walk(sitting, sixty):
            texts.add(sitting.shown)
            found = await faint_in_some_theme(sitting, looked_at)
            found += faint_or_coloured_without_colours(sitting)
            found += without_way_back(sitting)
            found += bad_patches(canvas_of(sitting))
            assert isinstance(sitting.app.screen, BoardScreen)
            found += written.wrong_on(sitting.app.screen)
            ran |= drawing(sitting.app.screen) if width >= 80 else set()
            found += effects.on(sitting) if width >= 80 else []
            found += await without_help(sitting, name)
            found += await takes_odd_numbers(sitting, name)
            found += wrong_at_odd_sizes(sitting.app.screen) if width >= 80 else []
            wrong += [f"{name}: {what}" for what in found]
    assert wrong == []
    assert looked_at >= {*STYLES, ""}
    assert len(texts) > 30
    missed = [
        f"{module.__name__}.{name}"
        for module in modules()
        for name, thing in vars(module).items()
        if name.startswith("draw_")
        and thing.__module__ == module.__name__
        and thing.__code__ not in ran
    ]
    assert width < 80 or missed == []
    assert width < 80 or len(effects.seen) == 2 + 16, effects.seen


def modules() -> Iterator[ModuleType]:
    """Every module of the screens, those inside their rooms too."""
    for found in pkgutil.walk_packages(bench.screens.__path__, "bench.screens."):
        yield importlib.import_module(found.name)


def test_sixteen_colours_are_enough(tmp_path: Path) -> None:
    """On a terminal of sixteen colours no others are sent, and the light theme uses dark ones."""
    (tmp_path / "settings.toml").write_text('format = 1\ntheme = "light"\n')
    program = Program(tmp_path, TERM="xterm-16color", COLORTERM="")
    program.wait_for("guess")
    program.kill()
    assert re.search(rb"\x1b\[[0-9;]*\b[34]8;[25];", program.raw) is None
    light = program.raw[program.raw.index(b";107m") :]  # from the first white ground on
    pairs = set(re.findall(rb"(\d+;\d+)m", light))
    assert b"30;107" in pairs
    assert pairs <= {b"30;107", b"31;107", b"34;107", b"97;44", b"97;41"}


def test_a_bead_is_told_by_its_letter_alone(tmp_path: Path) -> None:
    """Whatever colours a maker can tell apart: with beads exchanged the bench reads differently."""
    library = Library(tmp_path)
    plan = WorkedPattern.from_library(library, Settings(), "gutter-pearl").plan
    letters = {letter for load in plan.loads for letter in load}
    seen = {}
    for cross in range(1, plan.crosses + 1):
        step = plan.step(cross)
        if step.row is not None:
            canvas = Canvas(80, 9)
            draw_beads(canvas, 0, 0, 7, plan, step, 1, 60, View(80, 24, Keys(Settings())))
            seen[tuple(move.bead for move in step.carried)] = canvas.as_text()
    assert {letter for beads in seen for letter in beads} == letters
    assert len(set(seen.values())) == len(seen) > 3


@pytest.mark.parametrize("kind", ["protan", "deutan", "tritan"])
def test_beads_that_look_alike_to_some_differ_in_more_than_colour(
    tmp_path: Path, kind: str
) -> None:
    """Shipped beads within 10 CIEDE2000 for a colour-blind eye differ in size, shape or letter.

    Simulated by coloraide: protan and deutan after Viénot, Brettel and Mollon (1999), tritan
    after Brettel, Viénot and Mollon (1997); the distance is CIE 142-2001. The limit of 10 is the
    project's own.
    """
    library = Library(tmp_path)
    close = 0
    for entry in library.patterns():
        pattern = library.plan(library.pattern_path(entry.name)).pattern
        for colourway in (None, *pattern.colourways):
            made = WorkedPattern.from_library(
                library, Settings(), entry.name, None, colourway
            ).pattern
            beads = made.beads
            for a, b in combinations(beads, 2):
                eyes = [Ink(beads[x].colour).filter(kind) for x in (a, b)]
                if eyes[0].delta_e(eyes[1], method="2000") < 10:
                    close += 1
                    signs = [(beads[x].size, beads[x].shape) for x in (a, b)]
                    assert signs[0] != signs[1], (entry.name, colourway, a, b)
    assert close > 0
