"""What the pages of a talk about a slip have in common."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.words import duration
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import in_lines, put
from bench.screens.kit.view import View
from bench.screens.slips.talk import SlipTalk
from bench.slips.likeness import FOREIGN

TO_BRAID = "ESC back to braiding, nothing changed"
RIM = 22
"""Columns of the small stand beside a question."""


def bead_keys(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    """Draw every key that stands for a bead; return the line below."""
    room = view.width - (RIM + 4 if view.width >= 76 else 2)
    choices = [(x, bead_line(talk, x)[2:].strip()) for x in talk.likeness.letters]
    choices += [("0", "nothing hangs there"), (FOREIGN, "a bead of no load")]
    tall = max(6, view.height - y - 8) if view.height < 30 else len(choices)
    wide = room // (-(-len(choices) // tall))
    for number, (key, what) in enumerate(choices):
        x, line = 2 + wide * (number // tall), y + number % tall
        pointer(canvas, x - 1, line, talk, key)
        canvas.text(x, line, key, "key")
        if key in talk.plan.pattern.beads:
            canvas.text(x + 2, line, "██", talk.plan.pattern.beads[key].colour)
        canvas.text(x + 5, line, what, "", wide - 6)
        canvas.zone(x, line, wide - 1, 1, "question_mark" if key == FOREIGN else key)
    return y + min(len(choices), tall)


def pointer(canvas: Canvas, x: int, y: int, talk: SlipTalk, key: str) -> None:
    """Draw what says that Enter takes this key's choice, where it does."""
    if talk.at is not None and talk.options[talk.at] == key:
        canvas.text(x, y, "▶", "bold")


def takes(seconds: float) -> str:
    """How long a mend takes, in words."""
    return "no time" if seconds < 1 else duration(seconds)


def bead_line(talk: SlipTalk, letter: str) -> str:
    """A bead with its name and size."""
    if letter == FOREIGN:
        return "a bead that is in no load"
    bead = talk.plan.pattern.beads[letter]
    return f"{letter}  {bead.name} {bead.size}"


def short_bead(talk: SlipTalk, letter: str) -> str:
    """A bead with its size; nothing for none."""
    if not letter:
        return "nothing"
    if letter == FOREIGN:
        return "a bead of no load"
    return f"{letter} {talk.plan.pattern.beads[letter].size}"


def foot(canvas: Canvas, view: View, *keys: tuple[str, str]) -> None:
    """Draw the keys and what they do on the last two lines, the way back first on the last."""
    parts = [(key, what, _touched(key)) for key, what in keys]
    above, *more = in_lines(parts, view.width) if parts else [[]]
    put(canvas, view.height - 2, above)
    left = [part for line in more for part in line]
    x = 1
    for back in (TO_BRAID, TO_BRAID.split(",")[0]):
        x = 1 + len(back)
        if len(in_lines([(back, "", ""), *left], view.width)) == 1:
            break
    canvas.text(1, view.height - 1, back)
    canvas.zone(1, view.height - 1, x - 1, 1, "escape")
    put(canvas, view.height - 1, left, x=x + 3)


def _touched(key: str) -> str:
    """The key that a touch stands for; '' for several of them."""
    return key.lower() if len(key) == 1 or (key.isalpha() and key.isupper()) else ""


def keys_to(options: Sequence[str]) -> str:
    """The keys of a list as a foot names them: '1', '1-4'."""
    return "-".join(dict.fromkeys((options[0], options[-1])))
