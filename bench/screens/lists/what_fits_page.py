"""The time at hand: which pieces of a commission fit into it, and in what order."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Size

from bench.commission.progress import CommissionProgress
from bench.craft.words import plural
from bench.pace.what_fits import Schedule
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.words import STAGE_WORDS
from bench.screens.lists.commission_page import CommissionFigures, CommissionPage

STEP_S = 900.0
MOST_S = 12 * 3600.0
USUAL_S = 8100.0


class WhatFitsPage(CommissionPage):
    """Asks how much time there is, and shows what fits once it is worked out."""

    page = "what fits"
    own_help: Lines = (
        ("LEFT RIGHT", "less or more time at hand; what fits into it is worked out anew"),
    )

    def __init__(self, figures: CommissionFigures, turn: Callable[[str], None]) -> None:
        super().__init__(figures, turn)
        self.at_hand_s = USUAL_S
        self.fit: Schedule | None = None

    def act_here(self, action: str, size: Size) -> None:
        """Have less or more time."""
        if action in {"left", "right"}:
            step = STEP_S if action == "right" else -STEP_S
            self.at_hand_s = max(STEP_S, min(MOST_S, self.at_hand_s + step))
            self.fit = None

    def keys(self) -> Sequence[Key]:
        """The keys of the time at hand."""
        return (("LEFT", "less", "left"), ("RIGHT", "more time", "right"))

    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw the time, what gets finished in it, and the order of the work."""
        canvas.text(1, 3, "YOU HAVE", "bold")
        x = big(canvas, 11, 3, _clock(self.at_hand_s), "call") + 4
        room = canvas.width - x - 1
        if self.fit is None:
            canvas.text(x, 3, "working it out")
            return
        finished = self.fit.finished
        text = f"{plural(len(finished), 'piece')} will be finished"
        canvas.text(x, 3, text if finished else "no piece is sure to be finished", "bold", room)
        for number, line in enumerate(wrap(", ".join(finished), room)[:1], 4):
            canvas.text(x, number, line)
        for number, line in enumerate(chances(self.fit, found.is_guess), 5):
            canvas.text(x, number, line, "", room)
        self._draw_steps(canvas, 4 + HEIGHT, self.fit)

    def _draw_steps(self, canvas: Canvas, y: int, fit: Schedule) -> None:
        for head, x in (("from", 1), ("to", 9), ("what, in this order", 17)):
            canvas.text(x, y, head, "dim")
        rows: list[tuple[str, str, str, str]] = []
        now = 0.0
        for step in fit.steps:
            start, stop = _clock(step.start_s), _clock(step.end_s)
            if step.start_s - now > 60:
                rows.append((_clock(now), start, "wait", "until it is dry"))
            rows.append((start, stop, STAGE_WORDS[step.stage], step.name))
            now = step.end_s
        room = canvas.height - 3 - y - 1
        if len(rows) > room:
            more = len(rows) - room + 1
            rows = [*rows[: room - 1], ("", "", f"and {more} more", "")]
        for number, (start, stop, what, name) in enumerate(rows, y + 1):
            canvas.text(1, number, start)
            canvas.text(9, number, stop)
            canvas.text(17, number, what, "bold", 12)
            canvas.text(27, number, name, "", canvas.width - 28)
        if not rows:
            canvas.text(1, y + 1, "Not even one stage fits with that chance.")


def chances(fit: Schedule, is_guess: bool) -> list[str]:
    """With what chance its pieces get finished, and one more would, in words."""
    if is_guess:
        return ["a guess: no piece of yours is timed"]
    said = [f"chance: {odds(fit.chance)}"] if fit.finished else []
    if fit.one_more is not None:
        which = "one more" if fit.finished else "one piece"
        said.append(f"{which}: {odds(fit.one_more)}")
    return said


def odds(chance: float) -> str:
    """A chance as a maker takes it: of a hundred evenings like this, or of ten."""
    if chance >= 0.99:
        return "as good as sure"
    if chance >= 0.95:
        return "19 in 20"
    tenths = int(10 * chance + 1e-6)  # never more than it is
    if tenths < 1:
        return "hardly any"
    return f"{min(9, tenths)} in 10"


def _clock(seconds: float) -> str:
    whole = round(seconds / 60)
    return f"{whole // 60}:{whole % 60:02d}"
