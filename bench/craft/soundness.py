"""Whether a pattern is sound craft: findings that do not forbid it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from bench.craft import core
from bench.craft.beads import BeadSize, steps_by_one
from bench.craft.core_choice import choose_core
from bench.craft.cutting import passing_findings
from bench.craft.findings import Change, Finding, FindingKind, FoundAt
from bench.craft.growth import Growth, thread_mm
from bench.craft.lattice import radius_factor
from bench.craft.load import SKIP
from bench.craft.marks import core_groups, swallowed_after
from bench.craft.neighbours import unlike
from bench.craft.plan import Plan
from bench.craft.words import in_figures, plural

USUAL_PLAIN = (4, 8)
"""Plain crosses at the start: every strand moved once, or home again. Common practice."""

LARGE_MM = 3.8
"""From this thickness, that of a small 6/0, rings do not stand without a core.

A core is wanted with 6/0 and larger, and with 12 or 16 strands: A. Gaskell, Bead & Button, Apr
2017.
"""

MANY_STRANDS = 12

LARGE_ROWS = 2
"""A single row of large beads is held by the rows beside it. Common practice, no source."""

OPEN_END_MM = 3.0
"""An end without a cap whose hollow is wider stands open. Rule of thumb, no source."""

_CORE_KINDS: dict[str, FindingKind] = {
    "large": "core-large",
    "small": "core-small",
    "narrow": "core-narrow",
    "long": "core-long",
    "short": "core-short",
}


def findings(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> tuple[Finding, ...]:
    """Return what a maker should know before braiding a pattern; empty if all is sound."""
    steps = tuple(_size_steps(plan, sizes))
    said = {pair for _, pair in steps}
    return (
        *_plain_counts(plan),
        *_stringing(plan),
        *_uneven_loads(plan),
        *(finding for finding, _ in steps),
        *unlike(plan, growth.lattice, sizes, said),
        *_open_ends(plan, growth, sizes),
        *_holes(plan, sizes),
        *(Finding("passing", says) for says in passing_findings(plan, sizes)),
        *_without_core(plan, growth, sizes),
        *_core(plan, growth, sizes),
        *_late_marks(plan),
    )


def _plain_counts(plan: Plan) -> Iterator[Finding]:
    pattern = plan.pattern
    if not plan.last_bead_cross:
        return
    if pattern.plain_start not in USUAL_PLAIN:
        yield Finding(
            "plain-start",
            f"plain_start is {pattern.plain_start}; 4 (every strand has moved once) or"
            " 8 (all strands home) are usual",
            FoundAt(cross=pattern.plain_start),
            (Change(("plain_start",), USUAL_PLAIN[0]),),
        )
    if pattern.plain_end != 4:
        yield Finding(
            "plain-end",
            f"plain_end is {pattern.plain_end}; 4 plain crosses, pulled tight, are usual",
            FoundAt(cross=plan.crosses),
            (Change(("plain_end",), 4),),
        )


def _stringing(plan: Plan) -> Iterator[Finding]:
    threads = plan.pattern.threads
    if threads.double_lengths and threads.strung == "from the braid end":
        yield Finding(
            "stringing",
            "double lengths have no end at the braid to string from, it is their middle:"
            ' string "each half from its own end", or cut single strands',
            cure=(Change(("threads", "strung"), "each half from its own end"),),
        )


def _uneven_loads(plan: Plan) -> Iterator[Finding]:
    longest = max(len(load) for load in plan.loads)
    for strand, load in enumerate(plan.loads, 1):
        if len(load) == longest:
            continue
        if not load:
            says = f"strand {strand} holds no beads; it is carried without"
            yield Finding("short-load", says, FoundAt(strand))
            continue
        cross = plan.cross_of(strand, len(load) - 1)
        row, _ = plan.row_at(cross)
        beads = plural(len(load.replace(SKIP, "")), "bead")
        yield Finding(
            "short-load",
            f"strand {strand} holds {beads}, the longest load {longest}:"
            f" it runs out in row {row} of {plan.rows} and is carried without beads from then on",
            FoundAt(strand, row, cross),
        )


def _size_steps(plan: Plan, sizes: dict[str, BeadSize]) -> Iterator[tuple[Finding, frozenset[str]]]:
    """Beads that follow each other on a strand, each pair of letters once, with the pair."""
    said: set[frozenset[str]] = set()
    for strand, load in enumerate(plan.loads, 1):
        entries = [entry for entry, letter in enumerate(load) if letter != SKIP]
        for one, two in pairwise(entries):
            before, after = load[one], load[two]
            pair = frozenset((before, after))
            if pair in said or steps_by_one(sizes[before], sizes[after]):
                continue
            said.add(pair)
            cross = plan.cross_of(strand, two)
            row, _ = plan.row_at(cross)
            yield (
                Finding(
                    "size-step",
                    f"on strand {strand}, {before} ({sizes[before].name}) and {after}"
                    f" ({sizes[after].name}) follow each other: more than one step of size,"
                    " so a bead will not rest on two below",
                    FoundAt(strand, row, cross),
                ),
                pair,
            )


def _open_ends(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> Iterator[Finding]:
    """Ends that go into no cap and begin or end on large beads.

    A row is judged by its bead of middle thickness: a single small one closes nothing.
    """
    lattice = growth.lattice
    finish = plan.pattern.finish
    if lattice is None or (finish.threads == 0 and finish.end_bead_hole_mm is None):
        return
    inside = 2 * radius_factor(lattice.columns) - 1
    for spot, what in ((lattice.spots[0], "begins"), (lattice.spots[-1], "ends")):
        row, _ = plan.row_at(spot.cross)
        ring = [other for other in lattice.spots if plan.row_at(other.cross)[0] == row]
        middle = sorted(ring, key=lambda other: other.diameter_mm)[(len(ring) - 1) // 2]
        hollow_mm = inside * middle.diameter_mm
        if hollow_mm > OPEN_END_MM:
            yield Finding(
                "open-end",
                f"the braid {what} on {middle.bead} ({sizes[middle.bead].name}): its hollow of"
                f" {hollow_mm:.1f} mm stands open at that end; a row or two of smaller beads"
                " closes it",
                FoundAt(middle.strand, row, middle.cross),
            )


def _holes(plan: Plan, sizes: dict[str, BeadSize]) -> Iterator[Finding]:
    fine = thread_mm(plan.pattern.threads)
    for letter in sorted({letter for load in plan.loads for letter in load} - {SKIP}):
        if sizes[letter].hole_mm <= fine:
            yield Finding(
                "hole",
                f"bead {letter} ({sizes[letter].name}) has a hole of"
                f" {in_figures(sizes[letter].hole_mm)} mm; the thread of {fine:.2f} mm does not"
                " pass",
            )


def _without_core(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> Iterator[Finding]:
    """Rings that want a core and have none."""
    planned = plan.pattern.core
    if not plan.last_bead_cross or (
        planned is not None and (planned.on == "cord" or planned.beads)
    ):
        return
    if plan.strands >= MANY_STRANDS:
        yield Finding(
            "no-core",
            f"{plan.strands} strands of beads stand round a wide hollow: a core is usual",
            cure=_suggested(plan, growth, sizes),
        )
        return
    first = last = 0
    for row in (*_large_rows(plan, sizes), plan.rows + 2):
        if first and row == last + 1:
            last = row
            continue
        if first and last - first + 1 >= LARGE_ROWS:
            yield Finding(
                "no-core",
                f"rows {first} to {last} are of 6/0 or larger and have no core inside: nothing"
                " holds their hollow open, and the braid goes flat there",
                FoundAt(row=first, cross=plan.plain_start + (first - 1) * plan.row_length + 1),
                _suggested(plan, growth, sizes),
            )
        first = last = row


def _large_rows(plan: Plan, sizes: dict[str, BeadSize]) -> Iterator[int]:
    """The rows at least half of whose beads are large."""
    for row, beads in enumerate(zip(*_filled(plan), strict=True), 1):
        strung = [letter for letter in beads if letter != SKIP]
        large = [letter for letter in strung if sizes[letter].diameter_mm >= LARGE_MM]
        if strung and 2 * len(large) >= len(strung):
            yield row


def _filled(plan: Plan) -> list[str]:
    """All loads made as long as the longest one."""
    longest = max(len(load) for load in plan.loads)
    return [load.ljust(longest, SKIP) for load in plan.loads]


def _core(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> Iterator[Finding]:
    planned = plan.pattern.core
    if planned is None or planned.on != "wire" or not planned.beads or growth.lattice is None:
        return
    groups = core_groups(planned.beads, sizes)
    fine = thread_mm(plan.pattern.threads)
    fit = core.check(growth.lattice, groups, tuple(sizes.values()), fine)
    cure = _suggested(plan, growth, sizes) if fit.findings else ()
    for finding in fit.findings:
        yield Finding(_CORE_KINDS[finding.kind], finding.says, cure=cure)
    down = planned.down_after_cross
    down_in_time = (Change(("core", "down_after_cross"), fit.down_after_cross),)
    if down < fit.down_after_cross:
        yield Finding(
            "core-early",
            f"the core comes down after cross {down}, but the first ring"
            f" that is wide enough begins after cross {fit.down_after_cross}",
            FoundAt(cross=down),
            down_in_time,
        )
    elif swallowed_after(growth, fit, down) > plan.last_bead_cross:
        yield Finding(
            "core-late",
            f"the core comes down after cross {down}: so late that it is not"
            f" inside the braid when the last bead comes in, after cross {plan.last_bead_cross}",
            FoundAt(cross=down),
            down_in_time,
        )


def _suggested(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> tuple[Change, ...]:
    """The core that the columns suggest, as changes; none where they are not known."""
    choice = choose_core(plan, growth.lattice, sizes)
    if choice.suggested is None:
        return ()
    return (
        Change(("core", "on"), "wire"),
        Change(("core", "beads"), choice.written(choice.suggested)),
        Change(("core", "down_after_cross"), choice.suggested.down_after_cross),
    )


def _late_marks(plan: Plan) -> Iterator[Finding]:
    for number, mark in enumerate(plan.pattern.marks):
        if mark.after_cross > plan.crosses:
            yield Finding(
                "late-mark",
                f"a mark is set after cross {mark.after_cross}; there are {plan.crosses} crosses",
                FoundAt(cross=mark.after_cross),
                (Change(("marks", number, "after_cross"), plan.crosses),),
            )
