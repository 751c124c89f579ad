"""Larger or smaller beads: the same rows as a size of the pattern, or its proportions anew."""

from __future__ import annotations

from bench.craft.beads import BeadSize, mass_g, numbered
from bench.craft.core_choice import choose_core
from bench.craft.cutting import passing
from bench.craft.growth import grow, sizes_of, thread_mm
from bench.craft.pattern import BeadInSize, Core, CoreChange, SizeChange, ThreadChange
from bench.craft.soundness import LARGE_MM
from bench.craft.text import Fault
from bench.design.braid_map import braid_map
from bench.design.palette import Column, letter_for
from bench.design.shape import Fit, Wish, fit_rows, row_growth, thickness_mm
from bench.design.sheet import Sheet

ONE_STEP = 0.7
"""One step of size down, as a part of the measure. Common practice, no source."""
THINNEST_MM = 0.06


def stepped_sizes(sheet: Sheet, steps: int) -> dict[str, BeadInSize]:
    """For each letter the size of the table that lies so many steps up (below 0: down).

    Different sizes stay different, smallest first; a bead of a shape with no such size is left out,
    to be asked about. Raises Fault where the table has none that is smaller, or larger.
    """
    own = sizes_of(sheet.pattern)
    taken: dict[BeadSize, BeadSize] = {}
    for shape in sorted({size.shape for size in own.values()}):
        ladder = numbered(shape)
        before: BeadSize | None = None
        for size in sorted({s for s in own.values() if s.shape == shape}, key=_thick):
            wanted = size.diameter_mm * ONE_STEP**-steps
            fit = [s for s in ladder if before is None or s.diameter_mm > before.diameter_mm]
            if fit:
                before = min(fit, key=lambda s: abs(s.diameter_mm - wanted))
                taken[size] = before
    changed = {letter: taken[size] for letter, size in own.items() if size in taken}
    if all(changed[letter].name == own[letter].name for letter in changed):
        raise Fault(f"the table has no {'larger' if steps > 0 else 'smaller'} beads than these")
    return {letter: BeadInSize(size=size.name) for letter, size in changed.items()}


def levelled(sheet: Sheet, name: str) -> tuple[tuple[str, ...], ...]:
    """Beads of unlike thickness that one of the pattern's sizes makes equally thick.

    There the shape is flatter than as written. Of the beads that lie in the braid alone.
    """
    own = sizes_of(sheet.pattern)
    sized = sizes_of(sheet.pattern.resolve(name))
    alike: dict[float, list[str]] = {}
    for letter in sorted(sheet.counts()):
        alike.setdefault(sized[letter].diameter_mm, []).append(letter)
    return tuple(
        tuple(letters)
        for letters in alike.values()
        if len({own[letter].diameter_mm for letter in letters}) > 1
    )


def _thick(size: BeadSize) -> float:
    return size.diameter_mm


def with_size(sheet: Sheet, name: str, beads: dict[str, BeadInSize]) -> Sheet:
    """The sheet with a size of these beads in the same rows, with a core and thread of its own."""
    bare = sheet.with_pattern(sizes={**sheet.pattern.sizes, name: SizeChange(beads=beads)})
    resolved = bare.pattern.resolve(name)
    plan = bare.plan()
    plan.pattern = resolved
    sizes = sizes_of(resolved)
    fine = thread_mm(resolved.threads)
    thread = None
    passes = passing(plan, sizes)
    while passes is not None and passes.finish is not None and not passes.finish.ok:
        fine -= 0.01
        if fine < THINNEST_MM:
            raise Fault(f"no thread passes the beads of the size {name} as often as the ends need")
        thread = ThreadChange(name=f"fine thread {fine:.2f} mm", diameter_mm=round(fine, 2))
        plan.pattern = resolved.model_copy(
            update={
                "threads": resolved.threads.model_copy(update=thread.model_dump(exclude_none=True))
            }
        )
        passes = passing(plan, sizes)
    core = None
    if resolved.core is not None and resolved.core.on == "wire":
        made = core_of(bare, name)
        core = CoreChange(beads=made.beads, down_after_cross=made.down_after_cross)
    change = SizeChange(beads=beads, threads=thread, core=core)
    return sheet.with_pattern(sizes={**sheet.pattern.sizes, name: change})


