"""What a commission still needs: beads, thread and the rest, as a text to scroll through."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Size

from bench.commission.progress import CommissionProgress
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import scrolled
from bench.screens.lists.commission_page import CommissionFigures, WorkedOutPage
from bench.sheets.needs import needs_lines

PAGE = 15
"""Lines that a page key goes on by."""


class NeedsPage(WorkedOutPage):
    """Scrolls through what is needed."""

    page = "needs"
    own_help: Lines = (
        ("UP DOWN", "scroll; PAGE UP and PAGE DOWN go further"),
        ("ENTER", "what is to be bought: print it, or tick it off as bought"),
        ("W", "with the pieces that have to be made again, by your own share; or without them"),
    )
    first = 0
    """The first line in sight."""

    def __init__(
        self,
        figures: CommissionFigures,
        turn: Callable[[str], None],
        buy: Callable[[], None],
        work_out: Callable[[], None],
    ) -> None:
        """`buy`: opens the list of what is to be bought; `work_out`: works all of it out anew."""
        super().__init__(figures, turn)
        self._buy, self._work_out = buy, work_out
        self.made_again = False
        """Whether pieces that have to be made again are counted in."""

    def _lines(self, width: int) -> list[str]:
        needs = self.figures.needs
        if needs is None:
            return []
        told = [part for said in self.figures.promised for part in wrap(f"! {said}", width - 2)]
        return [*told, *needs_lines(needs, min(80, width - 2))]

    def act_here(self, action: str, size: Size) -> None:
        """Scroll, or go on to what is to be bought."""
        if action == "open":
            self._buy()
            return
        if action == "begin":
            self.made_again = not self.made_again
            self.said = "With pieces made again." if self.made_again else "Without them."
            self._work_out()
            return
        count, room = len(self._lines(size.width)), size.height - 6
        self.first = scrolled(self.first, action, count, room, PAGE)

    def keys(self) -> Sequence[Key]:
        """The keys that scroll, and the one that goes on."""
        return (
            ("ENTER", "to buy, print", "open"),
            ("W", "pieces made again", "begin"),
            ("UP DOWN", "scroll", ""),
        )

    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw the lines in sight, and how many are below."""
        lines, room = self._lines(canvas.width), canvas.height - 6
        first = scrolled(self.first, "", len(lines), room)
        for y, line in enumerate(lines[first : first + room], 2):
            head = line[:11]
            if head.strip().isupper():
                canvas.text(1, y, head, "bold")
                canvas.text(12, y, line[11:])
            else:
                canvas.text(1, y, line, "warn" if line.startswith("!") else "")
        below = len(lines) - room - first
        if below > 0:
            said = f" {below} more lines below: {named('DOWN')} "
            canvas.right(canvas.height - 4, said, "bold", canvas.width - 1)
