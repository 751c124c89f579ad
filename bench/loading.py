"""Loading a piece strand by strand: where the maker stands, what comes next, what is proved.

Nothing is kept here: the counts on the strands and the proved strands come from the journal, so
loading can be left at any moment and taken up again.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.proving import Proving
from bench.craft.stringing import Half, Strung

Moment = Literal["string", "prove", "done"]
MOST_SETS = 20
_TAG = re.compile(r"set (\d+)(?:, (\d+) of (\d+))?")


@dataclass(frozen=True, slots=True)
class Next:
    """The beads to put on now: which, how many of them, and how many the half then holds."""

    bead: str
    count: int
    on: int


class Loading:
    """The loading of one piece.

    `threads` as they are strung, `provings` of every half in the same order; `on` is how many
    beads each strand holds, `proved` the strands whose load was found right.
    """

    def __init__(
        self,
        threads: Sequence[Strung],
        provings: Sequence[Proving],
        on: Mapping[int, int] | None = None,
        proved: Collection[int] = (),
    ) -> None:
        self.threads = tuple(t for t in threads if any(half.total for half in t.halves))
        self.proving = {proving.strand: proving for proving in provings}
        self._on = dict(on or {})
        self._proved = set(proved)
        self._mending: int | None = None

    @property
    def at(self) -> tuple[Strung, Half]:
        """The thread and half in hand; the last ones when all is done. IndexError without beads."""
        for thread in self.threads:
            for half in self._waiting(thread):
                return thread, half
        return self.threads[-1], self.threads[-1].halves[-1]

    @property
    def moment(self) -> Moment:
        """Whether beads are to be put on, a load is to be proved, or all is done."""
        for thread in self.threads:
            for half in self._waiting(thread):
                return "prove" if self.held(half) >= half.total else "string"
        return "done"

    @property
    def next(self) -> Next | None:
        """The beads to put on now; None if the half in hand is full."""
        return self._after(self.held(self.at[1]))

    @property
    def then(self) -> Next | None:
        """The beads after those; None if the half is full with them."""
        now = self.next
        return None if now is None else self._after(now.on)

    @property
    def to_prove(self) -> tuple[Half, ...]:
        """The halves that are proved together now: both of a thread where they lie side by side."""
        if self.moment != "prove":
            return ()
        thread, half = self.at
        if self.proving[half.strand].how == "side by side":
            return thread.halves
        return (half,)

    @property
    def threads_done(self) -> int:
        """How many threads are full and proved."""
        return sum(self.thread_done(thread) for thread in self.threads)

    def thread_done(self, thread: Strung) -> bool:
        """Whether every half of a thread is full and proved."""
        return all(
            self.held(half) >= half.total and half.strand in self._proved
            for half in thread.halves
            if half.total
        )

    @property
    def beads_on(self) -> int:
        """Beads on all threads together."""
        return sum(self.held(half) for thread in self.threads for half in thread.halves)

    @property
    def beads_in_all(self) -> int:
        """Beads that all threads hold when they are full."""
        return sum(half.total for thread in self.threads for half in thread.halves)

    def held(self, half: Half) -> int:
        """Beads that a half holds now."""
        return min(self._on.get(half.strand, 0), half.total)

    def proved(self, half: Half) -> bool:
        """Whether a half was found right."""
        return half.strand in self._proved

    def put_on(self) -> tuple[int, int]:
        """Count the next group as on; return the strand and what it holds then.

        Raises ValueError if the half in hand is full.
        """
        now = self.next
        if now is None:
            raise ValueError("the half is full")
        strand = self.at[1].strand
        self._set(strand, now.on)
        return strand, now.on

    def take_off(self, strand: int | None = None) -> tuple[int, int] | None:
        """Count the last group of a strand as off again; return the strand and what it holds then.

        Without a strand it is that in hand, or where that is empty the one strung before it.
        None if nothing is on.
        """
        half = self._half(strand) if strand is not None else self._last_strung()
        if half is None or not self.held(half):
            return None
        held = self.held(half)
        below = max((g.on for g in half.string if g.on < held), default=0)
        self._set(half.strand, below)
        return half.strand, below

    def prove(self, *, right: bool) -> tuple[int, ...]:
        """Count what is to be proved as right or wrong; return its strands."""
        strands = tuple(half.strand for half in self.to_prove if half.total)
        if right:
            self._proved.update(strands)
            self._mending = None
        return strands

    def _set(self, strand: int, beads: int) -> None:
        self._on[strand] = beads
        self._proved.discard(strand)

    def _waiting(self, thread: Strung) -> list[Half]:
        """The halves of a thread that are not done: those not full first, then those to prove."""
        open_ = [h for h in thread.halves if h.total and self.held(h) < h.total]
        if open_:
            alone = [h for h in thread.halves if self._alone(h) and h not in open_]
            before = thread.halves.index(open_[0])
            return [h for h in alone if thread.halves.index(h) < before] + open_
        return [h for h in thread.halves if h.total and h.strand not in self._proved]

    def _alone(self, half: Half) -> bool:
        """Whether a full half is to be proved by itself, before the next one is strung."""
        return (
            half.total > 0
            and half.strand not in self._proved
            and self.proving[half.strand].how != "side by side"
        )

    def _after(self, held: int) -> Next | None:
        for group in self.at[1].string:
            if group.on > held:
                return Next(group.bead, group.on - held, group.on)
        return None

    def _half(self, strand: int) -> Half | None:
        return next(
            (h for thread in self.threads for h in thread.halves if h.strand == strand), None
        )

    def _last_strung(self) -> Half | None:
        """The half in hand, or the nearest one strung before it that holds beads."""
        halves = [half for thread in self.threads for half in thread.halves]
        place = halves.index(self.at[1])
        return next((h for h in reversed(halves[: place + 1]) if self.held(h)), None)
