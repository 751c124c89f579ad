"""The first screen: pieces in the making, patterns, and one pattern's card."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import draw_foot, say


@dataclass(frozen=True, slots=True)
class Row:
    """One line to choose: what it opens, its title, and details; wrong is why it cannot be used."""

    kind: Literal["piece", "pattern", "commission"]
    ref: str
    title: str
    detail: str = ""
    wrong: str = ""


HEADINGS = {"piece": "IN THE MAKING", "pattern": "PATTERNS", "commission": "COMMISSIONS"}


@dataclass
class Home:
    """What the first screen shows."""

    rows: Sequence[Row] = ()
    picked: int = 0
    notices: list[str] = field(default_factory=list)
    loading: bool = True
    said: str = ""
    sought: str = ""
    """The piece that is in hand: its line is picked when the list is back."""
    asked: str = ""
    """The piece that is given up if the same key comes again."""
    news: str = ""
    """How the piece that was finished last compares with what was expected."""

    @property
    def on_piece(self) -> bool:
        """Whether the picked line is a piece in the making."""
        return bool(self.rows) and self.rows[self.picked].kind == "piece"


def draw_home(home: Home, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
    """Draw the list; the picked line is always in sight."""
    canvas = Canvas(width, height)
    canvas.text(1, 0, "BRAID BENCH", "bold")
    canvas.rule(1)
    notices = [line for notice in home.notices for line in wrap(notice, width - 4)][:4]
    foot = height - 3 - len(notices)
    if home.loading:
        canvas.text(1, 3, "reading patterns and pieces")
    lines = _lines(home.rows)
    room = foot - 2
    at = next((i for i, (index, _) in enumerate(lines) if index == home.picked), 0)
    first = max(0, min(at - room // 2, len(lines) - room))
    for y, (index, heading) in enumerate(lines[first : first + room], 2):
        if index is None:
            canvas.text(1, y, heading, "dim")
            continue
        row = home.rows[index]
        column = _column(width, [r for r in home.rows if r.kind == row.kind])
        _draw_row(canvas, y, row, column, index == home.picked)
        canvas.zone(0, y, width, 1, f"row {index}")
    for number, line in enumerate(notices):
        canvas.text(1, foot + number, line, "warn")
    keys = (
        ("UP DOWN", "choose", ""),
        ("ENTER", "open", "enter"),
        *([("G", "give up", "g")] if home.on_piece else []),
        ("T", "times", "t"),
        ("Q", "close", "q"),
    )
    draw_foot(canvas, keys, home.said, named)
    if home.news and not home.said:
        say(canvas, home.news)
    return canvas


def _lines(rows: Sequence[Row]) -> list[tuple[int | None, str]]:
    lines: list[tuple[int | None, str]] = []
    before = None
    for index, row in enumerate(rows):
        if row.kind != before:
            if before is not None:
                lines.append((None, ""))
            lines.append((None, HEADINGS[row.kind]))
            before = row.kind
        lines.append((index, ""))
    return lines


def _column(width: int, rows: Sequence[Row]) -> int:
    """Where the details of one kind of row begin: after its titles, if both have room."""
    least = min(26, width // 3)
    titles, details = (max(map(len, texts)) for texts in zip(*_texts(rows), strict=True))
    return max(least, min(titles + 1, width - 5 - details))


def _texts(rows: Sequence[Row]) -> list[tuple[str, str]]:
    return [(row.title, row.wrong or row.detail) for row in rows]


def _draw_row(canvas: Canvas, y: int, row: Row, column: int, picked: bool) -> None:
    style = "picked" if picked else ""
    if picked:
        canvas.fill(0, y, canvas.width, 1, style)
    canvas.text(1, y, "▶" if picked else " ", style)
    canvas.text(3, y, row.title, style or "bold", column - 1)
    detail = row.wrong or row.detail
    detail_style = style or ("warn" if row.wrong else "")
    room = canvas.width - column - 5
    while len(detail) > room and not row.wrong and ", " in detail:
        detail = detail.rpartition(", ")[0]
    if len(detail) > room and not row.wrong and detail.endswith(")") and ": " in detail:
        detail = detail.partition(": ")[0] + ")"  # the middle and what it rests on; no range
    canvas.text(4 + column, y, detail, detail_style, room)


@dataclass
class Choice:
    """One line of a card that can be changed: its name and what can be chosen."""

    name: str
    options: Sequence[str]
    at: int = 0

    @property
    def value(self) -> str:
        """What is chosen now."""
        return self.options[self.at]

    def turn(self, by: int) -> None:
        """Choose the next or the one before."""
        self.at = (self.at + by) % len(self.options)


@dataclass
class Card:
    """One pattern before it is started."""

    title: str
    choices: list[Choice]
    picked: int = 0
    ref: str = ""
    facts: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    side: list[str] = field(default_factory=list)
    said: str = ""
    scroll: int = 0
    """How many lines of the facts and warnings lie above the screen."""


def draw_card(card: Card, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
    """Draw a pattern's card: choices, what it will be, and what to know."""
    canvas = Canvas(width, height)
    canvas.text(1, 0, card.title.upper(), "bold")
    canvas.rule(1)
    y = top = 3 if height >= 23 else 2
    for number, choice in enumerate(card.choices):
        here = number == card.picked
        canvas.text(1, y, "▶" if here else " ", "call")
        canvas.text(3, y, choice.name, "bold" if here else "")
        text = f"◀ {choice.value} ▶" if len(choice.options) > 1 else f"  {choice.value}"
        canvas.text(16, y, text, "picked" if here else "")
        canvas.zone(0, y, width // 2, 1, f"choice {number}")
        y += 1
    y += 1
    side = card.side if width >= 76 else []
    room = width - 4 - (24 if side else 0)
    lines = [(line, "") for fact in card.facts for line in wrap(fact, room)]
    lines += [("", "")] if card.facts and card.warnings else []
    lines += [(line, "warn") for warning in card.warnings for line in wrap(warning, room)]
    space = height - 3 - y
    more = len(lines) > space
    space -= more
    card.scroll = max(0, min(card.scroll, len(lines) - space))
    for text, style in lines[card.scroll : card.scroll + space]:
        canvas.text(3, y, text, style)
        y += 1
    for number, line in enumerate(side[: height - 7]):
        canvas.text(width - 22, top + number, line)
    if more:
        canvas.text(
            3, y, f"{len(lines)} lines: {named('PAGE UP')} and {named('PAGE DOWN')}", "bold"
        )
    keys = (
        ("ENTER", "start", "enter"),
        ("UP DOWN", "line", ""),
        ("LEFT RIGHT", "change", "right"),
        ("ESC", "back", "escape"),
    )
    draw_foot(canvas, keys, card.said, named)
    return canvas
