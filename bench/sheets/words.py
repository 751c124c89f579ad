"""What several sheets say alike, and how their lines are wrapped."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size

from bench.craft.text import cleaned
from bench.craft.thread import cut_said
from bench.craft.words import length_said, thickness_said

if TYPE_CHECKING:
    from bench.answers.core import CoreStack
    from bench.answers.loading_sheet import CutLine
    from bench.answers.picture import PictureAnswer


WIDTH = 80
"""Columns of a sheet of text."""


def size_said(picture: PictureAnswer) -> str:
    """Return how long and how thick a braid is predicted to be."""
    long = length_said(picture.length_low_mm, picture.length_high_mm)
    return f"{long} long, {thickness_said(picture.diameter_mm, picture.diameter_at_most)} thick"


def core_room(stack: CoreStack) -> str:
    """Return how long a core is, and in how much room where that is known."""
    if stack.room_mm is None:
        return f"{stack.length_mm:.1f} mm long, not known whether it fits"
    return f"{stack.length_mm:.1f} mm in {stack.room_mm:.1f} mm of room"


def numbered(steps: Sequence[str]) -> list[str]:
    """Return steps with their numbers."""
    return [f"{number}. {step}" for number, step in enumerate(steps, 1)]


def cuts_said(cuts: Iterable[CutLine], between: str = ", ") -> str:
    """Return what is cut: '4 double lengths of 1.25 m'."""
    return between.join(cut_said(cut.lengths, cut.strands_each, cut.cut_mm) for cut in cuts)


def headed(head: str, text: str, *, indent: int = 11, width: int = WIDTH) -> list[str]:
    """Return a text wrapped behind its head, in lines of at most so many columns."""
    return textwrap.wrap(
        text, width, initial_indent=f"{head:<{indent}}", subsequent_indent=" " * indent
    )


def column(text: str, wide: int, gap: int = 2) -> str:
    """Return foreign text filled up to so many columns of a table, `gap` of them left free.

    Letters that take two columns count as two.
    """
    shown = with_tail(text, "", wide - gap)
    return shown + " " * (wide - cell_len(shown))


def with_tail(text: str, tail: str, most: int) -> str:
    """Foreign text and its tail in at most so many columns: the text is cut, never the tail."""
    shown, room = cleaned(text), most - cell_len(tail)
    if cell_len(shown) > room:
        shown = set_cell_size(shown, room - 1).rstrip() + "…"
    return shown + tail


def caution_lines(cautions: Iterable[str], width: int = WIDTH) -> list[str]:
    """Return cautions, each wrapped behind its mark."""
    return [line for said in cautions for line in headed("!", said, indent=2, width=width)]


def counted(count: int, what: str) -> str:
    """What a line is for, with how many where that is more than one."""
    return what if count == 1 else f"{count} × {what}"


def long_day(day: str) -> str:
    """A day as a customer reads it: 2 March 2027; what is none as it is written."""
    try:
        found = dt.date.fromisoformat(day)
    except ValueError:
        return cleaned(day, 20)
    return f"{found.day} {found:%B %Y}"


def address_lines(maker: str) -> list[str]:
    """The lines of the maker's name and address."""
    return [line.strip() for line in maker.split(";") if line.strip()]
