"""The counts that one program has shown, one after the other, held against those on disk.

What was shown must be on disk in that order; the screen may be late, and leave counts out, so it is
enough that the counts shown are found among those on disk, each behind the one before it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from bench.journal.events import Event

AT_THE_BRAID = "cross laid down"
"""What the foot of a page says on which a key counts; others name counts that may be."""
_COUNT = re.compile(r"(?:after )?cross (\d+) of (\d+)")


class Shown:
    """What a program has shown since its piece was opened: crosses made, with those in all."""

    def __init__(self) -> None:
        self.counts: list[tuple[int, int]] = []

    def look(self, text: str) -> None:
        """Note the count on a screen, if it is of a page on which a key counts."""
        found = _COUNT.search(text) if AT_THE_BRAID in text else None
        if found is None or found[0].startswith("after"):
            return
        count = int(found[1]) - 1, int(found[2])
        if [count] != self.counts[-1:]:
            self.counts.append(count)

    def not_on_disk(
        self, events: Sequence[Event], before: int, crosses_of: Callable[[Event], int]
    ) -> list[str]:
        """Say which counts are not on disk; `before`: how many events there were at the opening."""
        crosses: dict[str, int] = {}
        made: dict[str, list[int]] = {}
        for number, event in enumerate(events):
            if event.kind == "piece_started":
                crosses[event.piece], made[event.piece] = crosses_of(event), [0]
            elif "to" in event.values:
                count = int(str(event.values["to"]))
                made[event.piece] = [*(made[event.piece] if number >= before else ()), count]
        wrong = []
        # A number of which half is painted yet names a length that no piece has.
        for length in {length for _, length in self.counts} & set(crosses.values()):
            shown = [count for count, of in self.counts if of == length]
            pieces = [made[piece] for piece, its in crosses.items() if its == length]
            if not any(_in_order(shown, counts) for counts in pieces):
                wrong.append(f"shown one after the other {shown} of {length}, on disk {pieces}")
        return wrong


def _in_order(some: Iterable[int], all_of_them: Iterable[int]) -> bool:
    """Whether numbers stand among others in this order, with any between them."""
    left = iter(all_of_them)
    return all(any(number == other for other in left) for number in some)
