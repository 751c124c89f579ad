"""Simulated makers for the slips: patterns, slips planted at random, and a stand of queues.

The stand here knows nothing of suspects or worlds: it moves threads from place to place and
takes beads off their queues, with the slip done to it by hand.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

from bench.craft.load import SKIP, write_load
from bench.craft.pattern import Bead, Pattern, Threads
from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.slips.looks import THIS, Answer, Look
from bench.slips.supposed_stand import LAST_ROWS
from bench.slips.suspect import Slip, Suspect

SHIPPED = ("cistern", "downpipe", "gutter-pearl", "second-drop", "silver-eaves", "stair-rope")
DROPS = SHIPPED[:-1]
STRUCTURES = ("kongo-8", "kongo-8-anticlockwise", "kongo-12", "square-8", "hollow-8", "round-4")
KINDS: tuple[Slip, ...] = (
    "missing", "extra", "wrong", "swapped", "reversed", "end_for_end", "doubles_exchanged",
    "strands_exchanged", "turned", "count_off", "not_brought_in", "two_brought_in", "not_tucked",
    "wrong_of_pair", "round_off",
)  # fmt: skip
LOOKS = (("15/0", "#9fb8c8"), ("11/0", "#86a3b8"), ("8/0", "#c3d3dc"), ("6/0", "#f2a33a"),
         ("8/0", "#6b4f63"))  # fmt: skip
LIBRARY = Library(None)


def shipped(name: str) -> Plan:
    """The plan of a shipped pattern."""
    path = LIBRARY.pattern_path(name)
    return LIBRARY.plan(path)


def random_plan(rng: random.Random, beads: int = 0) -> Plan:
    """A plan of random loads, alike on all strands or not; beads for each strand, or 6 to 24."""
    structure = rng.choice(STRUCTURES) if not beads else "kongo-8"
    letters = "abcde"[: rng.randint(2, 5)]

    def load(total: int) -> str:
        text = ""
        while len(text) < total:
            text += rng.choice([x for x in letters if not text.endswith(x)]) * rng.randint(1, 5)
        return text[:total]

    total = beads or rng.randint(6, 24)
    loads = {"all": write_load(load(total))}
    strands = LIBRARY.structure(structure).strands
    if rng.random() < 0.5:
        for strand in rng.sample(range(1, strands + 1), strands // 2):
            loads[str(strand)] = write_load(load(total))
    order = list(range(1, strands + 1))
    pattern = Pattern(
        format=1,
        title="Random",
        structure=structure,
        threads=Threads(
            diameter_mm=0.13,
            double_lengths=tuple(zip(order[::2], order[1::2], strict=True)),
        ),
        beads={x: Bead(size=s, colour=c) for x, (s, c) in zip(letters, LOOKS, strict=False)},
        loads=loads,
    )
    return Plan(pattern, LIBRARY.structure(structure))


def plant(plan: Plan, kind: Slip, rng: random.Random) -> Suspect | None:
    """A random slip of a kind; None where this plan has none."""
    strand = rng.choice([s for s in range(1, plan.strands + 1) if plan.loads[s - 1]])
    load, letters = plan.loads[strand - 1], sorted(plan.pattern.beads)
    i = rng.randrange(len(load))
    other = rng.choice([s for s in range(1, plan.strands + 1) if s != strand])
    if kind == "missing":
        return Suspect(kind, strand, index=i)
    if kind == "extra":
        actual = load[i] if rng.random() < 0.8 else rng.choice(letters)
        return Suspect(kind, strand, actual=actual, index=i)
    if kind == "wrong":
        return Suspect(kind, strand, actual=rng.choice([*letters, "?"]), index=i)
    if kind == "swapped":
        unlike = load[i + 1 : i + 2] not in ("", load[i])
        if not unlike:
            return None
        if rng.random() < 0.5:
            return Suspect(kind, strand, index=i)
        first = i - len(load[: i + 1]) + len(load[: i + 1].rstrip(load[i])) + 1
        last = len(load) - len(load[i + 1 :].lstrip(load[i + 1]))
        return Suspect(kind, strand, first=first + 1, last=last, index=first)
    if kind in ("count_off", "round_off"):
        around = len(plan.structure.round)
        most = max(plan.row_length, around) if kind == "count_off" else around
        shift = rng.choice([-1, 1]) * (rng.randint(1, most) if kind == "count_off" else around)
        return Suspect(kind, shift=shift, at=rng.randint(most + 1, plan.crosses))
    if kind == "turned":
        return Suspect(kind, shift=rng.choice([-1, 1]))
    if kind == "reversed":
        return Suspect(kind, strand)
    doubles = plan.pattern.threads.double_lengths
    if kind == "end_for_end":
        return Suspect(kind, *rng.choice(doubles)) if doubles else None
    if kind == "doubles_exchanged":
        if len(doubles) < 2:
            return None
        one, two = rng.sample(doubles, 2)
        return Suspect(kind, one[0], rng.choice(two))
    if kind == "strands_exchanged":
        return Suspect(kind, strand, other)
    cross = plan.cross_of(strand, i)
    if kind == "wrong_of_pair":
        place = plan.place_of(strand, cross - 1)
        carried = {m.strand for m in plan.step(cross).carried}
        beside = [plan.arrangement(cross - 1)[p - 1] for p in plan.structure.beside(place)]
        pair = next((s for s in beside if s not in carried), None)
        return Suspect(kind, strand, pair, at=cross) if pair else None
    return Suspect(kind, strand, at=cross)


@dataclass
class Mark:
    """Something to be seen in the braid on a thread's line."""

    thread: int
    cross: int
    what: str


