"""Writes events into the journal, or leaves them to the program that holds it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.journal.errors import Locked
    from bench.journal.events import Entry

HOLDER_S = 5.0
"""How long the program that holds the journal is given to take in what was left for it."""


def write_down(session: Session, entries: Sequence[Entry]) -> bool:
    """Write events; return whether they wait for another program to let go of the journal.

    Raises Fault if that program refuses them, JournalError if they cannot be written.
    """
    from bench.journal.errors import Locked

    if not entries:
        return False
    try:
        with session.writing() as journal:
            journal.append_many(entries)
    except Locked as locked:
        return _left_for_holder(session, entries, locked)
    return False


def _left_for_holder(session: Session, entries: Sequence[Entry], locked: Locked) -> bool:
    from bench.craft.text import Fault
    from bench.journal.inbox import came_of, leave

    try:
        left = leave(session.home, entries)
    except OSError:
        raise locked from None
    refused = came_of(left, HOLDER_S)
    if refused:
        raise Fault(f"the braid-bench that is open refused it: {refused}")
    if refused is None:
        session.warnings.append(f"{locked} What you recorded waits in {left.parent} until then.")
    else:
        session.warnings.append("the braid-bench that is open has taken it in")
    return refused is None
