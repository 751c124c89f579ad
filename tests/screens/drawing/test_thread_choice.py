"""The thread of what lies on the board."""

from __future__ import annotations

import pytest

from bench.craft.text import Fault
from bench.screens.drawing.figures_page import FiguresPage
from bench.screens.drawing.thread_choice import thread_said, typed_thread
from tests.support.boards import with_loads

from .bare_board import BareBoard


def test_a_thread_is_chosen_of_those_at_hand_or_typed() -> None:
    """The cord of the shipped rope is offered by a key; a typed one has its thickness and tex."""
    at = BareBoard(with_loads("b" * 12))
    page = FiguresPage(at)
    at.to_mode(page)
    at.press("t")
    assert "THE THREAD, now gel-spun 0.13 mm" in at.shown()
    assert "1 bead cord tex 210, 0.5 mm" in at.shown()
    at.press("1")
    threads = at.drawing.draft.sheet.pattern.threads
    assert (threads.name, threads.diameter_mm, threads.tex) == ("bead cord tex 210", 0.5, 210)
    assert threads.double_lengths
    at.to_mode(page)
    at.press("t", "t")
    at.asked[-1].keep("silk tex 90 0,3 mm")
    threads = at.drawing.draft.sheet.pattern.threads
    assert (threads.name, threads.diameter_mm, threads.tex) == ("silk tex 90 0.3 mm", 0.3, 90)
    assert thread_said(threads) == "silk tex 90 0.3 mm"


@pytest.mark.parametrize("text", ["", "cord", "cord 0", "cord 99", "0.5 mm", "cord \u202e 0.5",
                                  "cord tex 6000 1 mm", f"{'c' * 58} 0.5"])  # fmt: skip
def test_what_names_no_thread_is_told(text: str) -> None:
    """Without a name, without a thickness, or one that no bead takes."""
    with pytest.raises(Fault):
        typed_thread(text)


def test_a_thread_is_called_as_the_maker_has_it() -> None:
    """With its thickness, as on the spool; without it where that is the name of one at hand."""
    assert typed_thread("gel-spun 0.13 mm").name == "gel-spun 0.13 mm"
    cord = typed_thread("Bead cord tex 210 0.5", ["bead cord tex 210"])
    assert (cord.name, cord.diameter_mm, cord.tex) == ("Bead cord tex 210", 0.5, 210)
    assert typed_thread("cord tex 0.5 mm").tex is None
