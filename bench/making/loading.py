"""Loading a piece strand by strand: where the maker stands, what comes next, what is proved.

Nothing is kept here: the counts on the strands and the proved strands come from the journal, so
loading can be left at any moment and taken up again.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.half_proof import HalfProof, prove_all
from bench.craft.stringing import Half, StrungThread, string_up
from bench.documents.settings import Settings
from bench.journal.payloads import SetTagged, TagUndone
from bench.journal.piece_state import PieceState
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

Task = Literal["string", "prove", "done"]
"""Beads are to be put on, a load is to be proved, or all is done."""
MOST_SETS = 20
"""Sets that are loaded in one batch at most."""


@dataclass(frozen=True, slots=True)
class NextBeads:
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
    def task(self) -> Task:
        """Whether beads are to be put on, a load is to be proved, or all is done."""
        return self._now()[2]

    @property
    def next(self) -> NextBeads | None:
        """The beads to put on now; None if the half in hand is full."""
        return self._after(self.held(self.at[1]))

    @property
    def then(self) -> NextBeads | None:
        """The beads after those; None if the half is full with them."""
        now = self.next
        return None if now is None else self._after(now.on)

    @property
    def to_prove(self) -> tuple[Half, ...]:
        """The halves that are proved together now: both of a thread where they lie side by side."""
        if self.task != "prove":
            return ()
        thread, half = self.at
        if self.proving[half.strand].how == "side by side":
            return thread.halves
        return (half,)

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

    def _now(self) -> tuple[StrungThread, Half, Task]:
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

    def _after(self, held: int) -> NextBeads | None:
        for group in self.at[1].string:
            if group.on > held:
                return NextBeads(group.bead, group.on - held, group.on)
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
    return Loading(
        threads, provings, {there.strand: there.beads for there in state.loaded}, state.proved
    )


def tag_first(braid: Braid, sets: int) -> SetTagged:
    """Tag a piece as the first of a batch of so many sets; their numbers are kept free for them.

    Raises ValueError for no set or too many.
    """
    if not 1 <= sets <= MOST_SETS:
        raise ValueError(f"a batch has 1 to {MOST_SETS} sets, not {sets}")
    journal = braid.journal
    untagged = {
        event.piece
        for event, _ in journal.each(TagUndone)
        if journal.state(event.piece).batch is None
    }
    # The number that the last set of each batch has, or will have.
    taken = (
        tag.number - tag.place + tag.sets
        for event, tag in journal.each(SetTagged)
        if event.piece not in untagged
    )
    tag = SetTagged(max(taken, default=0) + 1, 1, sets)
    braid.tag_set(tag)
    return tag


def set_to_come(braid: Braid) -> SetTagged | None:
    """The tag of the set to load after this one; None if there is none or it is begun already."""
    tag = braid.state.batch
    if tag is None or tag.place >= tag.sets:
        return None
    following = SetTagged(tag.number + 1, tag.place + 1, tag.sets)
    begun = any(said == following for _, said in braid.journal.each(SetTagged))
    return None if begun else following


def next_set(braid: Braid, number: int | None) -> Braid:
    """Start the next piece of a batch, with the same frozen pattern, at its loading.

    `number`: its number in the lot, None outside one. Raises ValueError if the batch has no further
    set to begin.
    """
    tag = set_to_come(braid)
    if tag is None:
        raise ValueError("the batch has no further set")
    return braid.start_another(tag, number)


def short_tag(state: PieceState) -> str:
    """What the tags of a set and its ends bear: its number alone, 'set 3'."""
    return "this set" if state.batch is None else f"set {state.batch.number}"


def end_tag(state: PieceState, thread: StrungThread, half: Half) -> str:
    """What to write on the tag of one end: set, thread and strand."""
    return f"{short_tag(state)}, thread {thread.number}, place {half.strand}"


def set_tag(state: PieceState) -> str:
    """What to write on the tag that holds a whole set together: its number and what it becomes."""
    return ", ".join((short_tag(state), state.title, *state.kind_words))
