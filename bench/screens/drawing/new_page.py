"""The first page of a new pattern: the structure that it is braided on."""

from __future__ import annotations

from collections.abc import Callable

from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.draft import Draft, begun
from bench.screens.drawing.host import BoardHost

USUAL = "kongo-8"


def structure_choices(host: BoardHost) -> None:
    """Choose the structure of a pattern on which nothing is laid yet."""
    draft, library = host.drawing.draft, host.companion.library
    if draft.history.done or draft.name or draft.text:
        key = host.drawing.key("new")
        host.drawing.said = f"The structure is chosen before the first bead: {key} on the list."
        return
    names = [entry.name for entry in library.structures()]
    names.sort(key=lambda name: (name != USUAL, name))

    def take(name: str) -> Callable[[], None]:
        def do() -> None:
            try:
                made = begun(library, name)
            except (DocumentError, Fault) as error:
                host.drawing.said = str(error)
                return
            _begin_anew(host, made)

        return do

    choices = []
    for key, name in zip("123456789", names, strict=False):
        try:
            structure = library.structure(name)
        except (DocumentError, Fault):
            continue
        chart = "" if structure.columns else ": a chart"
        choices.append(Choice(key, f"{name}{chart}", take(name)))
    host.to_mode(Choosing(host, "BRAIDED ON (ESC for the first one)", choices))


def _begin_anew(host: BoardHost, draft: Draft) -> None:
    drawing = host.drawing
    drawing.draft.rest()
    drawing.draft, drawing.stripe, drawing.row = draft, 0, 1
    drawing.chosen, drawing.worked = (), None
    drawing.reach_all()
