"""All colourways side by side, and a new one from one of them: hue, lightness, stock, a run."""

from __future__ import annotations

from bench.craft.colour import COLOUR_UNIT, ciede2000, seen
from bench.craft.pattern import ColourChange, Pattern
from bench.craft.text import Fault, check_name
from bench.design.colour_names import nearest_name, two_colours
from bench.design.colours import alike_pairs, new_colourway, run_of_colours
from bench.design.operations import Recolour
from bench.documents.stock_colours import looks_in_stock
from bench.screens.drawing.at_hand import named_beads, stock_at_hand
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.outline import Outline
from bench.screens.drawing.question import Question
from bench.screens.drawing.shown_choices import AS_WRITTEN
from bench.screens.kit.canvas import Canvas, wrap

TURN_DEG, LIGHTER = 15, 0.04
COLUMN = 24
FAR_OFF = 10.0
"""From such a difference (CIEDE2000) on another colour is seen at a glance: a rule of thumb."""
MOST_SAID = 4
"""Lines of what is said of the colours."""
HINTS = (
    *(("ENTER", "name it"), ("LEFT RIGHT", "hue"), ("UP DOWN", "lightness")),
    *(("TAB", "from which"), ("S", "stock")),
)
"""Keys at the foot, the first ones first where there is little room."""


