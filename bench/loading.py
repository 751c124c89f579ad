"""Loading a piece strand by strand: where the maker stands, what comes next, what is proved.

Nothing is kept here: the counts on the strands and the proved strands come from the journal, so
loading can be left at any moment and taken up again.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.proving import Proving, prove_all
from bench.craft.stringing import Half, Strung, string_up
from bench.journal.events import Entry
from bench.journal.state import PieceState
from bench.measured import WeighedBeads
from bench.prepare import bead_masses
from bench.settings import Settings
from bench.workup import Workup

Moment = Literal["string", "prove", "done"]
MOST_SETS = 20
"""Sets that are loaded in one batch at most."""

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

    @classmethod
    def of(
        cls,
        made: Workup,
        settings: Settings,
        state: PieceState | None = None,
        also_weighed: Sequence[WeighedBeads] = (),
    ) -> Loading:
        """The loading of a pattern worked up, taken up where the piece's state has left it."""
        threads = string_up(made.plan)
        masses = bead_masses(made, also_weighed)
        provings = prove_all(threads, made.sizes, masses, settings.stand.scale_g)
        if state is None:
            return cls(threads, provings)
        return cls(threads, provings, dict(state.loaded), state.proved)

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
        else:
            self._proved.difference_update(strands)
        return strands

    def goes_to(self, places: Sequence[str]) -> str:
        """Where the end in hand goes, in words, and where the thread's other end goes."""
        thread, half = self.at
        said = f"this end goes to {places[half.strand - 1]}"
        other = next((h for h in thread.halves if h is not half), None)
        return said if other is None else f"{said}; its other end to {places[other.strand - 1]}"

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


class Batch:
    """Several sets of one pattern loaded one after the other, each a piece of its own.

    The pieces share the stage's beginning and end, each with its part; every bead, proof and tag
    is one piece's alone.
    """

    def __init__(self, sets: Sequence[tuple[str, Loading]], lot: str | None = None) -> None:
        """Take (piece, loading) of every set. Raises ValueError for none or too many."""
        if not 1 <= len(sets) <= MOST_SETS:
            raise ValueError(f"a batch has 1 to {MOST_SETS} sets, not {len(sets)}")
        self.sets = tuple(sets)
        self.lot = lot

    @property
    def at(self) -> tuple[str, Loading]:
        """The set in hand: the first that is not done, else the last."""
        waiting = (one for one in self.sets if one[1].moment != "done")
        return next(waiting, self.sets[-1])

    @property
    def number(self) -> int:
        """Which set of the batch is in hand, from 1."""
        return self.sets.index(self.at) + 1

    @property
    def done(self) -> bool:
        """Whether every set is full and proved."""
        return all(loading.moment == "done" for _, loading in self.sets)

    def begin(self, first_set: int) -> list[Entry]:
        """The entries that begin the batch: the stage for all pieces, and a tag for each."""
        tags = tags_of(first_set, len(self.sets))
        return [
            self._shared("stage_started"),
            *(
                Entry("set_tagged", {"tag": tag}, piece, self.lot)
                for (piece, _), tag in zip(self.sets, tags, strict=True)
            ),
        ]

    def end(self) -> list[Entry]:
        """The entry that ends the stage for all pieces."""
        return [self._shared("stage_ended")]

    def put_on(self) -> list[Entry]:
        """Count the next group as on. Raises ValueError if the half in hand is full."""
        piece, loading = self.at
        return [self._loaded(piece, loading.put_on())]

    def take_off(self, strand: int | None = None) -> list[Entry]:
        """Count the last group as off again; no entry if nothing is on."""
        piece, loading = self.at
        off = loading.take_off(strand)
        return [self._loaded(piece, off)] if off is not None else []

    def prove(self, *, right: bool) -> list[Entry]:
        """Count what is to be proved now as right or wrong."""
        piece, loading = self.at
        return [
            Entry(
                "proved",
                {"strand": strand, "how": loading.proving[strand].how, "right": right},
                piece,
                self.lot,
            )
            for strand in loading.prove(right=right)
        ]

    def _loaded(self, piece: str, held: tuple[int, int]) -> Entry:
        return Entry("loaded", {"strand": held[0], "beads": held[1]}, piece, self.lot)

    def _shared(self, kind: str) -> Entry:
        share = 1 / len(self.sets)
        pieces = tuple((piece, share) for piece, _ in self.sets)
        return Entry(kind, {"stage": "load"}, pieces, self.lot)


def tags_of(first: int, count: int) -> list[str]:
    """The tags of a batch's sets: `set 7, 1 of 3`; a set alone is `set 7`."""
    if count == 1:
        return [f"set {first}"]
    return [f"set {first + i}, {i + 1} of {count}" for i in range(count)]


def next_set(tags: Iterable[str | None]) -> int:
    """The first number of a set that no tag bears yet."""
    taken = (_TAG.fullmatch(tag) for tag in tags if tag is not None)
    return max((int(match[1]) for match in taken if match is not None), default=0) + 1


def end_tag(tag: str, title: str, thread: Strung, half: Half) -> str:
    """What to write on the tag of one end: set, pattern, thread and strand."""
    return f"{tag}: {title}, thread {thread.number}, end {half.strand}"
