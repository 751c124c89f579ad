"""What the pages of a commission share: what is known of it, their head and their foot."""

from __future__ import annotations

import datetime as dt
from abc import abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from textual.geometry import Size

from bench.answers.needs import NeedsAnswer
from bench.commission.materials import Materials
from bench.commission.materials_used import MaterialsUsed
from bench.commission.progress import CommissionProgress
from bench.documents.settings import WorkSettings
from bench.journal.clock import Instant
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import Key, draw_foot
from bench.screens.kit.help_page import Lines
from bench.screens.kit.list_screen import ListMode

PAGES = ("lots", "tonight", "needs", "closing", "notes", "order", "shop")
PAGE_ACTIONS = {f"page_{number}": page for number, page in enumerate(PAGES, 1)}
"""What each key of a page stands for."""
READING = "Hours and counts are those of before; they are read anew."
FAR_DAYS = 300
COMMISSION_HELP: Lines = (
    ("1 to 7", "the pages; TAB goes on to the next one"),
    ("L", "back to the list"),
)


@dataclass
class CommissionFigures:
    """How a commission stands, as far as it is worked out."""

    title: str
    now: Instant
    work: WorkSettings
    reading: bool = False
    """Whether what is shown is read anew: a piece may have been made since."""
    progress: CommissionProgress | None = None
    materials: Materials | None = None
    used: MaterialsUsed | None = None
    needs: NeedsAnswer | None = None
    notes: Sequence[str] = ()
    promised: Sequence[str] = ()
    """Dye lots that are promised to another order, too."""
    money: str = ""
    """What is agreed, received and to pay; empty before an offer is accepted."""
    trouble: str = ""
    """Why it could not be worked out."""


class CommissionPage(ListMode):
    """One page of a commission, which can be shown at once."""

    page = ""
    own_help: Lines = ()

    def __init__(self, figures: CommissionFigures, turn: Callable[[str], None]) -> None:
        self.figures = figures
        self.turn = turn
        """Turns to another page by its name; any other name leaves the commission."""
        self.help = (*self.own_help, *COMMISSION_HELP)

    def act(self, action: str, size: Size) -> None:
        """Turn to another page, go back, or do what the key does on this page."""
        self.said = ""
        if action in {"leave", "back"}:
            self.turn("")
        elif action == "next_page":
            self.turn(PAGES[(PAGES.index(self.page) + 1) % len(PAGES)])
        elif action in PAGE_ACTIONS:
            self.turn(PAGE_ACTIONS[action])
        elif self.is_known:
            self.act_here(action, size)

    @property
    def is_known(self) -> bool:
        """Whether there is something to show, and to do."""
        return True

    def act_here(self, action: str, size: Size) -> None:
        """Do what a key does on this page alone."""

    def keys(self) -> Sequence[Key]:
        """The keys of this page alone, for its foot."""
        return ()

    @abstractmethod
    def draw_body(self, canvas: Canvas, named: Callable[[str], str]) -> None:
        """Draw what is between head and foot."""

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the page with its head and foot."""
        canvas = Canvas(width, height)
        self._draw_head(canvas)
        self.draw_body(canvas, named)
        anew = self.figures.reading and self.figures.progress is not None
        keys = [*(self.keys() if self.is_known else ())]
        keys += [("1-7", "page", "next_page"), ("L", "back", "leave")]
        draw_foot(canvas, keys, self.said or (READING if anew else ""), named)
        return canvas

    def _draw_head(self, canvas: Canvas) -> None:
        tabs = [f" {number} {page} " for number, page in enumerate(PAGES, 1)]
        x = canvas.width - 1 - sum(map(len, tabs))
        title = self.figures.title
        beside = cell_len(title) <= x - 3
        canvas.text(1, 0, title.upper(), "bold", x - 3 if beside else canvas.width - 2)
        canvas.rule(1)
        y = 0 if beside else 1
        for (action, page), tab in zip(PAGE_ACTIONS.items(), tabs, strict=True):
            canvas.zone(x, y, len(tab), 1, action)
            x = canvas.text(x, y, tab, "picked" if page == self.page else "")


class WorkedOutPage(CommissionPage):
    """A page that goes by how the commission stands: nothing can be done until that is known."""

    @property
    def is_known(self) -> bool:
        """Whether it is known how the commission stands."""
        return self.figures.progress is not None

    @abstractmethod
    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw what is between head and foot."""

    def draw_body(self, canvas: Canvas, named: Callable[[str], str]) -> None:
        """Draw the page, or say why there is none."""
        figures = self.figures
        if figures.progress is not None:
            self.draw_page(canvas, figures.progress, named)
            return
        said = figures.trouble or "reading how the commission stands"
        for y, line in enumerate(wrap(said, canvas.width - 2), 3):
            canvas.text(1, y, line, "warn" if figures.trouble else "", canvas.width - 2)


def hours(seconds: float) -> str:
    """Hours with one decimal; whole ones from a hundred."""
    value = seconds / 3600
    return f"{value:.1f}" if value < 100 else f"{value:,.0f}"


def date(now: Instant, days: float) -> str:
    """The day so many days from now; far ones by month and year."""
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    try:
        then = dt.datetime.fromtimestamp(now.wall + 86_400 * days, zone)
    except (OverflowError, ValueError, OSError):
        return "never"
    return f"{then:%d %b}" if days < FAR_DAYS else f"{then:%b %Y}"


def day_said(now: Instant, day: dt.date) -> str:
    """A day as its day and month; one that is far off as its month and year, in eight columns."""
    off = (day - now.day).days
    return f"{day:%d %b}" if abs(off) < FAR_DAYS else f"{day:%b %Y}"


def price_words(figures: CommissionFigures, found: CommissionProgress) -> str:
    """What to charge, and what is in it."""
    work, cost, price = figures.work, figures.materials, found.price
    if price is None:
        return "say what an hour costs: 7 shop, rates"
    parts = [f"{work.hourly_rate:g} an hour"]
    if cost is None:
        parts.append("materials not known")
    elif found.materials is None:
        parts.append(f"materials apart, {cost.amount:.0f} {cost.currency}")
    else:
        parts.append(f"materials {cost.amount:.0f}{' (not all priced)' if cost.unpriced else ''}")
    if work.margin:
        parts.append(f"margin {100 * work.margin:g} %")
    between = f"({price.low:,.0f} to {price.high:,.0f})"
    return f"{price.median:,.0f} {work.currency} {between}: {', '.join(parts)}"
