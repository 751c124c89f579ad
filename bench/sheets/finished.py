"""The sheet of `finished`, in plain text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import plural
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.finished import FinishedAnswer, FinishedPiece


def finished_lines(answer: FinishedAnswer, width: int = WIDTH) -> list[str]:
    """What `finished` prints: a line for each piece, then what it brought and what was done."""
    lines = [f"{plural(answer.in_stock, 'piece')} in the finished stock", ""]
    for piece in answer.pieces:
        lines += headed(piece.piece[:8], stock_said(piece), indent=10, width=width)
    if not answer.pieces:
        lines += headed(
            "", "None yet: a good piece of no order is one, and what a lowered count left over.",
            indent=0, width=width,
        )  # fmt: skip
    if answer.brought:
        said = f"{', '.join(answer.brought)}: no part of any order's sum"
        lines += ["", *headed("BROUGHT", said, width=width)]
    for text in answer.done:
        lines += ["", *headed("DONE", cleaned(text), width=width)]
    return lines


def stock_said(piece: FinishedPiece) -> str:
    """What a piece is, where it was, and how it stands."""
    was = "still in" if piece.beyond else "was"
    came = f", {was} {cleaned(piece.came_from)}" if piece.came_from else ""
    return f"{cleaned(piece.name)}{came}: {cleaned(piece.says)}"
