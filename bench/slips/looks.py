"""Looks: questions that a glance or a count answers, what they cost and what they would tell."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from bench.slips.likeness import Likeness
from bench.slips.scene import MOST_COUNTED, REACH, Scene, World, run_length

Kind = Literal["glance", "next", "next3", "left", "braid"]
Costed = Literal[
    "glance", "next", "next3", "left", "left_each", "braid", "set_count", "skip", "sew_in",
    "break_bead", "tuck", "take_back_each", "rehitch", "restring_each", "swap_each",
]  # fmt: skip
Answer = str | int | None
MORE = MOST_COUNTED + 1
"""Stands for every count above the most that is ever counted."""


@dataclass(frozen=True, slots=True)
class Look:
    """One question at the stand, about the strand that lies at a place now.

    strand is the one that the plan has there. A glance asks how many of the others show bead.
    """

    kind: Kind
    strand: int
    place: int
    seconds: float
    bead: str | None = None

    @property
    def key(self) -> tuple[str, int, str | None]:
        """What tells looks apart, their cost aside."""
        return self.kind, self.place, self.bead


@dataclass(frozen=True)
class Costs:
    """Seconds of looks and mends: rules of thumb, no source, until the maker's own are known."""

    glance: float = 3.0
    next: float = 2.0
    next3: float = 4.0
    left: float = 3.0
    left_each: float = 0.7
    braid: float = 5.0
    set_count: float = 5.0
    skip: float = 5.0
    sew_in: float = 120.0
    break_bead: float = 60.0
    tuck: float = 20.0
    take_back_each: float = 25.0
    """Taking a cross back and making it again."""
    rehitch: float = 90.0
    """A strand's tama off and on again."""
    restring_each: float = 4.0
    """A bead off and on again."""
    swap_each: float = 2.0
    """A bead onto a spare thread and from there onto another strand; nothing is counted anew."""
    own: Mapping[str, tuple[int, float]] = field(default_factory=dict)
    """By kind of look: the maker's own answers, and the mean logarithm of their seconds."""

    def of(self, kind: Kind, beads: float = 0.0) -> float:
        """Seconds of a look; beads is how many a count is expected to count."""
        usual: float = getattr(self, kind) + (self.left_each * beads if kind == "left" else 0.0)
        if kind not in self.own:
            return usual
        count, mean_log = self.own[kind]
        if kind == "left":
            usual_log = math.log(self.left + self.left_each * 5)
            ratio = mean_log - usual_log
        else:
            ratio = mean_log - math.log(usual)
        return usual * math.exp(ratio * count / (count + LEARNING))

    def learned(self, kind: Kind, seconds: Sequence[float]) -> Costs:
        """These costs with the maker's own seconds for a kind of look, oldest left out by you."""
        logs = [math.log(s) for s in seconds if s > 0]
        if not logs:
            return self
        own = dict(self.own) | {kind: (len(logs), sum(logs) / len(logs))}
        return Costs(**{**self.__dict__, "own": own})

    def taking_back(self, seconds: Sequence[float]) -> Costs:
        """These costs with the maker's own seconds for taking a cross out; making it is the rest.

        BACK_SHARE of `take_back_each` is the taking out.
        """
        logs = [math.log(s) for s in seconds if s > 0]
        if not logs:
            return self
        usual = BACK_SHARE * self.take_back_each
        ratio = sum(logs) / len(logs) - math.log(usual)
        own = usual * math.exp(ratio * len(logs) / (len(logs) + LEARNING))
        return replace(self, take_back_each=own + self.take_back_each - usual)


BACK_SHARE = 0.6
"""How much of taking a cross back and making it again is taking it out. Rule of thumb, no
source."""

LEARNING = 5
"""So many answers of the maker's own weigh as much as the rule of thumb. No source."""


def predicted(look: Look, world: World, scene: Scene) -> Answer:
    """What a look would be answered in a world."""
    if look.kind == "braid":
        return world.braid.get(look.place, "nothing")
    if look.kind == "glance":
        return _showing(look, world, scene)
    beads = world.ahead.get(look.place)
    if beads is None:
        beads = scene.ahead[look.place]
    if look.kind == "next":
        return beads[:1] or None
    if look.kind == "next3":
        return beads[:3]
    return run_length(beads)


def _showing(look: Look, world: World, scene: Scene) -> int:
    bead = look.bead or ""
    return sum(
        1
        for place, planned in scene.ahead.items()
        if place != look.place and world.ahead.get(place, planned)[:1] == bead
    )


def likelihood(
    look: Look, right: Answer, answer: Answer, false: float, likeness: Likeness
) -> float:
    """The chance of an answer if this one would be right; false is the chance of a wrong one."""
    if right == answer:
        return 1 - false
    if look.kind == "next":
        return false * likeness.mistaken(_letter(right), _letter(answer))
    if isinstance(right, int) and isinstance(answer, int):
        return false * (0.3 if abs(right - answer) == 1 else 0.05)
    return false * (0.5 if look.kind == "braid" else 0.1)


def _letter(answer: Answer) -> str | None:
    return answer if isinstance(answer, str) and answer else None


UNIFORM: Mapping[Kind, float] = {
    "glance": 1 / 8,
    "next": 1 / 6,
    "next3": 1 / 30,
    "left": 1 / 11,
    "braid": 1 / 3,
}
"""The chance of any one answer where nothing is known of what went wrong."""


def bits(shares: Sequence[float], false: float) -> float:
    """Information in bits of a look whose right answer has these shares of belief.

    An answer is wrong with chance false and is then any of the other answers alike:
    the mutual information of what is right and what is answered.
    """
    n = len(shares)
    if n < 2:
        return 0.0
    total = sum(shares)
    wrong = false / (n - 1)
    heard = [(1 - false) * s / total + wrong * (1 - s / total) for s in shares]
    noise = -(1 - false) * math.log2(1 - false)
    noise -= false * math.log2(wrong) if false else 0.0
    return max(0.0, -sum(p * math.log2(p) for p in heard if p > 0) - noise)


def candidates(
    scene: Scene, places: Sequence[int], about: int, saw: Sequence[str], costs: Costs
) -> list[Look]:
    """Every look that may be asked at these places; glances from the place of the report."""
    found = []
    for place in places:
        strand = scene.arrangement[place - 1]
        found += [
            Look(kind, strand, place, costs.of(kind)) for kind in ("next", "next3", "left", "braid")
        ]
    letters = dict.fromkeys(b for b in (scene.ahead[about][:1], *saw) if b)
    strand = scene.arrangement[about - 1]
    found += [Look("glance", strand, about, costs.of("glance"), b) for b in letters]
    return found


__all__ = [
    "MORE",
    "REACH",
    "Answer",
    "Costs",
    "Kind",
    "Look",
    "bits",
    "candidates",
    "likelihood",
    "predicted",
]
