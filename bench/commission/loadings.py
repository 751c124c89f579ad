"""What pieces were loaded from, read once for each piece and kept while nothing is done to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bench.commission.tubes import Draw, draws_of
from bench.journal.events import Event
from bench.journal.payloads import Loaded
from bench.journal.piece_state import GIVEN_UP, PieceState
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeDrawn

_KINDS = (Loaded, TubeDrawn)
FEW = 30
"""So many pieces are read one by one; more of them in one go through all loadings."""


@dataclass(frozen=True, slots=True)
class Loading:
    """What a piece drew, and the tubes that its loadings name, the one named last behind.

    state: how the piece stands.
    """

    state: PieceState
    draws: tuple[Draw, ...]
    tubes: tuple[str, ...]


_kept: dict[str, Loading] = {}
"""By the piece; it holds while the piece's mark is the same, which each of its events changes."""


def read_loadings(journal: Journal) -> Iterator[Loading]:
    """Read the loadings of every piece, in the order in which the pieces came."""
    states = journal.pieces(open_only=False)
    new = [state for state in states if not _is_known(state)]
    events = _together(journal) if len(new) > FEW else {}
    for state in states:
        if not _is_known(state):
            own = events.get(state.uuid, [])
            # Those of one bench came in their order; a piece carried on elsewhere has to be sorted.
            if len(new) <= FEW or len({event.bench for event in own}) > 1:
                own = [e for e in journal.events(state.uuid) if isinstance(e.payload, _KINDS)]
            _kept[state.uuid] = _read(state, own)
        yield replace(_kept[state.uuid], state=state)


def _is_known(state: PieceState) -> bool:
    known = _kept.get(state.uuid)
    return known is not None and known.state.mark == state.mark


def _together(journal: Journal) -> dict[str, list[Event]]:
    found: dict[str, list[Event]] = {}
    for event in journal.came(_KINDS):
        for piece, _ in event.pieces:
            found.setdefault(piece, []).append(event)
    return found


def _unused(state: PieceState) -> tuple[str, ...]:
    """What a piece that was given up has not used of what was laid out for it.

    End beads and caps go on when its ends are dressed, core beads when it is set up; its thread is
    cut.
    """
    if state.status != GIVEN_UP or state.made:
        return ()
    return ("notion",) if state.set_up_steps else ("notion", "core")


def _read(state: PieceState, events: Sequence[Event]) -> Loading:
    unused = _unused(state)
    events = [
        e for e in events if not (isinstance(e.payload, TubeDrawn) and e.payload.part in unused)
    ]
    tubes: dict[str, None] = {}
    for event in events:
        said = event.payload
        if isinstance(said, Loaded | TubeDrawn) and said.tube is not None:
            tubes.pop(said.tube, None)
            tubes[said.tube] = None
    return Loading(state, tuple(draws_of(events)) if tubes else (), tuple(tubes))
