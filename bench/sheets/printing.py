"""Printing of sheets: plain text with colour where the terminal has it, never markup."""

from __future__ import annotations

import sys
from collections.abc import Iterable

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from bench.craft.text import cleaned


class _Console(Console):
    def on_broken_pipe(self) -> None:
        """Leave it to the command line to end quietly."""
        raise BrokenPipeError


def print_sheet(parts: Iterable[RenderableType]) -> None:
    """Print the parts of a sheet on standard output. NO_COLOR and pipes get plain text."""
    console = _Console(file=sys.stdout, markup=False, highlight=False, emoji=False)
    for part in parts:
        console.print(part)


def line(text: str, style: str = "") -> Text:
    """Return a line of text as it is: no markup, and nothing that a terminal would obey."""
    return Text(cleaned(text, 4000), style=style)


def indented(text: str, indent: int, style: str = "") -> Padding:
    """Return a text that stays behind its indent where it is wrapped."""
    return Padding(line(text, style), (0, 0, 0, indent), expand=False)


def columns(*heads: str, right: Iterable[int] = ()) -> Table:
    """Return an empty table without lines; the columns named in `right` are set to the right."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    for number, head in enumerate(heads):
        table.add_column(
            Text(head), justify="right" if number in set(right) else "left", overflow="fold"
        )
    return table


def add(table: Table, *cells: str, style: str = "") -> None:
    """Add a row of texts to a table."""
    table.add_row(*(line(cell) for cell in cells), style=style)


def on_colour(colour: str) -> str:
    """Return the style of letters on a bead's colour #rrggbb, black or white by its brightness."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    ink = "black" if 0.299 * red + 0.587 * green + 0.114 * blue > 128 else "white"
    return f"{ink} on {colour}"
