"""Why pieces came out as seconds or were given up: the maker's own reasons, the commonest first."""

from __future__ import annotations

from collections import Counter

from bench.journal import payloads as p
from bench.journal.errors import JournalError
from bench.journal.store import Journal

FIRST = ("a bead too few", "a wrong bead", "a soft belly", "glue bloom", "a frayed thread")
"""What is offered before the maker has said anything; common practice, no source."""
FROM_THE_LIST, AT_THE_END = "from the list", "at the end"
"""What is written down where no reason was said."""
NOTHING_DONE = "nothing was counted"
"""Why a piece was given up that was only looked at."""
UNSAID = {FROM_THE_LIST, AT_THE_END, NOTHING_DONE}
MOST = 9
"""As many as there are keys for."""


def reasons_of(journal: Journal | None) -> tuple[str, ...]:
    """The maker's own reasons, the commonest first, filled up with those offered at first."""
    said: Counter[str] = Counter()
    try:
        if journal is not None:
            for _, ended in journal.each(p.Finished):
                said.update(filter(None, [ended.reason]))
            said.update(ended.reason for _, ended in journal.each(p.GivenUp))
    except JournalError:
        said.clear()
    own = [reason for reason, _ in said.most_common() if reason not in UNSAID]
    return tuple(dict.fromkeys((*own, *FIRST)))[:MOST]
