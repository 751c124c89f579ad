"""The keys of the board as the maker sets them."""

from __future__ import annotations

from bench.documents.settings import Settings
from bench.screens.drawing.painting import Painting
from bench.screens.kit.board_screen import LEAST_HEIGHT, LEAST_WIDTH
from bench.screens.kit.help_page import draw_help
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View
from tests.support.boards import with_loads

from .bare_board import BareBoard


def test_a_key_that_was_set_does_its_deed_and_the_usual_one_no_more() -> None:
    """At the board, in its foot, its help, and where it says which key to press."""
    settings = Settings.model_validate(
        {"keys": {"motif": ["f2"], "undo": ["x"], "twin": ["plus"], "help": ["f1"]}}
    )
    at, done = BareBoard(with_loads("aaaa"), settings), []
    at.drawing.key = at.companion.keys.name
    painting = Painting(at, {"motif": lambda: done.append("motif")})
    at.to_mode(painting)
    at.press("m", "f2")
    assert done == ["motif"]
    at.press("2", "u")
    assert len(at.drawing.draft.history.done) == 1
    at.press("x")
    assert not at.drawing.draft.history.done
    assert "Taken back: paint. Y does it again." in at.shown()
    painting.touch("motif")
    assert done == ["motif", "motif"]
    assert "F1 help" in at.shown()
    assert "F2 motif" in at.shown(120)
    helped = dict(at.companion.keys.of_the_board(painting.help))
    assert helped["F2 A O"] == "motif; appearances; shape from a wish"
    assert helped["T +"] == "colourways; the mirror twin"


def test_the_help_of_the_board_names_every_key_of_it_once() -> None:
    """Each action that can be set stands in it, and all of it on the smallest screen."""
    at = BareBoard(with_loads("aaaa"))
    lines = Painting(at, {}).help
    words = [word for label, _ in lines for word in label.split()]
    settable = set(Settings().all_keys("the board")) - {"help"}
    assert settable <= set(words)
    assert all(words.count(action) == 1 for action in settable)
    settings = Settings()
    view = View(LEAST_WIDTH, LEAST_HEIGHT, Keys(settings))
    shown = draw_help(view, Keys(settings).of_the_board(lines)).as_text()
    assert all(what in shown for _, what in lines)
