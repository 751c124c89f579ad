"""Another thread: one that the maker's patterns are braided with, or one that is typed."""

from __future__ import annotations

import re
from collections.abc import Callable

from bench.craft.pattern import Threads
from bench.craft.text import Fault, plain
from bench.design.board_operations import TakeThread
from bench.documents.errors import DocumentError
from bench.screens.drawing.bead_choices import KEYS
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question

TYPED = re.compile(r"(?P<name>.{1,60}?)\s+(?P<mm>\d{1,2}(?:[.,]\d{1,3})?)\s*(?:mm)?")
TEX = re.compile(r"\btex\s*(\d{1,4})\b")
EXPECTED = "type its name and how thick it is, as bead cord tex 210 0.5 mm"
MOST = 9


def thread_said(threads: Threads) -> str:
    """A thread in words: its name, and its thickness where the name does not say it."""
    mm = threads.diameter_mm
    return threads.name if mm is None or f"{mm:g}" in threads.name else f"{threads.name}, {mm:g} mm"


def typed_thread(text: str) -> TakeThread:
    """The thread that a line names. Raises Fault with what is expected."""
    found = TYPED.fullmatch(plain(text).strip())
    mm = float(found["mm"].replace(",", ".")) if found is not None else 0.0
    if found is None or not 0 < mm <= 10:
        raise Fault(EXPECTED)
    tex = TEX.search(text)
    return TakeThread(
        name=found["name"], diameter_mm=mm, tex=None if tex is None else float(tex[1])
    )


def thread_choices(host: BoardHost) -> None:
    """Choose the thread, of those that the patterns at hand are braided with."""
    drawing = host.drawing
    now = drawing.draft.sheet.pattern.threads

    def take(thread: TakeThread) -> Callable[[], None]:
        def do() -> None:
            if drawing.do(thread):
                drawing.said = f"The thread is {thread.name} now; the findings follow."

        return do

    known: dict[tuple[str, float], TakeThread] = {}
    for entry in host.companion.library.patterns():
        try:
            one = host.companion.library.plan(entry.path).pattern.threads
        except (DocumentError, Fault):
            continue
        if one.diameter_mm is not None and one.name != now.name:
            thread = TakeThread(name=one.name, diameter_mm=one.diameter_mm, tex=one.tex)
            known[one.name, one.diameter_mm] = thread
    choices = [
        Choice(key, f"{thread.name}, {thread.diameter_mm:g} mm", take(thread))
        for key, thread in zip(KEYS[:MOST], known.values(), strict=False)
    ]
    choices.append(Choice("t", "another one, typed", lambda: host.ask(_question(take))))
    host.to_mode(Choosing(host, f"THE THREAD, now {thread_said(now)}", choices))


def _question(take: Callable[[TakeThread], Callable[[], None]]) -> Question:
    def look(text: str) -> str:
        try:
            typed_thread(text)
        except Fault as fault:
            return str(fault)
        return ""

    return Question(
        "Which thread? Its name and its mm, as bead cord tex 210 0.5 mm:",
        look,
        lambda text: take(typed_thread(text))(),
    )
