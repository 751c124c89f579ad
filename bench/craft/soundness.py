"""Whether a pattern is sound craft: findings that do not forbid it, each one sentence."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from bench.craft import core
from bench.craft.beads import BeadSize, steps_by_one
from bench.craft.cutting import passing_findings
from bench.craft.growth import Growth, thread_mm
from bench.craft.load import SKIP, equal_runs
from bench.craft.marks import core_groups, swallowed_after
from bench.craft.plan import Plan

USUAL_PLAIN = (4, 8)
"""Plain crosses at the start: every strand moved once, or home again. Common practice."""


def findings(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> tuple[str, ...]:
    """Return what a maker should know before braiding a pattern; empty if all is sound."""
    return (
        *_plain_counts(plan),
        *_stringing(plan),
        *_uneven_loads(plan),
        *_size_steps(plan, sizes),
        *_holes(plan, sizes),
        *passing_findings(plan, sizes),
        *_core(plan, growth, sizes),
        *_late_marks(plan),
    )


def _plain_counts(plan: Plan) -> Iterator[str]:
    pattern = plan.pattern
    if not plan.last_bead_cross:
        return
    if pattern.plain_start not in USUAL_PLAIN:
        yield (
            f"plain_start is {pattern.plain_start}; 4 (every strand has moved once) or"
            " 8 (all strands home) are usual"
        )
    if pattern.plain_end != 4:
        yield f"plain_end is {pattern.plain_end}; 4 plain crosses, pulled tight, are usual"


def _stringing(plan: Plan) -> Iterator[str]:
    threads = plan.pattern.threads
    if threads.double_lengths and threads.strung == "from the braid end":
        yield (
            "double lengths have no end at the braid to string from, it is their middle:"
            ' string "each half from its own end", or cut single strands'
        )


def _uneven_loads(plan: Plan) -> Iterator[str]:
    longest = max(len(load) for load in plan.loads)
    for strand, load in enumerate(plan.loads, 1):
        if len(load) == longest:
            continue
        if not load:
            yield f"strand {strand} holds no beads; it is carried without"
            continue
        row, _ = plan.row_at(plan.cross_of(strand, len(load) - 1))
        beads = len(load.replace(SKIP, ""))
        yield (
            f"strand {strand} holds {beads} beads, the longest load {longest}:"
            f" it runs out in row {row} of {plan.rows} and is carried without beads from then on"
        )


def _size_steps(plan: Plan, sizes: dict[str, BeadSize]) -> Iterator[str]:
    said: set[tuple[str, str]] = set()
    for strand, load in enumerate(plan.loads, 1):
        letters = [letter for letter, _ in equal_runs(load.replace(SKIP, ""))]
        for before, after in pairwise(letters):
            if (before, after) in said or steps_by_one(sizes[before], sizes[after]):
                continue
            said.add((before, after))
            yield (
                f"on strand {strand}, {before} ({sizes[before].name}) and {after}"
                f" ({sizes[after].name}) follow each other: more than one step of size,"
                " so a bead will not rest on two below"
            )


def _holes(plan: Plan, sizes: dict[str, BeadSize]) -> Iterator[str]:
    fine = thread_mm(plan.pattern.threads)
    for letter in sorted({letter for load in plan.loads for letter in load} - {SKIP}):
        if sizes[letter].hole_mm <= fine:
            yield (
                f"bead {letter} ({sizes[letter].name}) has a hole of {sizes[letter].hole_mm:g} mm;"
                f" the thread of {fine:.2f} mm does not pass"
            )


def _core(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> Iterator[str]:
    planned = plan.pattern.core
    if planned is None or planned.on != "wire" or not planned.beads or growth.lattice is None:
        return
    groups = core_groups(planned.beads, sizes)
    fine = thread_mm(plan.pattern.threads)
    fit = core.check(growth.lattice, groups, tuple(sizes.values()), fine)
    for finding in fit.findings:
        yield finding.says
    if planned.down_after_cross < fit.down_after_cross:
        yield (
            f"the core comes down after cross {planned.down_after_cross}, but the first ring"
            f" that is wide enough begins after cross {fit.down_after_cross}"
        )
    elif swallowed_after(growth, fit, planned.down_after_cross) > plan.last_bead_cross:
        yield (
            f"the core comes down after cross {planned.down_after_cross}: so late that it is not"
            f" inside the braid when the last bead comes in, after cross {plan.last_bead_cross}"
        )


def _late_marks(plan: Plan) -> Iterator[str]:
    for mark in plan.pattern.marks:
        if mark.after_cross > plan.crosses:
            yield f"a mark is set after cross {mark.after_cross}; there are {plan.crosses} crosses"
