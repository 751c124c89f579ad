"""How the pattern on the board came about: its versions, why, and what pieces of them measured."""

from __future__ import annotations

from bench.answers.versions import VersionsAnswer
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.pattern_versions import MOST_WHY, say_why
from bench.journal.errors import JournalError
from bench.making.design_history import versions_answer
from bench.screens.drawing.colour_page import foot_of_list
from bench.screens.drawing.customer_card import write_card
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.question import Question
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.picking import scrolled
from bench.sheets.versions import version_lines

NOT_KEPT = "Its versions begin when it is kept (K on the board)."


class VersionsPage(BoardMode):
    """The versions as a text, the first one first; the last one's reason can be typed."""

    whole = True
    help = (
        ("W", "why the last version came about"),
        ("C", "a card for a customer, in true size, to print"),
        ("UP DOWN", "the rest of the text"),
        ("ESC", "back to painting"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host.drawing)
        self.host = host
        self.first = 0
        self.answer: VersionsAnswer | None = None
        self.trouble = ""
        self._read()

    def _read(self) -> None:
        app, name = self.host.companion, self.drawing.draft.name
        if not name or app.journal is None:
            self.trouble = NOT_KEPT if not name else "There is no journal to read from."
            return
        try:
            plan = app.library.plan(app.library.pattern_path(name))
            self.answer, told = versions_answer(app.session.home, name, plan, app.journal)
            self.trouble = told[0] if told else ""
        except (DocumentError, Fault, JournalError) as error:
            self.trouble = str(error)

    def press(self, key: str, character: str | None) -> None:
        """Ask why, write the card, go on in the text or go back."""
        if key in {"escape", "q", "v"}:
            self.host.to_mode(None)
        elif key.lower() == "w":
            self._ask_why()
        elif key.lower() == "c":
            write_card(self.host)
        else:
            self.first = max(0, scrolled(self.first, key.replace("page", "page_"), 10_000, 1))

    def _ask_why(self) -> None:
        answer = self.answer
        if answer is None or not answer.versions:
            self.drawing.said = "There is no version yet."
            return
        last = answer.versions[-1]

        def look(text: str) -> str:
            return f"at most {MOST_WHY} letters" if len(text) > MOST_WHY else ""

        def keep(text: str) -> None:
            try:
                say_why(self.host.companion.session.home, answer.pattern, last.version, text)
            except DocumentError as error:
                self.drawing.said = str(error)
            self._read()

        self.host.ask(Question("Why was it changed?", look, keep, last.why))

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the text, as much of it as finds room."""
        width, height = canvas.width, canvas.height
        canvas.text(1, 0, "HOW IT CAME ABOUT", "bold")
        canvas.rule(1)
        said = [] if self.answer is None else list(version_lines(self.answer))
        lines = [line for text in said for line in (wrap(text, width - 2) or [""])]
        room = height - 5
        self.first = max(0, min(self.first, len(lines) - room))
        for number, line in enumerate(lines[self.first : self.first + room], 2):
            canvas.text(1, number, line)
        said_last = self.drawing.said or self.trouble
        if said_last:
            for number, line in enumerate(wrap(said_last, width - 2)[:2]):
                canvas.text(1, height - 4 + number, line, "warn")
        foot_of_list(canvas, (("W", "why"), ("C", "a card for a customer")))
