"""What stands behind a key: figures, price, findings with their cures, neighbours, contrasts."""

from __future__ import annotations

from collections.abc import Iterator

from bench.commission.piece_figures import PieceFigures
from bench.craft.beads import mass_g
from bench.craft.findings import Finding
from bench.craft.growth import sizes_of
from bench.craft.load import parse_load
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.design.board_operations import Cure, TakeCore
from bench.design.colours import alike_pairs
from bench.design.palette import MANY_LETTERS, gaps, nearest_pair
from bench.design.resizing import levelled
from bench.documents.stock import grams_of
from bench.screens.drawing.at_hand import stock_at_hand
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.panel import by_weight
from bench.screens.drawing.question import Question
from bench.screens.drawing.reckoning import reckoning, told
from bench.screens.drawing.text_page import Line, TextPage
from bench.screens.drawing.thread_choice import thread_choices, thread_said
from bench.screens.drawing.versions_page import VersionsPage
from bench.screens.kit.canvas import Canvas


class FiguresPage(TextPage):
    """All figures of the sketch as a text; findings have digits that cure them."""

    help = (
        ("1 to 9", "cure that finding; U on the board takes it back"),
        ("0 C", "a core as the growth model suggests it; type one of your own"),
        ("T", "another thread: for a rope a cord is usual"),
        ("V", "how it came about: its versions; a card for a customer"),
        ("UP DOWN", "the rest of the text"),
        ("ESC", "back to painting"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host)
        self.alike: tuple[str, ...] | None = None
        self.figures: PieceFigures | None = None
        self.shelf, self.trouble = stock_at_hand(host.companion)
        self._compare()
        self._reckon()

    def _compare(self) -> None:
        """Look through the neighbours off the key's way."""
        sheet, colourway = self.drawing.draft.sheet, self.drawing.draft.colourway

        def work() -> object:
            return tuple(
                f"{pair.beads[0]} and {pair.beads[1]} touch and look alike {pair.seen}"
                for pair in alike_pairs(sheet, colourway)
            )

        def done(found: object) -> None:
            self.alike = found if isinstance(found, tuple) else ()

        self.host.beside(work, done)

    def _reckon(self) -> None:
        """Work out time, price and what the stock lacks off the key's way."""
        draft = self.drawing.draft
        work = reckoning(draft, draft.sheet, self.shelf, self.host.companion)

        def done(found: object) -> None:
            self.figures = found if isinstance(found, PieceFigures) else None

        self.host.beside(work, done)

    @property
    def curable(self) -> list[Finding]:
        """The findings that have a cure, the worst first."""
        worked = self.drawing.worked
        found = () if worked is None else by_weight(worked.findings)
        return [finding for finding in found if finding.cure][:9]

    def press(self, key: str, character: str | None) -> None:
        """Cure a finding, go on in the text or go back."""
        if key in {"escape", "q", "f"}:
            self.host.to_mode(None)
        elif key.lower() == "v":
            self.host.to_mode(VersionsPage(self.host))
        elif key.lower() == "t":
            thread_choices(self.host)
        elif character == "0":
            if self.drawing.do(TakeCore(size=self.drawing.draft.size)):
                self.drawing.said = "The core is made anew."
        elif key.lower() == "c":
            self.host.ask(core_question(self.drawing))
        elif character is not None and character in "123456789":
            at = int(character) - 1
            if at < len(self.curable):
                cure(self.drawing, self.curable[at])
        else:
            self.scroll(key)

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the text, as much of it as finds room."""
        self.draw_text(canvas, "FIGURES AND FINDINGS", self._lines(), self.drawing.said)
        keys = (("1-9", "cure"), ("0", "core anew"), ("T", "thread"), ("V", "versions, card"))
        self.draw_foot(canvas, keys)

    def _lines(self) -> Iterator[Line]:
        worked = self.drawing.worked
        if worked is None or worked.growth is None or worked.plan is None:
            yield ("no bead is laid yet, or it is being worked out", "dim")
            return
        if worked.sheet is not self.drawing.sheet:
            yield ("being worked out anew; these are the figures of before", "dim")
        yield (f"{worked.growth.size_says}; length by {worked.growth.length_rests_on}", "")
        rows, crosses = plural(worked.plan.rows, "row"), plural(worked.plan.crosses, "cross")
        thread = thread_said(self.drawing.draft.shown(self.drawing.sheet).threads)
        yield (f"{rows}, {crosses}; thread: {thread}", "")
        yield from self._beads()
        yield from told(self.figures)
        yield ("", "")
        yield from self._findings()
        yield from self._colours()

    def _beads(self) -> Iterator[Line]:
        """How many of each bead, their grams, and what the stock has of them."""
        pattern, app = self.drawing.draft.shown(self.drawing.sheet), self.host.companion
        sizes = sizes_of(pattern)
        shelf = self.shelf
        if self.trouble:
            yield (self.trouble, "warn")
        for letter, count in sorted(self.drawing.sheet.counts().items()):
            bead, grams = pattern.beads[letter], count * mass_g(sizes[letter])
            said = f"{letter}  {count:,} x {bead.name} {bead.size}, {grams:.1f} g"
            if shelf.file is not None:
                tube_g = app.settings.thumb.tube_g
                left = sum(grams_of(one, tube_g) for one in shelf.stock.matching(bead))
                short = left < grams
                said += f"; {left:.1f} g in stock" + (": short" if short else "")
                yield (said, "warn" if short else "")
            else:
                yield (said, "")

    def _findings(self) -> Iterator[Line]:
        worked = self.drawing.worked
        assert worked is not None
        if not worked.findings:
            yield ("sound: nothing to know before braiding it", "bold")
        curable = self.curable
        for finding in by_weight(worked.findings):
            cured = f"  [{curable.index(finding) + 1} cures it]" if finding in curable else ""
            yield (f"{finding.says}{cured}", "warn")

    def _colours(self) -> Iterator[Line]:
        """Beads that cannot be told apart, that sizes leave out, or that are too many."""
        sheet = self.drawing.draft.sheet
        for said in self.alike or ():
            yield (said, "warn")
        if self.alike is None:
            yield ("colours are being compared", "dim")
        for letter in sorted(sheet.counts()):
            for where in gaps(sheet, letter):
                yield (f"bead {letter} has no place of its own in {where}", "warn")
        for size in sheet.pattern.sizes:
            for letters in levelled(sheet, size):
                alike = " and ".join(letters)
                yield (f"in {size} {alike} are equally thick, which flattens it", "warn")
        pair = nearest_pair(sheet)
        if len(sheet.beads) > MANY_LETTERS and pair is not None:
            one, other = pair
            key = self.drawing.key("exchange")
            yield (f"{len(sheet.beads)} beads: {one} and {other} are most alike; {key} on one of"
                   " them makes them one", "warn")  # fmt: skip


def core_question(drawing: Drawing) -> Question:
    """Ask for the core's beads, first in first; nothing typed takes the core out."""
    size = drawing.draft.size
    core = drawing.draft.shown().core

    def operation(text: str) -> TakeCore:
        return TakeCore(size=size, beads=text) if text else TakeCore(none=True)

    def look(text: str) -> str:
        try:
            parse_load(text)
            operation(text).on(drawing.draft.sheet, drawing.draft.desk).to_pattern()
        except (Fault, ValueError) as fault:
            return "" if drawing.draft.sheet.open_cells and text else str(fault)
        return ""

    def keep(text: str) -> None:
        drawing.do(operation(text))

    asks = "The core, first in first, as 5a 6b 2c; nothing for none:"
    return Question(asks, look, keep, core.beads if core is not None else "")


def cure(drawing: Drawing, finding: Finding) -> None:
    """Cure a finding; the cure of a size's own core goes to that size."""
    keys = {change.key[0] for change in finding.cure}
    if keys == {"core"} and drawing.draft.size is not None:
        done = drawing.do(TakeCore(size=drawing.draft.size))
    else:
        done = drawing.do(Cure.of(finding.cure))
    if done:
        drawing.said = f"Cured; {drawing.key('undo')} takes it back."


def cure_worst(drawing: Drawing) -> None:
    """Cure the worst finding, if it has a cure."""
    worked = drawing.worked
    found = [] if worked is None else by_weight(worked.findings)
    if not found:
        drawing.said = "There is nothing to cure."
    elif not found[0].cure:
        drawing.said = "That is for your eyes and hands: no key cures it."
    else:
        cure(drawing, found[0])
