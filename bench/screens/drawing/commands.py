"""What the letters of the board do that lead to another mode, to a line, or away."""

from __future__ import annotations

from collections.abc import Callable

from bench.screens.drawing.appearance_page import appearances
from bench.screens.drawing.bead_choices import exchange_choices, size_choices
from bench.screens.drawing.colour_page import colour_page
from bench.screens.drawing.colourway_page import ColourwayPage
from bench.screens.drawing.figures_page import FiguresPage, cure_worst
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.keeping import Keeper
from bench.screens.drawing.length_question import length_question
from bench.screens.drawing.motif_laying import MotifLaying
from bench.screens.drawing.new_bead import bead_more
from bench.screens.drawing.new_page import structure_choices
from bench.screens.drawing.row_choices import RowChoices
from bench.screens.drawing.shape_page import ShapePage
from bench.screens.drawing.shown_choices import show_choices, size_making, twin
from bench.screens.drawing.typing_loads import load_question, row_question, strands_question


def commands_of(host: BoardHost, leave: Callable[[], None]) -> dict[str, Callable[[], None]]:
    """The commands by their keys."""
    keeper = Keeper(host)
    drawing = host.drawing

    def with_beads(to: Callable[[], None]) -> Callable[[], None]:
        """Go there, where the palette has a bead at all."""

        def go() -> None:
            if drawing.letters:
                to()
            else:
                drawing.said = "The palette has no bead yet: I puts one in."

        return go

    def how_long() -> None:
        question = length_question(drawing)
        if question is not None:
            host.ask(question)

    return {
        "a": with_beads(lambda: appearances(host)),
        "c": lambda: colour_page(host),
        "d": how_long,
        "e": lambda: exchange_choices(host),
        "f": lambda: host.to_mode(FiguresPage(host)),
        "g": lambda: host.ask(row_question(drawing)),
        "i": lambda: bead_more(host),
        "j": lambda: host.ask(strands_question(drawing)),
        "k": keeper.keep,
        "l": lambda: host.ask(load_question(drawing)),
        "m": with_beads(lambda: host.to_mode(MotifLaying(host))),
        "n": lambda: structure_choices(host),
        "o": with_beads(lambda: host.to_mode(ShapePage(host))),
        "p": keeper.braid,
        "r": lambda: host.to_mode(RowChoices(host)),
        "s": lambda: size_choices(host),
        "t": with_beads(lambda: host.to_mode(ColourwayPage(host))),
        "v": lambda: show_choices(host),
        "x": lambda: twin(host),
        "z": with_beads(lambda: size_making(host)),
        "!": lambda: cure_worst(drawing),
        "q": leave,
        "escape": leave,
    }
