"""Proving a loaded half: by eye, by count, by length or by weight, whichever can tell."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

from bench.craft.beads import BeadSize
from bench.craft.load import equal_runs
from bench.craft.stringing import Half, StrungThread
from bench.craft.weight_proof import (
    BEAD_SCATTER,
    BeadMass,
    OneBead,
    WeightProof,
    expected,
    prove,
)

How = Literal["side by side", "count", "length", "weight"]

ROPE_MM = 150.0
"""Strung beads longer than this are proved by their length. Common practice, no source."""

BY_EYE = 40
"""Up to so many beads of a half are counted without fear of losing count. Rule of thumb."""


@dataclass(frozen=True, slots=True)
class HalfWeighing:
    """What the scale says of a half, and of one bead of each letter in it."""

    proof: WeightProof
    letters: tuple[str, ...]

    @property
    def by_letter(self) -> dict[str, OneBead]:
        """The chances of noticing one bead, by letter."""
        return dict(zip(self.letters, self.proof.notices, strict=True))

    @property
    def blind_to(self) -> tuple[str, ...]:
        """The letters of which the scale cannot tell one bead."""
        return tuple(letter for letter, one in self.by_letter.items() if not one.told)


@dataclass(frozen=True, slots=True)
class HalfProof:
    """How a half is proved, in a sentence, and what the scale could do."""

    strand: int
    how: How
    says: str
    strung_mm: float
    weighed: HalfWeighing | None


def prove_half(
    thread: StrungThread,
    half: Half,
    sizes: Mapping[str, BeadSize],
    masses: Mapping[str, BeadMass],
    resolution_g: float,
    alike: bool = False,
) -> HalfProof:
    """Choose how a half is proved.

    The halves of a double length are laid side by side if their beads are of the same sizes in
    the same order. Longer than `ROPE_MM` a half is laid beside another one `alike`, if there is
    one, else counted: a ruler proves nothing, since the lengths of beads are not known well
    enough (over 250 beads the printed counts differ by a dozen). A thread with equal
    beads on one half alone is weighed where the scale notices one: a weight shows no order, and
    the beads of two halves cannot lie on a scale apart.
    """
    strung_mm = sum(sizes[g.bead].length_mm * g.count for g in half.string)
    levels = tuple(_levels(half))
    weighed = weigh_half(half, masses, resolution_g)
    other = next((h for h in thread.halves if h is not half), None)
    how: How
    if half.total == 0:
        how, says = "count", "nothing is strung on this half"
    elif other is not None and strung_mm <= ROPE_MM and _same_sizes(half, other, sizes):
        how, says = "side by side", _side_by_side(half, other, levels)
    elif weighed is not None and weighed.proof.tells and not levels and not (other and other.total):
        how = "weight"
        says = (
            "weigh it, the scale zeroed with a bare thread cut alike and its clip:"
            f" {weighed.proof.least_g:.4g} to {weighed.proof.most_g:.4g} g is right"
        )
    elif strung_mm > ROPE_MM and alike:
        how = "length"
        level = ", every change level with it" if levels else ""
        says = (
            "push the beads together; once two strands with the same load are strung, lay them"
            f" side by side: exactly as long{level}"
        )
    else:
        how, says = "count", _count(half)
    return HalfProof(half.strand, how, says, strung_mm, weighed)


def prove_all(
    threads: Sequence[StrungThread],
    sizes: Mapping[str, BeadSize],
    masses: Mapping[str, BeadMass],
    resolution_g: float,
) -> tuple[HalfProof, ...]:
    """Return how each half of every thread is proved, in order of stringing."""
    halves = [half for thread in threads for half in thread.halves]
    orders = [_by_size(half, sizes) for half in halves]
    return tuple(
        prove_half(
            thread,
            half,
            sizes,
            masses,
            resolution_g,
            alike=orders.count(_by_size(half, sizes)) > 1,
        )
        for thread in threads
        for half in thread.halves
    )


def weigh_half(
    half: Half, masses: Mapping[str, BeadMass], resolution_g: float
) -> HalfWeighing | None:
    """What a scale of this resolution can say of a half; None for a half without beads.

    The thread is zeroed out, which rounds once more.
    """
    counts: dict[str, int] = {}
    for group in half.string:
        counts[group.bead] = counts.get(group.bead, 0) + group.count
    if not counts:
        return None
    kinds = [(count, masses[letter]) for letter, count in counts.items()]
    whole = expected(kinds, other_sd_g=resolution_g / math.sqrt(12))
    return HalfWeighing(
        prove(whole, [masses[letter] for letter in counts], resolution_g), tuple(counts)
    )


def scale_says(weighed: HalfWeighing) -> str:
    """What the scale can and cannot tell of a half, in one sentence, and what that rests on."""
    scale = f"a scale of {weighed.proof.resolution_g:g} g"
    if weighed.proof.tells:
        few = min(one.missing for one in weighed.proof.notices)
        many = min(one.extra for one in weighed.proof.notices)
        told = (
            f"{scale} notices one bead too few {_of_100(few)}, one too many {_of_100(many)},"
            f" if single beads differ by {BEAD_SCATTER:.0%} (rule of thumb)"
        )
        one_kind = len(weighed.letters) == 1
        return told if one_kind else f"{told}; not their order: look at that too"
    blind = ", ".join(weighed.blind_to)
    if len(weighed.blind_to) == len(weighed.letters):
        return f"{scale} cannot tell one bead of any kind: do not prove by weight"
    return f"{scale} cannot tell one bead of {blind}: do not prove by weight alone"


def _of_100(chance: float) -> str:
    """A chance in words, never quite certain."""
    return f"{min(99, math.floor(100 * chance))} times in 100"


def _levels(half: Half) -> list[tuple[str, str, int]]:
    groups = half.release
    ends = accumulate(group.count for group in groups)
    return [
        (one.bead, two.bead, end) for one, two, end in zip(groups, groups[1:], ends, strict=False)
    ]


def _same_sizes(half: Half, other: Half, sizes: Mapping[str, BeadSize]) -> bool:
    return _by_size(half, sizes) == _by_size(other, sizes)


def _by_size(half: Half, sizes: Mapping[str, BeadSize]) -> list[tuple[str, int]]:
    """The runs of beads of one size and shape, from the braid outward."""
    names = {letter: f"{bead.name} {bead.shape}" for letter, bead in sizes.items()}
    marks = {name: chr(97 + i) for i, name in enumerate(dict.fromkeys(names.values()))}
    return equal_runs("".join(marks[names[g.bead]] * g.count for g in half.release))


def _side_by_side(half: Half, other: Half, levels: Sequence[tuple[str, str, int]]) -> str:
    changes = ", ".join(f"{one}|{two} after {end}" for one, two, end in levels[:12])
    level = (
        f"the changes {changes}, and the last bead ({half.total}) lie level"
        if levels
        else "the last beads lie level"
    )
    unlike = "" if half.release == other.release else " (colours differ, sizes do not)"
    return f"lay both halves side by side from the middle: {level}{unlike}"


def _count(half: Half) -> str:
    groups = " ".join(f"{g.count}{g.bead}" for g in half.release)
    if len(groups) > 40:
        return f"count it from the braid end, {half.total} in all"
    slow = "" if half.total <= BY_EYE else ", in tens"
    return f"count it from the braid end{slow}: {groups}, {half.total} in all"
