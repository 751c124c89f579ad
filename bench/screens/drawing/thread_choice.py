"""Another thread: one that the maker's patterns are braided with, or one that is typed."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection

from bench.craft.pattern import Threads
from bench.craft.text import Fault, plain
from bench.design.board_operations import TakeThread
from bench.documents.errors import DocumentError
from bench.documents.stock import plain_name
from bench.screens.drawing.at_hand import stock_at_hand
from bench.screens.drawing.bead_choices import KEYS
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question

TYPED = re.compile(r"(?P<name>.{1,60}?)\s+(?P<mm>\d{1,2}(?:[.,]\d{1,3})?)\s*(?:mm)?")
TEX = re.compile(r"\btex\s*([1-9]\d{0,3})(?![.,\d])")
MOST_TEX = 5000
MOST_NAME = 60
EXPECTED = "type its name and how thick it is, as bead cord tex 210 0.5 mm"
MOST = 9


def thread_said(threads: Threads) -> str:
    """A thread in words: its name, and its thickness where the name does not say it."""
    mm = threads.diameter_mm
    return threads.name if mm is None or f"{mm:g}" in threads.name else f"{threads.name}, {mm:g} mm"


def typed_thread(text: str, names: Collection[str] = ()) -> TakeThread:
    """The thread that a line names; its thickness belongs to its name.

    But not where the rest alone is one of `names`, those of the threads at hand. Raises Fault with
    what is expected.
    """
    found = TYPED.fullmatch(plain(text).strip())
    mm = float(found["mm"].replace(",", ".")) if found is not None else 0.0
    tex = TEX.search(text)
    tex_known = None if tex is None else float(tex[1])
    if found is None or not 0 < mm <= 10 or (tex_known or 0) > MOST_TEX:
        raise Fault(EXPECTED)
    at_hand = {plain_name(name) for name in names}
    name = found["name"] if plain_name(found["name"]) in at_hand else f"{found['name']} {mm:g} mm"
    if len(name) > MOST_NAME:
        raise Fault(f"a thread's name has at most {MOST_NAME} letters")
    return TakeThread(name=name, diameter_mm=mm, tex=tex_known)


def thread_choices(host: BoardHost) -> None:
    """Choose the thread, of those that the patterns at hand are braided with."""
    drawing = host.drawing
    now = drawing.draft.sheet.pattern.threads

    def take(thread: TakeThread) -> Callable[[], None]:
        def do() -> None:
            if drawing.do(thread):
                drawing.said = f"The thread is {thread.name} now; the findings follow."

        return do

    shelf, _ = stock_at_hand(host.companion)
    names = {now.name, *(thread.name for thread in shelf.stock.threads)}
    known: dict[tuple[str, float], TakeThread] = {}
    for entry in host.companion.library.patterns():
        try:
            one = host.companion.library.plan(entry.path).pattern.threads
        except (DocumentError, Fault):
            continue
        names.add(one.name)
        if one.diameter_mm is not None and one.name != now.name:
            thread = TakeThread(name=one.name, diameter_mm=one.diameter_mm, tex=one.tex)
            known[one.name, one.diameter_mm] = thread
    choices = [
        Choice(key, f"{thread.name}, {thread.diameter_mm:g} mm", take(thread))
        for key, thread in zip(KEYS[:MOST], known.values(), strict=False)
    ]
    choices.append(Choice("t", "another one, typed", lambda: host.ask(_question(take, names))))
    host.to_mode(Choosing(host, f"THE THREAD, now {thread_said(now)}", choices))


def _question(take: Callable[[TakeThread], Callable[[], None]], names: Collection[str]) -> Question:
    def look(text: str) -> str:
        try:
            typed_thread(text, names)
        except Fault as fault:
            return str(fault)
        return ""

    return Question(
        "Which thread? Its name and its mm, as bead cord tex 210 0.5 mm:",
        look,
        lambda text: take(typed_thread(text, names))(),
    )
