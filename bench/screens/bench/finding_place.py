"""Finding the place: two looks, or three, and the count is set; nothing is unbraided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.craft import finding_place as place
from bench.craft.words import in_words, plural
from bench.documents.key_names import DIGITS
from bench.making.braid import Braid
from bench.screens.bench.mode import Asked, Bench
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.framed_page import MARGIN, draw_choices, framed_page
from bench.screens.kit.help_page import Lines
from bench.screens.kit.large_letters import big
from bench.screens.kit.page import paragraph
from bench.screens.kit.picking import window
from bench.screens.kit.view import View

MOST_DIGITS = 3
HELP: Lines = (
    ("digits", "how many beads are left, or which pair lies uppermost"),
    ("ENTER", "take the number; alone: I cannot tell; at the end: set the count"),
    ("UP DOWN", "where several places fit: choose yours"),
    ("BACKSPACE", "the last digit, or one look back"),
    ("ESC", "to braiding; the count stays as it was"),
)


@dataclass
class PlaceLooks:
    """The looks so far. `found` are the counts that fit, the nearest first.

    Where two looks leave more than one, and a count at another place tells them apart, that is
    the third: `third` is where.
    """

    braid: Braid
    digits: str = ""
    call: str | None = None
    picked: int = 0
    third: int | None = None

    def __post_init__(self) -> None:
        self.place = place.asked_place(self.braid.plan, self.braid.made)
        self.counted: dict[int, int] = {}
        self.asks: Literal["count", "call", "third", "found"] = "count"
        if self.place is None:
            self.asks = "call"

    @property
    def found(self) -> tuple[int, ...]:
        """Counts of crosses that fit the looks so far."""
        braid = self.braid
        return place.places_that_fit(braid.plan, braid.made, self.counted, self.call)[:9]

    def press(self, key: str) -> int | None:
        """Take a key. Returns the count to set once it is agreed to."""
        if self.asks in ("count", "third"):
            self._count(key)
        elif self.asks == "call":
            self._call(key)
        elif key == "backspace":
            self._back()
        elif key in {"down", "up"} and self.found:
            self.picked = (self.picked + (1 if key == "down" else -1)) % len(self.found)
        elif key in {"enter", "space"} and self.found:
            return self.found[self.picked]
        return None

    def _count(self, key: str) -> None:
        where = self.place if self.asks == "count" else self.third
        assert where is not None
        if key in DIGITS and len(self.digits) < MOST_DIGITS:
            self.digits += key
        elif key == "backspace" and self.digits:
            self.digits = self.digits[:-1]
        elif key == "backspace" and self.asks == "third":
            self._back()
        elif key in {"enter", "space"}:
            if self.digits:
                self.counted[where] = int(self.digits)
            self.digits = ""
            self.asks = "call" if self.asks == "count" else "found"

    def _call(self, key: str) -> None:
        calls = place.calls(self.braid.plan)
        if key == "backspace":
            self._back()
        elif key == "0":
            self._after_call()
        elif key in DIGITS and 1 <= int(key) <= len(calls):
            self.call = calls[int(key) - 1]
            self._after_call()

    def _after_call(self) -> None:
        self.third = place.telling_place(self.braid.plan, self.found, self.place)
        self.asks = "found" if self.third is None else "third"

    def _back(self) -> None:
        """One look back; the one that is asked for again is open anew."""
        self.digits, self.picked = "", 0
        if self.asks == "found" and self.third is not None:
            self.asks = "third"
            self.counted.pop(self.third, None)
        elif self.asks in ("third", "found"):
            self.asks, self.call, self.third = "call", None, None
        elif self.asks == "call" and self.place is not None:
            self.asks = "count"
            self.counted.clear()


class FindingPlace(Asked):
    """Two looks, or three; then the count is set."""

    help = HELP

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.looks = PlaceLooks(bench.braid)

    def press(self, key: str, character: str | None) -> None:
        """Answer a look, or agree to the place that was found."""
        bench = self.bench
        if key == "escape":
            bench.close()
        elif (count := self.looks.press(key)) is not None:
            off = count - self.braid.made
            self.braid.set_place(count)
            bench.close()
            bench.slip_left = None
            bench.done = f"count set to cross {count}" if off else "the place is as counted"

    def draw(self, view: View) -> Canvas:
        """Draw the look, or the place."""
        return draw_place(self.looks, view)


def draw_place(looks: PlaceLooks, view: View) -> Canvas:
    """Draw the look that is asked for, or the place that was found."""
    canvas = framed_page(view, "FIND MY PLACE")
    plan = looks.braid.plan
    canvas.text(18, 1, "the count is set; nothing is unbraided", "", view.width - 20)
    y = 3
    room = view.width - 6
    if looks.asks == "count" and looks.place is not None:
        _draw_count(canvas, looks, y, room, "LOOK 1   Take the strand at: {}.", looks.place)
    elif looks.asks == "third" and looks.third is not None:
        many = in_words(len(looks.found))
        text = (
            f"LOOK 3   It is one of {many} places; one more count tells. Take the strand at: {{}}."
        )
        _draw_count(canvas, looks, y, room, text, looks.third)
    elif looks.asks == "call":
        canvas.text(3, y, "LOOK 2   Which pair lies uppermost on the braid?", "bold", room)
        calls = [(str(number), call, "") for number, call in enumerate(place.calls(plan), 1)]
        draw_choices(canvas, y + 2, [*calls, ("0", "I cannot tell", "")], gap=1)
    else:
        _draw_found(canvas, looks, y, room)
    foot = f"BACKSPACE step back   ESC nothing changed   {view.keys.name('help')} help"
    canvas.text(MARGIN, view.height - 2, foot)
    return canvas


def _draw_count(
    canvas: Canvas, looks: PlaceLooks, y: int, room: int, text: str, where: int
) -> None:
    plan = looks.braid.plan
    what = "are left" if place.counts_all(plan) else "are left up to the next other bead"
    asks = text.format(plan.structure.places[where - 1])
    y = paragraph(canvas, y, asks, "bold", None, MARGIN)
    y = paragraph(canvas, y + 1, f"How many beads {what} on it?", "bold", None, MARGIN)
    big(canvas, 3, y + 1, looks.digits or "-", "bead")
    canvas.text(3, y + 8, "type the number, then ENTER", "", room)
    canvas.text(3, y + 9, "ENTER alone: I cannot tell", "", room)


def _draw_found(canvas: Canvas, looks: PlaceLooks, y: int, room: int) -> None:
    plan, found = looks.braid.plan, looks.found
    if not found:
        canvas.text(MARGIN, y, "No place fits all looks.", "warn")
        more = "Look once more, or report it as not what you see: a bead may be missing."
        paragraph(canvas, y + 2, more, "", None, MARGIN)
        return
    tells = place.telling_place(plan, found, None)
    head = "You are here:" if len(found) == 1 else "You are at one of these."
    if tells is not None:
        which = "" if place.counts_all(plan) else " up to the next other one"
        where = plan.structure.places[tells - 1]
        head += f" They differ in the beads left{which} at: {where}."
    y = paragraph(canvas, y, head, "bold", None, MARGIN) + 1
    shown = window(len(found), looks.picked, (canvas.height - 4 - y) // 2)
    if len(shown) < len(found):
        text = f"{shown.start + 1} to {shown.stop} of {len(found)}"
        canvas.right(y - 1, text, "", canvas.width - MARGIN)
    for number in shown:
        count, picked = found[number], number == looks.picked
        text = "all crosses are made"
        if count < plan.crosses:
            row, turn = words.row_words(plan, count + 1)
            text = f"{row}, {turn}: {plan.step(count + 1).call} is next"
        off = count - looks.braid.made
        more = "further" if off > 0 else "less"
        moved = f"{plural(abs(off), 'cross')} {more} than counted" if off else "as counted"
        if tells is not None:
            left = place.left_at(plan, tells, count)
            moved = f"{plural(left, 'bead')} there; {moved}"
        canvas.text(3, y, ("▶ " if picked else "  ") + text, "picked" if picked else "", room)
        canvas.text(5, y + 1, moved, "", room - 2)
        y += 2
    ends = "ENTER sets the count" + ("   UP DOWN choose" if len(found) > 1 else "")
    canvas.text(3, min(y + 1, canvas.height - 3), ends)