def core_of(sheet: Sheet, size: str | None = None) -> Core:
    """The core that the growth model suggests for a size, graded from the pattern's own beads."""
    plan = sheet.plan()
    if not plan.last_bead_cross:
        raise Fault("no bead is laid yet: a core goes into beads")
    plan.pattern = sheet.pattern.resolve(size)
    sizes = sizes_of(plan.pattern)
    choice = choose_core(plan, grow(plan, sizes).lattice, sizes)
    if choice.suggested is None:
        return Core()
    fit = choice.suggested
    return Core(beads=choice.written(fit), down_after_cross=fit.down_after_cross)


def outline_of(sheet: Sheet, sizes: tuple[BeadSize, ...], factor: float) -> Wish:
    """The wish that a sheet's own outline is, so many times as large; one height for each row.

    A row is as thick as its thickest bead makes it. Raises Fault where columns are not known.
    """
    lies = braid_map(sheet.structure, sheet.pattern.plain_start)
    if not lies.known:
        raise Fault("the columns of this structure are not known; its thickness cannot be fitted")
    own = sizes_of(sheet.pattern)
    plan = sheet.plan()
    if not plan.last_bead_cross:
        raise Fault("no bead is laid yet: there is no outline")
    after = grow(plan, own).after_mm
    edges = [
        after[min(plan.plain_start + row * plan.row_length, plan.last_bead_cross)]
        for row in range(sheet.rows + 1)
    ]
    points = []
    for row in range(sheet.rows):
        beads = [own[load[row]] for load in sheet.loads if load[row : row + 1] in own]
        if beads:
            middle = (edges[row] + edges[row + 1]) / 2 - edges[0]
            thick = thickness_mm(max(beads, key=_thick), lies.columns)
            points.append((middle / (edges[-1] - edges[0]), thick * factor))
    return Wish((edges[-1] - edges[0]) * factor, tuple(points), sizes)


def proposals(sheet: Sheet, wish: Wish) -> tuple[Fit, ...]:
    """The proposals for a wish on a sheet's structure. Raises Fault where columns are not known."""
    lies = braid_map(sheet.structure, sheet.pattern.plain_start)
    if not lies.known:
        raise Fault("the columns of this structure are not known; its thickness cannot be fitted")
    return fit_rows(wish, row_growth(sheet.structure, wish.sizes), lies.columns)


def shaped(sheet: Sheet, fit: Fit) -> Sheet:
    """The sheet with the rows of a proposal on every strand, and a core of its own.

    A bead of each size is found in the palette or made, in the colour of the palette's first. Sizes
    of the pattern, and marks, that went with the old rows go. Without a core it gets one where a
    row is large enough to go flat around its hollow.
    """
    letters: dict[int, str] = {}
    own = sizes_of(sheet.pattern)
    like = next(iter(sheet.beads.values()))
    for row in sorted(set(fit.rows)):
        size = fit.wish.sizes[row]
        known = (x for x, s in own.items() if (s.name, s.shape) == (size.name, size.shape))
        letter = next(known, None)
        if letter is None:
            bead = like.in_size(BeadInSize(size=size.name)).model_copy(update={"shape": size.shape})
            sheet, letter = letter_for(sheet, Column(bead))
        letters[row] = letter
    load = "".join(letters[row] for row in fit.rows)
    made = sheet.with_loads((load,) * sheet.strands).with_pattern(sizes={}, marks=())
    core = made.pattern.core
    large = any(fit.wish.sizes[row].diameter_mm >= LARGE_MM for row in fit.rows)
    wants_one = large if core is None else core.on == "wire"
    return made.with_pattern(core=core_of(made)) if wants_one else made


def grams(sheet: Sheet, letter: str) -> float:
    """How many grams of a bead the braid takes."""
    return sheet.counts().get(letter, 0) * mass_g(sizes_of(sheet.pattern)[letter])
