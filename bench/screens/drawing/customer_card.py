"""A card for a customer of what is on the board: a page to print, written beside the patterns."""

from __future__ import annotations

from pathlib import Path

from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.documents.writing import write_file
from bench.making.calibration import read_calibration
from bench.making.card_answer import card_answer
from bench.making.worked_pattern import WorkedPattern
from bench.screens.drawing.host import BoardHost
from bench.sheets.card_html import card_html
from bench.sheets.card_words import USUAL_FIGURES

MOST_PIECES = 60
"""Of more sizes and colourways the first are shown."""


def write_card(host: BoardHost) -> None:
    """Write the card off the key's way, and say where it is."""
    drawing, app = host.drawing, host.companion
    draft = drawing.draft
    if not draft.is_kept:
        drawing.said = (
            f"Keep it first ({drawing.key('keep')} on the board): a card shows what is kept."
        )
        return
    name, home, library, settings = draft.name, app.session.home, app.library, app.settings
    drawing.said = "The card is being drawn."

    def work() -> object:
        try:
            return _written(home, library, settings, name)
        except (DocumentError, OSError) as error:
            return str(error)

    def done(found: object) -> None:
        drawing.said = str(found)

    host.beside(work, done)


def _written(home: Path, library: Library, settings: Settings, name: str) -> str:
    pattern = library.plan(library.pattern_path(name)).pattern
    made = []
    for size in (None, *pattern.sizes):
        known, _ = read_calibration(home, settings, name, size)
        made += [
            WorkedPattern.from_library(library, settings, name, size, colourway, known)
            for colourway in (None, *pattern.colourways)
        ]
    card = card_answer(pattern.title, made[:MOST_PIECES], USUAL_FIGURES, {}, settings)
    file = home / "cards" / f"{name}.html"
    file.parent.mkdir(parents=True, exist_ok=True)
    write_file(file, card_html(card), ".html")
    return f"cards/{name}.html is written; open it in a browser, print it at 100 %. It is in {home}"
