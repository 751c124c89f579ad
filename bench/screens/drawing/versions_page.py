"""How the pattern on the board came about: its versions, why, and what pieces of them measured."""

from __future__ import annotations

from bench.answers.versions import VersionsAnswer
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.pattern_versions import MOST_WHY, say_why
from bench.journal.errors import JournalError
from bench.making.design_history import versions_answer
from bench.screens.drawing.customer_card import write_card
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question
from bench.screens.drawing.text_page import TextPage
from bench.screens.kit.canvas import Canvas
from bench.sheets.versions import version_lines

NOT_KEPT = "Its versions begin when it is kept."


class VersionsPage(TextPage):
    """The versions as a text, the first one first; the last one's reason can be typed."""

    help = (
        ("W", "why the last version came about"),
        ("C", "a card for a customer, in true size, to print"),
        ("UP DOWN", "the rest of the text"),
        ("ESC", "back to painting"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host)
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
            self.scroll(key)

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
        lines = () if self.answer is None else version_lines(self.answer)
        told = self.drawing.said or self.trouble
        self.draw_text(canvas, "HOW IT CAME ABOUT", ((line, "") for line in lines), told)
        self.draw_foot(canvas, (("W", "why"), ("C", "a card for a customer")))
