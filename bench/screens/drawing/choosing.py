"""Choices in the panel: each with its key, the picture staying above."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.kit.canvas import Canvas


@dataclass(frozen=True)
class Choice:
    """One choice: its key, what it is, the colour of a bead that it stands for, and what it does.

    `stays`: the choices stay up, so that it can be made again.
    """

    key: str
    name: str
    do: Callable[[], None]
    colour: str = ""
    stays: bool = False
    is_on: Callable[[], bool] = lambda: False
    """Whether it is what holds now."""


class Choosing(BoardMode):
    """A heading, some choices in columns, and what was said; ESC goes back."""

    def __init__(self, host: BoardHost, heading: str, choices: Sequence[Choice]) -> None:
        super().__init__(host.drawing)
        self.host, self.heading, self.choices = host, heading, choices
        self.help = (
            (" ".join(choice.key.upper() for choice in choices), heading),
            ("ESC", "back to painting"),
        )

    def press(self, key: str, character: str | None) -> None:
        """Make a choice by its key, or go back."""
        if key == "escape" or (key == "enter" and any(choice.is_on() for choice in self.choices)):
            self.drawing.preview = None
            self.host.to_mode(None)
            return
        pressed = {key.lower(), (character or "").lower()}
        for choice in self.choices:
            if choice.key.lower() in pressed:
                if not choice.stays:
                    self.host.to_mode(None)
                choice.do()
                return
        self.drawing.said = "That is no answer here: one of these keys, or ESC."

    def answers(self) -> tuple[str, ...]:
        """The keys of the choices."""
        return tuple(choice.key.lower() for choice in self.choices)

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the choices in as many columns as find room."""
        width = canvas.width
        canvas.text(1, y, self.heading, "call", width - 2)
        last = canvas.height - 1
        room = last - y - 2
        columns = max(1, -(-len(self.choices) // max(1, room)))
        wide = (width - 2) // columns
        for number, choice in enumerate(self.choices):
            x, line = 1 + number // room * wide, y + 1 + number % room
            _draw_choice(canvas, x, line, wide - 2, choice)
        canvas.text(1, last - 1, self.drawing.said, "warn", width - 2)
        end = canvas.text(canvas.text(1, last, "ESC", "key") + 1, last, "back")
        canvas.zone(1, last, end - 1, 1, "escape")
        after = canvas.text(end + 3, last, self.drawing.key("help"), "key")
        canvas.zone(end + 3, last, canvas.text(after + 1, last, "help") - end - 3, 1, "help")


def _draw_choice(canvas: Canvas, x: int, y: int, width: int, choice: Choice) -> None:
    canvas.zone(x, y, width, 1, choice.key.lower())
    at = canvas.text(x, y, choice.key.upper(), "key") + 1
    if choice.colour:
        canvas.text(at, y, "▌", choice.colour)
        at += 1
    here = choice.is_on()
    name = f"{choice.name} ◀" if here else choice.name
    canvas.text(at, y, name, "call" if here else "", x + width - at - 1)
