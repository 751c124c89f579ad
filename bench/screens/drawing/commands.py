"""What the keys of the board do that lead to another mode, to a line, or away."""

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
    """The commands by their actions."""
    keeper = Keeper(host)
    drawing = host.drawing

    def with_beads(to: Callable[[], None]) -> Callable[[], None]:
        """Go there, where the palette has a bead at all."""

        def go() -> None:
            if drawing.letters:
                to()
            else:
                drawing.said = (
                    f"The palette has no bead yet: {drawing.key('another_bead')} puts one in."
                )

        return go

    def how_long() -> None:
        question = length_question(drawing)
        if question is not None:
            host.ask(question)

    return {
        "appearances": with_beads(lambda: appearances(host)),
        "colour": lambda: colour_page(host),
        "length": how_long,
        "exchange": lambda: exchange_choices(host),
        "figures": lambda: host.to_mode(FiguresPage(host)),
        "row": lambda: host.ask(row_question(drawing)),
        "another_bead": lambda: bead_more(host),
        "strands": lambda: host.ask(strands_question(drawing)),
        "keep": keeper.keep,
        "load": lambda: host.ask(load_question(drawing)),
        "motif": with_beads(lambda: host.to_mode(MotifLaying(host))),
        "structure": lambda: structure_choices(host),
        "shape": with_beads(lambda: host.to_mode(ShapePage(host))),
        "braid": keeper.braid,
        "rows": lambda: host.to_mode(RowChoices(host)),
        "size": lambda: size_choices(host),
        "colourways": with_beads(lambda: host.to_mode(ColourwayPage(host))),
        "shown": lambda: show_choices(host),
        "twin": lambda: twin(host),
        "another_size": with_beads(lambda: size_making(host)),
        "cure": lambda: cure_worst(drawing),
        "leave_board": leave,
    }
