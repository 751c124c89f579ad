"""Loading a piece strand by strand: where the maker stands, what comes next, what is proved.

Nothing is kept here: the counts on the strands and the proved strands come from the journal, so
loading can be left at any moment and taken up again.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.half_proof import HalfProof, prove_all
from bench.craft.stringing import Half, StrungThread, string_up
from bench.documents.settings import Settings
from bench.journal.errors import NotSaved
from bench.journal.events import Entry, new_id
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

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
        threads: Sequence[StrungThread],
        provings: Sequence[HalfProof],
        on: Mapping[int, int] | None = None,
        proved: Collection[int] = (),
    ) -> None:
        self.threads = tuple(t for t in threads if any(half.total for half in t.halves))
        self.proving = {proving.strand: proving for proving in provings}
        self._on = dict(on or {})
        self._proved = set(proved)

    @property
    def at(self) -> tuple[StrungThread, Half]:
        """The thread and half in hand; the last ones when all is done. IndexError without beads."""
        return self._now()[:2]

    @property
    def moment(self) -> Moment:
        """Whether beads are to be put on, a load is to be proved, or all is done."""
        return self._now()[2]

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

    def thread_done(self, thread: StrungThread) -> bool:
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

    def lies_behind(self, half: Half) -> bool:
        """Whether a half's last group lies behind beads of the other half, strung over it."""
        thread = next(t for t in self.threads if half in t.halves)
        return half.side == "far" and any(
            self.held(other) for other in thread.halves if other is not half
        )

    def take_off(self, strand: int | None = None) -> tuple[int, int] | None:
        """Count the last group of a strand as off again; return the strand and what it holds then.

        Without a strand it is that in hand, or where that is empty the one strung before it.
        None if nothing is on, or if the other half's beads have to come off before.
        """
        half = self._half(strand) if strand is not None else self._last_strung()
        if half is None or not self.held(half) or self.lies_behind(half):
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

    def _set(self, strand: int, beads: int) -> None:
        self._on[strand] = beads
        self._proved.discard(strand)

    def _now(self) -> tuple[StrungThread, Half, Moment]:
        for thread in self.threads:
            for half in thread.halves:
                if self.held(half) < half.total:
                    return thread, half, "string"
                if self._unproved(half) and self.proving[half.strand].how != "side by side":
                    return thread, half, "prove"
            for half in thread.halves:
                if self._unproved(half):
                    return thread, half, "prove"
        return self.threads[-1], self.threads[-1].halves[-1], "done"

    def _unproved(self, half: Half) -> bool:
        return half.total > 0 and half.strand not in self._proved

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
        """The half strung last, from that in hand backwards."""
        halves = [half for thread in self.threads for half in thread.halves]
        here = self.to_prove[-1] if self.to_prove else self.at[1]
        before = halves[: halves.index(here) + 1]
        return next((half for half in reversed(before) if self.held(half)), None)


def loading_of(made: WorkedPattern, braid: Braid, settings: Settings) -> Loading:
    """Take up the loading of a piece as the journal knows it."""
    threads = string_up(made.plan)
    provings = prove_all(threads, made.sizes, made.masses, settings.stand.scale_g)
    state = braid.state
    return Loading(threads, provings, dict(state.loaded), state.proved)


@dataclass(frozen=True, slots=True)
class Tag:
    """What is written on a loaded set: its number on this bench, and its place in a batch."""

    number: int
    place: int = 1
    sets: int = 1

    @classmethod
    def read(cls, text: str | None) -> Tag | None:
        """Read a tag that `str` wrote; None for anything else."""
        found = _TAG.fullmatch(text or "")
        if found is None:
            return None
        number, place, sets = (int(part) if part else 1 for part in found.groups())
        return cls(number, place, sets)

    @property
    def following(self) -> Tag | None:
        """The tag of the set after this one; None for the last of a batch."""
        if self.place >= self.sets:
            return None
        return Tag(self.number + 1, self.place + 1, self.sets)

    @property
    def last_number(self) -> int:
        """The number that the last set of the batch has or will have."""
        return self.number - self.place + self.sets

    def __str__(self) -> str:
        return f"set {self.number}" + (f", {self.place} of {self.sets}" if self.sets > 1 else "")


def tags_of(journal: Journal) -> list[Tag]:
    """The tags of all sets that this journal knows, as they came; a maker's own are left out."""
    tags = (Tag.read(str(event.payload["tag"])) for event in journal.events(kind="set_tagged"))
    return [tag for tag in tags if tag is not None]


def tag_first(braid: Braid, sets: int) -> Tag:
    """Tag a piece as the first of a batch of so many sets; their numbers are kept free for them.

    Raises ValueError for no set or too many.
    """
    if not 1 <= sets <= MOST_SETS:
        raise ValueError(f"a batch has 1 to {MOST_SETS} sets, not {sets}")
    taken = max((tag.last_number for tag in tags_of(braid.journal)), default=0)
    tag = Tag(taken + 1, 1, sets)
    braid.record("set_tagged", {"tag": str(tag)})
    return tag


def set_to_come(braid: Braid) -> Tag | None:
    """The tag of the set to load after this one; None if there is none or it is begun already."""
    tag = Tag.read(braid.state.tag)
    following = None if tag is None else tag.following
    if following is None or following in tags_of(braid.journal):
        return None
    return following


def next_set(braid: Braid, title: str) -> Braid:
    """Start the next piece of a batch, with the same frozen pattern, at its loading.

    Raises ValueError if the batch has no further set to begin.
    """
    tag = set_to_come(braid)
    if tag is None:
        raise ValueError("the batch has no further set")
    piece, lot = new_id(), braid.started.lot
    trouble = ""
    try:
        braid.journal.append_many(
            [
                Entry("piece_started", {**braid.started.payload, "title": title}, piece, lot),
                Entry("set_tagged", {"tag": str(tag)}, piece, lot),
                Entry("stage_started", {"stage": "load"}, piece, lot),
            ]
        )
    except NotSaved as error:
        trouble = str(error)
    begun = Braid(braid.journal, piece)
    begun.trouble = trouble
    return begun


def short_tag(tag: str) -> str:
    """What the tags of a set and its ends bear of the set's tag: its number alone, 'set 3'."""
    read = Tag.read(tag)
    return tag if read is None else str(Tag(read.number))


def end_tag(tag: str, thread: StrungThread, half: Half) -> str:
    """What to write on the tag of one end: set, thread and strand."""
    return f"{short_tag(tag)}, thread {thread.number}, end {half.strand}"


def set_tag(tag: str, title: str) -> str:
    """What to write on the tag that holds a whole set together: its number and what it becomes."""
    return f"{short_tag(tag)}, {title}"