class ColourwayPage(BoardMode):
    """The colourways as columns, a bead a line; the last one is being made."""

    whole = True
    help = (
        ("TAB", "from which colourway the new one is made"),
        ("LEFT RIGHT", "turn its hue by 15 degrees"),
        ("UP DOWN", "lighter, darker"),
        ("S", "the nearest beads in stock that are there in enough grams; gaps are told"),
        ("R", "a run of colours between two, in the order of the beads"),
        ("ENTER", "name it and take it; then painting and colours change that one"),
        ("ESC", "leave it"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host.drawing)
        self.host = host
        self.source = self.drawing.draft.colourway
        self.turn = 0.0
        self.lighter = 0.0
        self.looks: dict[str, ColourChange] = {}
        self.told: list[str] = []
        self.outlines: dict[int, Outline] = {}

    @property
    def made(self) -> dict[str, ColourChange]:
        """The new colourway as it stands."""
        made = new_colourway(self.drawing.draft.sheet, self.source, self.turn, self.lighter)
        return made | self.looks

    def press(self, key: str, character: str | None) -> None:
        """Change what is being made, take it or leave it."""
        low = key.lower()
        if key == "escape":
            self.host.to_mode(None)
        elif key == "tab":
            names = [None, *self.drawing.draft.sheet.pattern.colourways]
            self.source = names[(names.index(self.source) + 1) % len(names)]
            self.looks, self.told = {}, []
        elif key in {"left", "right", "up", "down"}:
            self.turn = (self.turn + {"left": -TURN_DEG, "right": TURN_DEG}.get(key, 0)) % 360
            self.lighter += {"up": LIGHTER, "down": -LIGHTER}.get(key, 0.0)
            self.lighter = max(-1.0, min(1.0, self.lighter))
            self.looks, self.told = {}, []
        elif low == "s":
            self._from_stock()
        elif low == "r":
            asks = "A run between which two colours? As navy pale green, or #335577 #ddeeff:"
            self.host.ask(Question(asks, self._run_wrong, self._run))
        elif key in {"enter", "space"}:
            self.host.ask(Question("What is the colourway called?", self._name_wrong, self._take))

    def _from_stock(self) -> None:
        shelf, trouble = stock_at_hand(self.host.companion)
        if trouble:
            self.told = [trouble]
            return
        tube_g = self.host.companion.settings.thumb.tube_g
        wished = self.made
        self.looks, gaps = looks_in_stock(self.drawing.draft.sheet, wished, shelf.stock, tube_g)
        self.told = list(gaps) or ["Every bead is in stock, enough for one piece."]
        off = {x: ciede2000(seen(wished[x].colour), seen(look.colour))
               for x, look in self.looks.items()}  # fmt: skip
        far = ", ".join(f"{x} ({apart:.0f})" for x, apart in off.items() if apart > FAR_OFF)
        if far:
            self.told.append(f"The nearest is far from what was wished (ΔE2000): {far}.")

    def _run(self, text: str) -> None:
        made = self.made
        colours = run_of_colours(*two_colours(text, named_beads(self.host)), max(2, len(made)))
        self.looks = {
            letter: ColourChange(colour=colour, name=nearest_name(colour))
            for letter, colour in zip(sorted(made), colours, strict=False)
        }
        self.told = ["S takes the nearest beads in stock of these."]

    def _run_wrong(self, text: str) -> str:
        try:
            two_colours(text, named_beads(self.host))
        except Fault as fault:
            return str(fault)
        return ""

    def _name_wrong(self, text: str) -> str:
        try:
            check_name(text, "a colourway's")
        except Fault as fault:
            return str(fault)
        there = text in self.drawing.draft.sheet.pattern.colourways
        return f"there is a colourway '{text}' already" if there else ""

    def _take(self, name: str) -> None:
        drawing = self.drawing
        recolour = Recolour(
            colourway=name,
            source=self.source,
            turn_deg=self.turn,
            lighter=self.lighter,
            looks=self.looks,
        )
        if drawing.do(recolour):
            drawing.draft.colourway = name
            self.host.to_mode(None)
            drawing.said = (
                f"The colourway {name} is made and shown; {drawing.key('shown')} shows the others."
            )

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the colourways side by side, as many as find room, the new one last."""
        width, height = canvas.width, canvas.height
        sheet = self.drawing.draft.sheet
        canvas.text(1, 0, "COLOURWAYS SIDE BY SIDE", "bold")
        canvas.rule(1)
        names = [None, *sheet.pattern.colourways]
        most = max(2, (width - 2) // COLUMN) - 1
        if len(names) > most:
            kept = [name for name in names if name != self.source][: most - 1]
            names = [name for name in names if name in kept or name == self.source]
        columns = [(name or AS_WRITTEN, looks_of(sheet.pattern, name)) for name in names]
        columns.append(("the new one", self.made))
        letters = sorted(sheet.beads)[: height - 9]
        for number, (name, looks) in enumerate(columns):
            x = 1 + number * COLUMN
            chosen = number < len(names) and names[number] == self.source
            style = "picked" if chosen else "call" if number == len(names) else "bold"
            canvas.text(x, 2, f" {name} ", style, COLUMN - 1)
            for line, letter in enumerate(letters, 3):
                look = looks[letter]
                canvas.text(x, line, letter)
                canvas.text(x + 1, line, "███", look.colour)
                canvas.text(x + 5, line, look.name, "", COLUMN - 6)
        shift = f"hue turned by {self.turn:g} degrees, lighter by {100 * self.lighter:+.0f} %"
        said = [line for text in (*self.told, *self._alike()) for line in wrap(text, width - 2)]
        at = height - 3 - len(said[:MOST_SAID])
        self._draw_outlines(canvas, [looks for _, looks in columns], 4 + len(letters), at - 1)
        canvas.text(1, at, shift, "dim", width - 2)
        for number, text in enumerate(said[:MOST_SAID], at + 1):
            canvas.text(1, number, text, "warn")
        self.draw_foot(canvas, HINTS)

    def _draw_outlines(
        self, canvas: Canvas, columns: list[dict[str, ColourChange]], y: int, below: int
    ) -> None:
        """Draw the braid in each colourway, on the lines above what is said of them."""
        high = below - y
        pattern = self.drawing.draft.shown()
        if high < 3:
            return
        for number, looks in enumerate(columns):
            beads = {
                letter: bead.model_copy(update={"colour": looks[letter].colour})
                for letter, bead in pattern.beads.items()
            }
            dressed = pattern.model_copy(update={"beads": beads})
            outline = self.outlines.setdefault(number, Outline())
            x = 1 + number * COLUMN
            room = x, y, COLUMN - 4, high
            worked, colours = self.drawing.worked, self.drawing.colours
            outline.draw(canvas, *room, worked, dressed, None, colours=colours)

    def _alike(self) -> list[str]:
        """What of the new colourway cannot be told apart, and what it leaves as it was."""
        sheet = self.drawing.draft.sheet
        try:
            made = Recolour(colourway="new", looks=self.made).on(sheet, self.drawing.draft.desk)
        except Fault as fault:
            return [f"{fault}."]
        if sum(map(len, sheet.loads)) > MOST_COMPARED:
            return []
        said = [
            f"{pair.beads[0]} and {pair.beads[1]} touch and look alike {pair.seen}."
            for pair in alike_pairs(made, "new")
        ]
        said += self._like_another()
        before = looks_of(sheet.pattern, None)
        same = [x for x, look in self.made.items() if look.colour == before[x].colour]
        if same and self.source is None and (self.turn or self.lighter or self.looks):
            said.append(f"As it was: {', '.join(same)}.")
        return said

    def _like_another(self) -> list[str]:
        """The first colourway that the new one cannot be told from at a glance, in a sentence."""
        sheet, made = self.drawing.draft.sheet, self.made
        for name in (None, *sheet.pattern.colourways):
            looks = looks_of(sheet.pattern, name)
            apart = (ciede2000(seen(looks[x].colour), seen(made[x].colour)) for x in sheet.counts())
            if all(difference < COLOUR_UNIT for difference in apart):
                other = f"colourway {name}" if name else f"colours {AS_WRITTEN}"
                return [f"At a glance it looks like the {other}: lighter, darker, or a run?"]
        return []


MOST_COMPARED = 4_000
"""Of more beads the neighbours are not looked through while colours are turned."""


def looks_of(pattern: Pattern, name: str | None) -> dict[str, ColourChange]:
    """What each bead looks like in a colourway, or as written."""
    beads = pattern.resolve(None, name).beads
    return {x: ColourChange(colour=bead.colour, name=bead.name) for x, bead in beads.items()}
