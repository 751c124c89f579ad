"""Why pieces came out as seconds or were given up: the reasons to choose from, each at its key."""

from __future__ import annotations

from bench.journal import payloads as p
from bench.journal.errors import JournalError
from bench.journal.inspection_payloads import Inspected
from bench.journal.store import Journal

FIRST = ("a bead too few", "a wrong bead", "a soft belly", "glue bloom", "a frayed thread")
"""What is offered before the maker has said anything; common practice, no source."""
FROM_THE_LIST, AT_THE_END = "from the list", "at the end"
"""What is written down where no reason was said."""
NOTHING_DONE = "nothing was counted"
"""Why a piece was given up that was only looked at."""
NO_REASON = "no reason said"
"""What is written down of a piece that did not come out well, where none was said."""
UNSAID = {FROM_THE_LIST, AT_THE_END, NOTHING_DONE, NO_REASON}
MOST = 9
"""As many as there are keys for."""


def reasons_of(journal: Journal | None) -> tuple[str, ...]:
    """The reasons to choose from, each at the place, and so the key, that it always had.

    The maker's own come after those offered at first, in the order in which they were first said.
    Where there is no key left, a new one takes that of a reason offered at first and never said.
    """
    slots = list(FIRST)
    said = dict.fromkeys(_said(journal))
    for number, reason in enumerate(said):
        if reason in slots:
            continue
        if len(slots) < MOST:
            slots.append(reason)
            continue
        unused = [slot for slot in slots if slot not in list(said)[:number]]
        if unused:
            slots[slots.index(unused[-1])] = reason
    return tuple(slots)


def _said(journal: Journal | None) -> list[str]:
    """The reasons that were said, in the order in which they came into the journal."""
    if journal is None:
        return []
    try:
        came = journal.came((p.Finished, p.GivenUp, Inspected))
    except JournalError:
        return []
    reasons = [
        event.payload.reason
        for event in came
        if isinstance(event.payload, p.Finished | p.GivenUp | Inspected)
    ]
    return [reason for reason in reasons if reason and reason not in UNSAID]
