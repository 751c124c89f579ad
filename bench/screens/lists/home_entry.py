"""A line of the first screen's list: what it opens, what it says, and how it is drawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from rich.cells import cell_len

from bench.screens.kit.canvas import Canvas

Kind = Literal["kept", "piece", "commission", "sketch", "pattern", "made", "away"]
HEADINGS: dict[Kind, str] = {
    "kept": "NOT SAVED LAST TIME",
    "piece": "IN THE MAKING",
    "commission": "COMMISSIONS",
    "sketch": "SKETCHES, NOT KEPT AS PATTERNS YET",
    "pattern": "PATTERNS",
    "made": "MADE LATELY",
    "away": "PUT AWAY",
}
TO_TRY = "COMMISSIONS TO TRY"
"""Over those that come with the program, where the maker's own stand above."""
LEAST_DETAIL = 24
"""Columns that are kept for how a piece or a commission stands, beside its whole name."""


@dataclass(frozen=True, slots=True)
class Clause:
    """A part of what a line says; short: in fewer words, where there is no room for all."""

    text: str
    short: str = ""


@dataclass(frozen=True, slots=True)
class HomeEntry:
    """One line to choose: what it opens, its title, and details, the most important first.

    wrong: why it cannot be used. is_read: whether its document was read. is_over: of a commission,
    that it can be put away. folds: it shows and hides the lines behind it.
    """

    kind: Kind
    ref: str
    title: str
    details: tuple[Clause, ...] = ()
    wrong: str = ""
    is_read: bool = False
    is_over: bool = False
    folds: bool = False

    def read_as(self, title: str, details: Iterable[str]) -> HomeEntry:
        """The line once its document was read."""
        return replace(self, title=title, details=tuple(map(Clause, details)), is_read=True)

    @property
    def is_hidden(self) -> bool:
        """Whether it stands behind the line that shows what is put away."""
        return self.kind == "away" and not self.folds

    @property
    def detail(self) -> str:
        """All its details."""
        return ", ".join(clause.text for clause in self.details)

    def goes_with(self, words: Sequence[str], notes: Sequence[str] = ()) -> bool:
        """Whether its title and its name, or a note, hold every one of these words.

        The words are in small letters; notes: those kept with what it opens. Of a piece, which has
        no name but the title, what is said of it counts.
        """
        beside = self.detail if self.kind in {"piece", "made"} else self.ref
        return any(_holds(said, words) for said in (f"{self.title} {beside}", *notes))

    def with_note(self, words: Sequence[str], notes: Sequence[str]) -> HomeEntry:
        """The line as it is shown where words were typed: with the note that alone holds them."""
        if self.goes_with(words):
            return self
        note = next((text for text in reversed(notes) if _holds(text, words)), None)
        return self if note is None else replace(self, details=(Clause(f"note: {note}"),))

    def details_in(self, room: int) -> str:
        """Its details in so many columns: the last ones are left out, then the first is short."""
        texts = [clause.text for clause in self.details]
        while len(texts) > 1 and cell_len(", ".join(texts)) > room:
            texts.pop()
        if len(texts) == 1 and cell_len(texts[0]) > room:
            return self.details[0].short or texts[0]
        return ", ".join(texts)


def _holds(said: str, words: Sequence[str]) -> bool:
    return all(word in said.casefold() for word in words)


def with_headings(rows: Sequence[HomeEntry]) -> list[tuple[int | None, str]]:
    """The lines of the list: a row by its number, or a heading or a blank without one."""
    lines: list[tuple[int | None, str]] = []
    before = None
    for index, row in enumerate(rows):
        if row.kind != before:
            lines += [(None, "")] if before is not None else []
            again = any(heading == HEADINGS[row.kind] for _, heading in lines)
            lines.append((None, TO_TRY if again else HEADINGS[row.kind]))
            before = row.kind
        lines.append((index, ""))
    return lines


def column_of_details(rows: Sequence[HomeEntry], kind: Kind, width: int) -> int:
    """Where the details of a kind of lines begin: after its titles, if both have room."""
    alike = [row for row in rows if row.kind == kind]
    titles = max(cell_len(row.title) for row in alike)
    if kind != "pattern":
        return min(titles + 1, width - LEAST_DETAIL)
    details = max(cell_len(row.wrong or row.detail) for row in alike)
    return max(min(26, width // 3), min(titles + 1, width - 5 - details))


def draw_entry(canvas: Canvas, y: int, row: HomeEntry, column: int, style: str, edge: int) -> None:
    """Draw a line whose details begin at a column; nothing of it lies beyond the edge."""
    canvas.text(3, y, row.title, style or "bold", column - 1)
    room = edge - column - 5
    if row.wrong:
        canvas.text(4 + column, y, row.wrong, style or "warn", room)
    else:
        canvas.text(4 + column, y, row.details_in(room), style, room)
