"""Finding the place: two looks, and the count is set; nothing is unbraided."""

from __future__ import annotations

from dataclasses import dataclass

from bench.braid import Braid
from bench.craft import place

from . import words
from .bench_view import View
from .canvas import Canvas, wrap
from .letters import big

MOST_DIGITS = 3


@dataclass
class PlaceFinder:
    """The looks so far. `found` are the counts that fit, the nearest first."""

    braid: Braid
    digits: str = ""
    looked: bool = False
    call: str | None = None
    picked: int = 0

    def __post_init__(self) -> None:
        self.place = place.asked_place(self.braid.plan, self.braid.made)
        if self.place is None:
            self.looked = True

    @property
    def left(self) -> int | None:
        """The beads counted; None where they were not."""
        return int(self.digits) if self.digits and self.place is not None else None

    @property
    def found(self) -> tuple[int, ...]:
        """Counts of crosses that fit the looks so far."""
        return place.places_that_fit(
            self.braid.plan, self.braid.made, self.place or 1, self.left, self.call
        )[:9]

    def press(self, key: str) -> int | None:
        """Take a key. Returns the count to set once it is agreed to."""
        if not self.looked:
            if key.isdigit() and len(self.digits) < MOST_DIGITS:
                self.digits += key
            elif key == "backspace":
                self.digits = self.digits[:-1]
            elif key in {"enter", "space"}:
                self.looked = True
            return None
        calls = place.calls(self.braid.plan)
        if self.call is None:
            if key.isdigit() and 1 <= int(key) <= len(calls):
                self.call = calls[int(key) - 1]
            elif key == "0":
                self.call = ""
            elif key == "backspace":
                self.looked = self.place is None
            if self.call == "":
                self.call = None
                found = self.found
                return found[0] if found and self.left is not None else None
            return None
        found = self.found
        if key == "backspace":
            self.call, self.picked = None, 0
        elif key in {"down", "up"} and found:
            self.picked = (self.picked + (1 if key == "down" else -1)) % len(found)
        elif key in {"enter", "space"} and found:
            return found[self.picked]
        return None


def draw_place(finder: PlaceFinder, view: View) -> Canvas:
    """Draw the look that is asked for, or the place that was found."""
    canvas = Canvas(view.width, view.height)
    canvas.frame(0, 0, view.width, view.height, "rule", double=False)
    braid, plan = finder.braid, finder.braid.plan
    canvas.text(3, 1, "FIND MY PLACE", "call")
    canvas.text(18, 1, "the count is set; nothing is unbraided", "", view.width - 20)
    y = 3
    room = view.width - 6
    if not finder.looked and finder.place is not None:
        where = braid.structure.places[finder.place - 1]
        what = "are left" if place.counts_all(plan) else "are left up to the next other bead"
        for line in (
            *wrap(f"LOOK 1   Take the strand at: {where}.", room),
            "",
            *wrap(f"How many beads {what} on it?", room),
        ):
            canvas.text(3, y, line, "bold")
            y += 1
        big(canvas, 3, y + 1, finder.digits or "-", "bead")
        canvas.text(3, y + 8, "type the number, then ENTER", "", room)
        canvas.text(3, y + 9, "ENTER alone: I cannot tell", "", room)
    elif finder.call is None:
        canvas.text(3, y, "LOOK 2   Which pair lies uppermost on the braid?", "bold", room)
        y += 2
        for number, call in enumerate(place.calls(plan), 1):
            canvas.text(3, y, f"{number}", "key")
            canvas.text(6, y, call, "bold", room)
            canvas.zone(3, y, room, 1, str(number))
            y += 2
        canvas.text(3, y, "0", "key")
        canvas.text(6, y, "I cannot tell", "", room)
        canvas.zone(3, y, room, 1, "0")
    else:
        _draw_found(canvas, finder, y, room)
    canvas.text(
        3, view.height - 2, "BACKSPACE one step back   ESC back to braiding, nothing changed"
    )
    return canvas


def _draw_found(canvas: Canvas, finder: PlaceFinder, y: int, room: int) -> None:
    plan, found = finder.braid.plan, finder.found
    if not found:
        canvas.text(3, y, "No place fits both looks.", "warn")
        for number, line in enumerate(
            wrap("Look once more, or report it as not what you see: a bead may be missing.", room)
        ):
            canvas.text(3, y + 2 + number, line)
        return
    canvas.text(3, y, "You are here:" if len(found) == 1 else "You are at one of these:", "bold")
    y += 2
    for number, count in enumerate(found):
        picked = number == finder.picked
        if count < plan.crosses:
            where, which = words.row_words(plan, count + 1)
            text = f"{where}, {which}: {plan.step(count + 1).call} is next"
        else:
            text = "all crosses are made"
        off = count - finder.braid.made
        moved = (
            "as counted"
            if off == 0
            else f"{words.plural(abs(off), 'cross')} "
            + ("further than counted" if off > 0 else "less than counted")
        )
        canvas.text(3, y, ("▶ " if picked else "  ") + text, "picked" if picked else "", room)
        canvas.text(5, y + 1, moved, "", room)
        y += 2
    canvas.text(3, y + 1, "ENTER sets the count" + ("   UP, DOWN choose" if len(found) > 1 else ""))
