"""Finding the place: a few looks, and the count is set; nothing is unbraided."""

from __future__ import annotations

from bench.craft.finding_place import PlaceLook, counts_all, left_at, telling_place
from bench.craft.words import in_words, plural
from bench.screens.bench.mode import Asked, Bench
from bench.screens.bench.place_looks import PlaceLooks
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.framed_page import MARGIN, draw_choices, draw_page_keys, framed_page
from bench.screens.kit.help_page import Lines
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.page import paragraph
from bench.screens.kit.picking import window
from bench.screens.kit.view import View
from bench.slips.words import chance_words

SURE = 0.95
"""From this chance on a place is told without it."""
LIKELY = 0.15
"""Below this chance a place is not called likely; its chance is told as one in so many."""
HELP: Lines = (
    ("digits", "the number that was counted or measured, or the answer that is right"),
    ("ENTER", "take the number; alone: I cannot tell; at the end: set the count"),
    ("UP DOWN", "where several places fit: choose yours"),
    ("BACKSPACE", "the last digit, or one look back"),
    ("ESC", "to braiding; the count stays as it was"),
)


class FindingPlace(Asked):
    """A few looks; then the count is set."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.looks = PlaceLooks(bench.braid, bench.growth)

    def help_lines(self) -> Lines:
        """Its keys."""
        return HELP

    def press(self, key: str, character: str | None) -> None:
        """Answer a look, or agree to the place that was found."""
        bench = self.bench
        if self.closes(key):
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
    canvas.text(18, 1, "the count is set; nothing is unbraided", "", view.width - 20)
    y, room, look = 3, view.width - 2 * MARGIN, looks.look
    if look is None:
        _draw_found(canvas, looks, y, room)
    else:
        number = len(looks.search.answers) + 1
        for asked in (f"LOOK {number}: {_asks(looks, look)[0]}", *_asks(looks, look)[1:]):
            y = paragraph(canvas, y, asked, "bold", None, MARGIN) + 1
        if looks.choices:
            keys = [(str(key), choice, "") for key, choice in enumerate(looks.choices, 1)]
            gap = 1 if y + 2 * len(keys) + 4 < view.height else 0
            draw_choices(canvas, y, [*keys, ("0", "I cannot tell", "")], gap=gap)
        else:
            _draw_figure(canvas, looks, look, y)
    draw_page_keys(canvas, view, ("BACKSPACE", "step back"), ("ESC", "nothing changed"))
    return canvas


def _asks(looks: PlaceLooks, look: PlaceLook) -> tuple[str, ...]:
    """What a look asks for: what to do at the stand, and the question."""
    plan = looks.braid.plan
    if look.kind == "call":
        return ("Which pair lies uppermost on the braid?",)
    if look.kind == "length":
        do = "Measure the braid as it hangs, from its very start to the point of braiding."
        return do, "How many millimetres?"
    if look.kind == "turns":
        line = f"one line of {_bead(looks, look.letter)}"
        do = f"Follow {line} from the braid's start to the point of braiding."
        return do, "How many whole turns round the braid does it make?"
    if look.kind == "where":
        return (f"At which places is {_bead(looks, look.letter)} the next bead?",)
    many, left = in_words(len(looks.found)), _left(looks)
    known = ""
    if any(before.kind == "count" for before, _ in looks.search.answers):
        known = f"It is one of {many} places; one more count tells. "
    where = plan.structure.places[look.place - 1]
    return f"{known}Take the strand at: {where}.", f"How many beads {left} on it?"


def _bead(looks: PlaceLooks, letter: str) -> str:
    bead = looks.braid.pattern.beads[letter]
    return f"{letter} ({bead.name} {bead.size})"


def _left(looks: PlaceLooks) -> str:
    """Which beads are counted on a strand."""
    whole = counts_all(looks.braid.plan)
    return "are left" if whole else "are left up to the next other bead"


def _draw_figure(canvas: Canvas, looks: PlaceLooks, look: PlaceLook, y: int) -> None:
    """Draw what was typed so far, large."""
    end = big(canvas, MARGIN, y, looks.digits or "-", "bead")
    unit = {"length": "mm", "turns": "turns"}.get(look.kind, "beads")
    canvas.text(end + 2, y + HEIGHT - 1, unit, "bold")
    room = canvas.width - 2 * MARGIN
    canvas.text(MARGIN, y + HEIGHT + 2, "type the number, then ENTER", "", room)
    canvas.text(MARGIN, y + HEIGHT + 3, "ENTER alone: I cannot tell", "", room)


def _draw_found(canvas: Canvas, looks: PlaceLooks, y: int, room: int) -> None:
    found = looks.found
    if not found:
        canvas.text(MARGIN, y, "No place fits all looks.", "warn")
        more = "Look once more, or report it as not what you see: a bead may be missing."
        paragraph(canvas, y + 2, more, "", None, MARGIN)
        return
    y = paragraph(canvas, y, _head(looks), "bold", None, MARGIN) + 1
    one = looks.picked == 0 and not counts_all(looks.braid.plan)
    shown = range(1) if one else window(len(found), looks.picked, (canvas.height - 4 - y) // 2)
    if len(shown) < len(found) and not one:
        text = f"{shown.start + 1} to {shown.stop} of {len(found)}"
        canvas.right(y - 1, text, "", canvas.width - MARGIN)
    for number in shown:
        count, picked = found[number], number == looks.picked
        text, beside = _place_words(looks, count)
        canvas.text(3, y, ("▶ " if picked else "  ") + text, "picked" if picked else "", room)
        canvas.text(5, y + 1, beside, "", room - 2)
        y += 2
    ends = "ENTER sets the count" + ("   UP DOWN choose" if len(found) > 1 else "")
    if one and len(found) > 1:
        ends = f"ENTER sets the count   DOWN {in_words(len(found) - 1)} more, less likely"
    canvas.text(3, min(y + 1, canvas.height - 3), ends)


def _head(looks: PlaceLooks) -> str:
    """What is said over the places that fit."""
    plan, found = looks.braid.plan, looks.found
    if len(found) == 1:
        return "You are here:"
    if not counts_all(plan):
        if looks.search.chances[found[0]] < LIKELY:
            return "The looks leave many places near one another open. The likeliest of them:"
        return "You are most likely here:"
    tells = telling_place(plan, found, None)
    if tells is None:
        return "You are at one of these."
    where = plan.structure.places[tells - 1]
    return f"You are at one of these. They differ in the beads left at: {where}."


def _place_words(looks: PlaceLooks, count: int) -> tuple[str, str]:
    """A place in words, and how it differs from the others and from what was counted."""
    plan, text = looks.braid.plan, "all crosses are made"
    if count < plan.crosses:
        row, turn = words.row_words(plan, count + 1)
        text = f"{row}, {turn}: {plan.step(count + 1).call} is next"
    off = count - looks.braid.made
    more = "further" if off > 0 else "less"
    said = [f"{plural(abs(off), 'cross')} {more} than counted" if off else "as counted"]
    if not counts_all(plan):
        chance = looks.search.chances[count]
        if chance < SURE:
            said.append(chance_words(chance) if chance >= LIKELY else f"1 in {1 / chance:,.0f}")
        if looks.growth is not None:
            said.append(f"{looks.growth.after_mm[count]:,.0f} mm as predicted")
    elif len(looks.found) > 1 and (tells := telling_place(plan, looks.found, None)) is not None:
        said.insert(0, f"{plural(left_at(plan, tells, count), 'bead')} there")
    return text, "; ".join(said)
