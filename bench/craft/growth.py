"""How the braid grows: its length after every cross, its thickness, and where beads lie."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, islice

from bench.craft import thread
from bench.craft.beads import BeadSize, find
from bench.craft.lattice import Carried, Lattice, place, plain_pitch_mm
from bench.craft.length import (
    PLAIN_DOUBT,
    RULE_DOUBT,
    LengthFigure,
    LengthRange,
    by_rules,
    length_by_rule_mm,
    range_of,
)
from bench.craft.load import SKIP
from bench.craft.pattern import Bead, Pattern, Threads
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.craft.thickness import at_most_mm, cord_mm
from bench.craft.words import length_said, thickness_said

_MEASURES = ("diameter_mm", "length_mm", "hole_mm", "per_10_g")


def size_of(bead: Bead) -> BeadSize:
    """Return the measures of a pattern's bead: the table's, with the file's own before them.

    Raises Fault if the table does not know the size and the file does not give every measure.
    """
    own = {key: getattr(bead, key) for key in _MEASURES if getattr(bead, key) is not None}
    try:
        known = find(bead.size, bead.shape)
    except ValueError as error:
        missing = [key for key in _MEASURES if key not in own]
        if missing:
            raise Fault(
                f"size {bead.size} of shape {bead.shape} is not in the table;"
                f" give {', '.join(missing)} too",
                "size",
            ) from error
        known = BeadSize(bead.size, bead.shape, **own, source="the pattern", confirmed=False)
    if not own:
        return known
    measures = {key: own.get(key, getattr(known, key)) for key in _MEASURES}
    try:
        return BeadSize(
            bead.size, bead.shape, **measures, source="the pattern", confirmed=known.confirmed
        )
    except ValueError as error:
        raise Fault(str(error), "hole_mm") from None


def sizes_of(pattern: Pattern) -> dict[str, BeadSize]:
    """Return the measures of every bead of a pattern, by letter. Raises Fault with the key."""
    sizes = {}
    for letter, bead in pattern.beads.items():
        try:
            sizes[letter] = size_of(bead)
        except Fault as fault:
            raise Fault(str(fault), "beads", letter, *fault.key) from None
    return sizes


def thread_mm(threads: Threads) -> float:
    """The thread's diameter in mm: as given, else from its tex."""
    if threads.diameter_mm is not None:
        return threads.diameter_mm
    return thread.diameter_mm(threads.tex or 1.0)


@dataclass(frozen=True)
class Growth:
    """A braid as it is predicted to grow. `after_mm[n]` is its length once cross n is made.

    `length_mm` is the middle of its `length_range`. `diameter_mm` is its outside at the widest
    place; where `diameter_at_most`, only that it is no thicker is known.
    """

    lattice: Lattice | None
    after_mm: tuple[float, ...]
    length_range: LengthRange
    diameter_mm: float
    hollow_mm: float | None
    diameter_at_most: bool = False

    @property
    def length_mm(self) -> float:
        """The whole length."""
        return self.after_mm[-1]

    @property
    def low_mm(self) -> float:
        """The least whole length."""
        return self.length_range.low_mm

    @property
    def high_mm(self) -> float:
        """The greatest whole length: what thread and wire are cut for."""
        return self.length_range.high_mm

    @property
    def size_says(self) -> str:
        """How long and how thick, in words: '1.02 to 1.16 m long, about 8.7 mm thick'."""
        long = length_said(self.low_mm, self.high_mm)
        return f"{long} long, {thickness_said(self.diameter_mm, self.diameter_at_most)} thick"

    @property
    def length_rests_on(self) -> str:
        """Each rule with its figure: 'columns 1018 mm, 1:2 rule 1116 mm'."""
        figures: dict[str, list[str]] = {}
        for figure in self.length_range.figures:
            figures.setdefault(figure.by, []).append(f"{figure.mm:.0f}")
        return ", ".join(f"{by} {' to '.join(mm)} mm" for by, mm in figures.items())

    @property
    def length_by(self) -> str:
        """The rules that the length rests on: 'columns, 1:2 rule, beads per inch'."""
        return ", ".join(dict.fromkeys(figure.by for figure in self.length_range.figures))

    def first_cross_beyond(self, length_mm: float) -> int:
        """The first cross after which the braid is at least so long."""
        return bisect_left(self.after_mm, length_mm)

    @cached_property
    def crosses(self) -> int:
        """The number of crosses."""
        return len(self.after_mm) - 1


def grow(
    plan: Plan,
    sizes: dict[str, BeadSize],
    plain_mm: float | None = None,
    take_up: float = thread.TAKE_UP,
) -> Growth:
    """Predict how the braid of a plan grows.

    plain_mm is what one plain cross adds; by default a rule of thumb from the thread, spread
    over the crosses in which every strand moves once. take_up is strand worked in over braid
    length, by which a braid without beads gets its thickness.
    """
    fine = thread_mm(plan.pattern.threads)
    plain_doubt = PLAIN_DOUBT if plain_mm is None else 0.0
    if plain_mm is None:
        plain_mm = _plain_pitch_mm(plan)
    if not plan.last_bead_cross:
        after = tuple(plain_mm * cross for cross in range(plan.crosses + 1))
        pitch = LengthFigure(after[-1], "a pitch of plain crosses", "common practice, no source")
        length = range_of((pitch,), plain_doubt)
        return _grown(None, after, length, cord_mm(fine, plan.strands, take_up), None)
    if plan.structure.columns is not None and plan.structure.turn is not None:
        return _with_lattice(plan, sizes, plain_mm)
    return _by_rule(plan, sizes, plain_mm)


