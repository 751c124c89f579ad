"""Stringing: in which order the beads go on each half of a thread, and where the clip sits.

A load lists beads in order of release: the first one is nearest the braid. Three ways to string:

- each half from its own end: the middle is clipped, the needle sits on the half's free end. What
  goes on first slides to the middle and goes into the braid first.
- both halves from one end: the far half's free end is clipped, the needle sits on the near half's
  free end. Beads for the far half pass over the middle: the one that goes on first lies furthest
  out. So the far half is strung in reverse, then the near half in order of release.
- from the braid end: the free end is clipped, the needle sits where the braid begins, as when
  beads come off a hank or a spinner. What goes on last goes into the braid first.

A single strand has no middle: where the first two ways say so, it is strung from its free end
against a clip at the braid end. Common practice, no source; the order follows from the geometry.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.load import SKIP, equal_runs
from bench.craft.plan import Plan

HalfSide = Literal["only", "first", "second", "far", "near"]
"""Which half of its thread: a single strand is the only one; far and near as seen by a needle."""


@dataclass(frozen=True, slots=True)
class BeadGroup:
    """So many equal beads that go on together; `on` is what the half then holds."""

    bead: str
    count: int
    on: int


@dataclass(frozen=True, slots=True)
class Half:
    """One strand's part of a thread, with its beads in the order in which they go on."""

    strand: int
    side: HalfSide
    string: tuple[BeadGroup, ...]
    reverse: bool
    """Whether the beads go on last in, first on."""

    @property
    def total(self) -> int:
        """How many beads the half holds when it is full."""
        return self.string[-1].on if self.string else 0

    @property
    def release(self) -> tuple[BeadGroup, ...]:
        """The groups from the braid outward, as they are brought in."""
        return self.string if not self.reverse else _grouped(self.beads[::-1])

    @property
    def beads(self) -> str:
        """The letters in the order in which the beads go on."""
        return "".join(group.bead * group.count for group in self.string)


@dataclass(frozen=True, slots=True)
class StrungThread:
    """One thread: its halves in the order in which they are strung, the clip and the needle."""

    number: int
    halves: tuple[Half, ...]
    clip: str
    needle: str
    says: str

    @property
    def strands(self) -> tuple[int, ...]:
        """The strands that the thread makes, as the pattern names them."""
        return tuple(half.strand for half in self.halves)

    @property
    def double(self) -> bool:
        """Whether the thread makes two strands."""
        return len(self.halves) == 2


def string_up(plan: Plan) -> tuple[StrungThread, ...]:
    """Return how every thread of a plan is strung: double lengths first, then single strands.

    A move without a bead puts nothing on the thread. Strands that no double length names are
    single.
    """
    threads = plan.pattern.threads
    made: list[StrungThread] = []
    for pair in threads.double_lengths:
        made.append(_thread(plan, len(made) + 1, pair))
    joined = {strand for pair in threads.double_lengths for strand in pair}
    for strand in range(1, plan.strands + 1):
        if strand not in joined:
            made.append(_thread(plan, len(made) + 1, (strand,)))
    return tuple(made)


def _thread(plan: Plan, number: int, strands: tuple[int, ...]) -> StrungThread:
    way = plan.pattern.threads.strung
    double = len(strands) == 2
    reversed_halves: tuple[bool, ...]
    sides: tuple[HalfSide, ...]
    if way == "from the braid end":
        reversed_halves = (True,) * len(strands)
        sides = ("first", "second")
        clip = "at the free end"
        needle = "the braid end"
        says = "what goes on last lies nearest the braid and goes into it first"
    elif way == "both halves from one end" and double:
        reversed_halves = (True, False)
        sides = ("far", "near")
        clip = "at the far half's free end"
        needle = "the near half's free end"
        says = (
            "the far half first and in reverse, pushed over the middle;"
            " then the near half, nearest the middle first"
        )
    else:
        reversed_halves = (False,) * len(strands)
        sides = ("first", "second")
        clip = "on the middle" if double else "at the braid end"
        needle = "each half's own free end" if double else "the free end"
        nearest = "the middle clip" if double else "the clip"
        says = f"what goes on first lies nearest {nearest} and goes into the braid first"
    if not double:
        sides = ("only",)
    halves = tuple(
        _half(strand, sides[i], plan.loads[strand - 1].replace(SKIP, ""), reversed_halves[i])
        for i, strand in enumerate(strands)
    )
    return StrungThread(number, halves, clip, needle, says)


def _half(strand: int, side: HalfSide, released: str, reverse: bool) -> Half:
    return Half(strand, side, _grouped(released[::-1] if reverse else released), reverse)


def _grouped(beads: str) -> tuple[BeadGroup, ...]:
    groups = []
    on = 0
    for letter, count in equal_runs(beads):
        on += count
        groups.append(BeadGroup(letter, count, on))
    return tuple(groups)


def fold_load(beads: str) -> str:
    """Return a load as counts and letters, with repeats folded: `20(3a 2b) 4a`."""
    return folded(_grouped(beads))


def folded(groups: Sequence[BeadGroup]) -> str:
    """Return groups as counts and letters, with repeats folded: `20(3a 2b) 4a`."""
    words = [f"{group.count}{group.bead}" for group in groups]
    parts: list[str] = []
    at = 0
    while at < len(words):
        times, length = _repeat_at(words, at)
        if times > 1:
            parts.append(f"{times}({' '.join(words[at : at + length])})")
        else:
            parts.append(words[at])
        at += times * length
    return " ".join(parts)


def _repeat_at(words: Sequence[str], at: int) -> tuple[int, int]:
    """Find the repeat that begins here and covers most: how often, and of how many words."""
    best = (1, 1)
    for length in range(2, min(24, (len(words) - at) // 2) + 1):
        times = 1
        start = at + length
        while words[start : start + length] == words[at : at + length]:
            times += 1
            start += length
        if times > 1 and times * length > best[0] * best[1]:
            best = (times, length)
    return best


def picture(thread: StrungThread, width: int = 78) -> str:
    """Draw a thread as it lies strung: free ends outside, the clip as `|`, the needle as `>`.

    A double length has its middle in the middle; a single strand has its clip on the left.
    Groups in the middle of a half that is too long for the width are left out as `…`.
    """
    between = 18 if thread.halves[-1].reverse else 17 if thread.halves[0].reverse else 13
    share = (width - between) // len(thread.halves) if thread.double else width - 8
    outward = [_beads(half.release, share) for half in thread.halves]
    if not thread.double:
        beads = _mirrored(outward[0]) if thread.halves[0].reverse else outward[0]
        return f"|={beads}=--->"
    left, right = _mirrored(outward[0]), outward[1]
    if thread.halves[1].reverse:
        return f"|={left}=<  middle  >={right}=|"
    if thread.halves[0].reverse:
        return f"|={left}=-middle-={right}=--->"
    return f"<---={left}=|={right}=--->"


def _beads(groups: Sequence[BeadGroup], width: int) -> str:
    words = [f"{group.count}{group.bead}" for group in groups]
    if not words:
        return "(none)"
    keep = len(words)
    while keep > 2 and len("=".join(_middle_out(words, keep))) > width:
        keep -= 1
    return "=".join(_middle_out(words, keep))


def _middle_out(words: Sequence[str], keep: int) -> list[str]:
    if keep >= len(words):
        return list(words)
    head = -(-keep // 2)
    return [*words[:head], "…", *words[len(words) - (keep - head) :]]


def _mirrored(beads: str) -> str:
    return "=".join(reversed(beads.split("=")))