class Hands:
    """Threads at their places, with the beads left on each, and one slip done on the way."""

    def __init__(self, plan: Plan, slips: tuple[Suspect, ...]) -> None:
        self.plan, self.slips = plan, slips
        self.at = list(range(1, plan.strands + 1))
        self.beads = {s: list(plan.loads[s - 1]) for s in self.at}
        self.real = 0
        self.marks: list[Mark] = []
        for slip in sorted(slips, key=lambda s: -s.index):
            self._load(slip)

    def _load(self, slip: Suspect) -> None:
        beads = self.beads
        if slip.strand is not None:
            mine, i = beads[slip.strand], slip.index
            if slip.slip == "missing":
                del mine[i]
            elif slip.slip == "extra":
                mine.insert(i, slip.actual or "")
            elif slip.slip == "wrong":
                mine[i] = slip.actual or ""
            elif slip.slip == "swapped":
                end = slip.last or i + 2
                cut = next(n for n in range(i, end) if mine[n] != mine[i])
                mine[i:end] = mine[cut:end] + mine[i:cut]
            elif slip.slip == "reversed":
                mine.reverse()
            elif slip.with_ is not None and slip.at is None:
                self._swap(slip.strand, slip.with_)
                if slip.slip == "doubles_exchanged":
                    ends = self.plan.pattern.threads.double_lengths
                    partner = dict(ends) | {b: a for a, b in ends}
                    self._swap(partner[slip.strand], partner[slip.with_])
        elif slip.slip == "turned":
            n = self.plan.strands
            old = dict(beads)
            for s in range(1, n + 1):
                self.beads[(s - 1 + (slip.shift or 0)) % n + 1] = old[s]

    def _swap(self, a: int, b: int) -> None:
        self.beads[a], self.beads[b] = self.beads[b], self.beads[a]

    def count(self, made: int) -> None:
        """Make crosses until the count says so many, the slips done where they belong."""
        target = made
        for slip in self.slips:
            if slip.slip in ("count_off", "round_off") and made >= (slip.at or 0):
                target = made - (slip.shift or 0)
        while self.real < min(target, self.plan.crosses):
            self._cross(self.real + 1)
            self.real += 1

    def _cross(self, number: int) -> None:
        plan = self.plan
        step = plan.step(number)
        here = {s.strand: s for s in self.slips if s.at == number and s.strand is not None}
        for slip in here.values():
            if slip.slip == "wrong_of_pair" and slip.strand and slip.with_:
                a = plan.place_of(slip.strand, number - 1) - 1
                b = plan.place_of(slip.with_, number - 1) - 1
                self.at[a], self.at[b] = self.at[b], self.at[a]
        lifted = [(m, self.at[m.transfer.start - 1]) for m in step.moves]
        for move, thread in lifted:
            self.at[move.transfer.end - 1] = thread
            with_bead = number > plan.plain_start and move.transfer.kind == "carry"
            entry = plan.used(move.strand, number - 1)
            skipped = plan.loads[move.strand - 1][entry : entry + 1] == SKIP
            if not with_bead or skipped or entry >= len(plan.loads[move.strand - 1]):
                continue
            done = here.get(move.strand)
            kind = done.slip if done else None
            for _ in range({"not_brought_in": 0, "two_brought_in": 2}.get(kind or "", 1)):
                if self.beads[thread]:
                    self.beads[thread].pop(0)
            what = {"not_brought_in": "gap", "two_brought_in": "proud", "not_tucked": "proud"}
            if kind in what:
                self.marks.append(Mark(thread, number, what[kind]))

    def ahead(self, place: int) -> str:
        """The beads left on the thread at a place, the next one first."""
        return "".join(self.beads[self.at[place - 1]])

    def in_braid(self, place: int, made: int) -> str:
        """What the last rows show on the line of the thread at a place."""
        since = made - LAST_ROWS * self.plan.row_length
        seen = [m.what for m in self.marks if m.thread == self.at[place - 1] and m.cross > since]
        return seen[-1] if seen else "nothing"

    def right_answer(self, look: Look, made: int) -> Answer:
        """What a careful maker would answer."""
        ahead = self.ahead(look.place)
        if look.kind == "next":
            return ahead[:1] or None
        if look.kind == "next3":
            return ahead[1:4] if look.bead else ahead[:3]
        if look.kind == "read":
            return ahead
        if look.kind == "piece":
            return THIS
        if look.kind == "left":
            return len(ahead) - len(ahead.lstrip(ahead[0])) if ahead else 0
        if look.kind == "braid":
            return self.in_braid(look.place, made)
        places = range(1, self.plan.strands + 1)
        return sum(1 for p in places if p != look.place and self.ahead(p)[:1] == look.bead)