def _grown(
    lattice: Lattice | None,
    after_mm: Sequence[float],
    length: LengthRange,
    diameter_mm: float,
    hollow_mm: float | None,
    *,
    diameter_at_most: bool = False,
) -> Growth:
    """A growth whose whole length is the middle of its range."""
    scale = length.middle_mm / after_mm[-1] if after_mm[-1] else 1.0
    after = tuple(scale * mm for mm in after_mm)
    return Growth(lattice, after, length, diameter_mm, hollow_mm, diameter_at_most)


def carried_beads(
    plan: Plan, sizes: dict[str, BeadSize], crosses: int | None = None
) -> list[Carried]:
    """The beads of the plan, or of its first crosses, as they are brought in, in cross order."""
    angles = plan.structure.place_angles
    return [
        Carried(
            step.cross,
            move.strand,
            angles[move.transfer.start - 1],
            sizes[move.bead].diameter_mm,
            move.bead,
        )
        for step in islice(plan, crosses)
        for move in step.carried
        if move.bead is not None
    ]


def lattice_of(
    plan: Plan,
    sizes: dict[str, BeadSize],
    plain_mm: float | None = None,
    crosses: int | None = None,
) -> Lattice:
    """Where the beads of the plan, or of its first crosses, come to lie.

    Raises Fault where the columns of the braid are not known or do not go with its moves, or no
    bead is brought in.
    """
    structure = plan.structure
    if structure.columns is None or structure.turn is None:
        raise Fault("the columns of this braid are not known", "structure")
    if plain_mm is None:
        plain_mm = _plain_pitch_mm(plan)
    try:
        return place(
            carried_beads(plan, sizes, crosses),
            columns=structure.columns,
            turn_deg=structure.turn,
            crosses=plan.crosses if crosses is None else crosses,
            plain_mm=plain_mm,
            zero_deg=structure.place_angles[structure.round[0].carried[0][0] - 1],
        )
    except ValueError as error:
        raise Fault(str(error), "structure") from None


def _plain_pitch_mm(plan: Plan) -> float:
    """What one plain cross adds, by a rule of thumb from the thread."""
    return plain_pitch_mm(thread_mm(plan.pattern.threads)) * 4 / plan.row_length


def _with_lattice(plan: Plan, sizes: dict[str, BeadSize], plain_mm: float) -> Growth:
    lattice = lattice_of(plan, sizes, plain_mm)
    rises: dict[int, float] = {}
    for spot in lattice.spots:
        rises[spot.cross] = max(rises.get(spot.cross, 0.0), spot.height_mm + spot.diameter_mm / 2)
    after = [0.0]
    for cross in range(1, plan.crosses + 1):
        step = plain_mm if cross not in rises else 0.0
        after.append(max(after[-1] + step, rises.get(cross, 0.0)))
    by_columns = LengthFigure(after[-1], "columns", "columns of beads that touch")
    length = range_of((by_columns, *by_rules(_strung(plan, sizes), _plain(plan, plain_mm))))
    return _grown(lattice, after, length, lattice.diameter_mm, lattice.hollow_mm)


def _by_rule(plan: Plan, sizes: dict[str, BeadSize], plain_mm: float) -> Growth:
    rows = [0.0] * (plan.crosses + 1)
    for strand, load in enumerate(plan.loads, 1):
        for entry, letter in enumerate(load):
            if letter in sizes:
                length = length_by_rule_mm(sizes[letter].length_mm) / plan.strands
                rows[plan.cross_of(strand, entry)] += length
    for cross in range(1, plan.crosses + 1):
        if plan.row_at(cross)[0] is None:
            rows[cross] = plain_mm
    widest = max(
        sizes[letter].diameter_mm for load in plan.loads for letter in load if letter != SKIP
    )
    return _grown(
        None,
        tuple(accumulate(rows)),
        range_of(by_rules(_strung(plan, sizes), _plain(plan, plain_mm)), RULE_DOUBT),
        at_most_mm(widest, plan.strands),
        None,
        diameter_at_most=True,
    )


def _strung(plan: Plan, sizes: dict[str, BeadSize]) -> list[tuple[BeadSize, float]]:
    """Kinds of bead with how many of each a strand holds on the average."""
    strung = "".join(plan.loads)
    letters = sorted(set(strung) - {SKIP})
    return [(sizes[letter], strung.count(letter) / plan.strands) for letter in letters]


def _plain(plan: Plan, plain_mm: float) -> float:
    """The length of the plain crosses before and after the beads."""
    return plain_mm * (plan.plain_start + plan.crosses - plan.last_bead_cross)
