"""What times of a pattern can be: held against its documents, its counts and the built-in guess."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from bench.craft.stages import HANDS_ON
from bench.craft.text import Fault
from bench.craft.words import STAGES_DOING
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.limits import wrong_time
from bench.journal.piece_state import PieceState
from bench.journal.typed_json import shown
from bench.pace.guess import guess
from bench.pace.records import Work
from bench.timing.piece_records import named_work

FAR = 20.0
"""So many times the guess, or as small a part of it, no maker takes; no source."""
MOST_CROSSES = 2.0
"""So many times its pattern's crosses no piece has; the pattern may have been changed since."""


def work_words(stage: str | None) -> str:
    """What a time is for: a stage as what is being done, or with None the whole piece."""
    return "a whole piece" if stage is None else STAGES_DOING[stage]


def usual_s(work: Work, stage: str | None, crosses: int | None = None) -> tuple[float, float]:
    """Fewest and most seconds that a stage can take, or with None the whole piece.

    `crosses`: of a braid, where not all were made.
    """
    guessed = guess(work)
    usual = sum(guessed[s] for s in HANDS_ON if stage in (None, s))
    if stage == "braid" and crosses is not None:
        usual *= min(1.0, crosses / work.crosses)
    return usual / FAR, usual * FAR


@dataclass
class _Known:
    """What a pattern's name may come with. `work` is None where its document cannot be read."""

    work: Work | None = None
    sizes: set[str] = field(default_factory=set)
    colourways: set[str] = field(default_factory=set)


class TimeCheck:
    """The patterns that times can belong to: the library's, and those of pieces made before."""

    def __init__(self, library: Library, pieces: Iterable[PieceState] = ()) -> None:
        self._known: dict[str, _Known] = {}
        for state in pieces:
            known = self._known.setdefault(state.pattern_name, _Known())
            known.sizes.update(filter(None, (state.size,)))
            known.colourways.update(filter(None, (state.colourway,)))
        for entry in library.patterns():
            known = self._known.setdefault(entry.name, _Known())
            known.work = named_work(library, entry.name)
            try:
                document = library.plan(entry.path).pattern
            except (DocumentError, Fault):
                continue
            known.sizes |= set(document.sizes)
            known.colourways |= set(document.colourways)

    def wrong(
        self,
        pattern: str,
        size: str | None,
        colourway: str | None,
        stage: str | None,
        hands_on_s: float,
        crosses: int | None = None,
    ) -> str:
        """Say what is wrong with a time, and what is right; "" if nothing is."""
        known = self._known.get(pattern)
        if known is None:
            return f"There is no pattern {shown(pattern)} here: see its file's name."
        for what, name, names in (
            ("size", size, known.sizes),
            ("colourway", colourway, known.colourways),
        ):
            if name is not None and name not in names:
                there = ", ".join(sorted(names)) or "none, so leave it empty"
                return f"{shown(pattern)} has no {what} {shown(name)}; known: {there}."
        if known.work is None:
            return ""
        return self._wrong_time(pattern, known.work, stage, hands_on_s, crosses)

    def _wrong_time(
        self, pattern: str, work: Work, stage: str | None, hands_on_s: float, crosses: int | None
    ) -> str:
        if crosses is not None and crosses > MOST_CROSSES * work.crosses:
            return f"crosses is {crosses:,}: {shown(pattern)} has {work.crosses:,}."
        if stage == "load" and not work.beads:
            return f"{shown(pattern)} has no beads, so nothing of it is loaded."
        if wrong := wrong_time(stage, hands_on_s, crosses or work.crosses):
            return wrong
        least, most = usual_s(work, stage, crosses)
        if least <= hands_on_s <= most:
            return ""
        return (
            f"hands_on_s is {hands_on_s:g}: {work_words(stage)} of {shown(pattern)}"
            f" takes {least:,.0f} s to {most:,.0f} s."
        )
