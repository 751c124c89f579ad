"""Operations on whole rows: insert, take out, copy, move, repeat, mirror; and a block moved on.

Marks and the core that lie behind the place of a change move with the rows, in every size.
"""

from __future__ import annotations

from collections.abc import Callable

from bench.craft.load import SKIP
from bench.craft.pattern import Core
from bench.craft.text import Fault
from bench.design.braid_map import braid_map
from bench.design.painting import put
from bench.design.sheet import OPEN, Cell, Sheet

Rows = tuple[str, ...]
"""Some rows: a part of a load for each strand, all equally long; `-` where a strand has ended."""


def rows_of(sheet: Sheet, first: int, last: int) -> Rows:
    """Rows from one to another, both included."""
    check_rows(sheet, first, last)
    count = last - first + 1
    return tuple(load[first - 1 : last].ljust(count, SKIP) for load in sheet.loads)


def insert_rows(sheet: Sheet, before: int, rows: Rows) -> Sheet:
    """Insert rows before a row; one more than there are puts them at the end.

    A strand that has ended by then goes on without beads up to the new rows.
    """
    if not 1 <= before <= sheet.rows + 1:
        raise Fault(f"rows can go before row 1 to {sheet.rows + 1}, not before row {before}")
    at = before - 1
    loads = (
        load[:at].ljust(at, SKIP) + new + load[at:]
        for load, new in zip(sheet.loads, rows, strict=True)
    )
    return _moved_on(sheet.with_loads(loads), before, len(rows[0]))


def open_rows(sheet: Sheet, count: int) -> Rows:
    """So many rows of open cells."""
    return (OPEN * count,) * sheet.strands


def take_out_rows(sheet: Sheet, first: int, last: int) -> Sheet:
    """Take rows out; what lies behind them moves forward."""
    check_rows(sheet, first, last)
    found = sheet.with_loads(load[: first - 1] + load[last:] for load in sheet.loads)
    return _moved_on(found, first, first - last - 1)


def copy_rows(sheet: Sheet, first: int, last: int, before: int) -> Sheet:
    """Put a copy of some rows before a row."""
    return insert_rows(sheet, before, rows_of(sheet, first, last))


def move_rows(sheet: Sheet, first: int, last: int, before: int) -> Sheet:
    """Move rows to before another row; nothing changes if that lies among them."""
    if first <= before <= last + 1:
        check_rows(sheet, first, last)
        return sheet
    rows = rows_of(sheet, first, last)
    target = before if before < first else before - len(rows[0])
    return insert_rows(take_out_rows(sheet, first, last), target, rows)


def repeat_rows(sheet: Sheet, first: int, last: int, times: int) -> Sheet:
    """Have some rows stand so many times one after the other, as they are now counting as one."""
    if times < 1:
        raise Fault("rows are repeated at least once")
    rows = tuple(part * (times - 1) for part in rows_of(sheet, first, last))
    return insert_rows(sheet, last + 1, rows)


def mirror_rows(sheet: Sheet, first: int, last: int) -> Sheet:
    """Turn the order of some rows round; marks and core stay where they are."""
    return sheet.with_loads(
        load[: first - 1].ljust(first - 1, SKIP) + part[::-1] + load[last:]
        for load, part in zip(sheet.loads, rows_of(sheet, first, last), strict=True)
    )


def move_on(sheet: Sheet, first: int, last: int, stripes: int) -> Sheet:
    """Move what is in some rows on round the braid by so many stripes, either way.

    Each bead goes to the spot that one turning and climbing of the braid takes it to; what
    crosses a row's edge goes to the row beside. Its old ground is left open where nothing comes
    in, so that uneven ends are seen; they are listed by `uneven_ends`. Without known columns the
    beads go from strand to strand in the order of the stand.
    """
    check_rows(sheet, first, last)
    targets = _targets(sheet, first, last, stripes)
    beads = dict.fromkeys(targets, OPEN)
    beads |= {target: sheet.at(cell) or OPEN for cell, target in targets.items() if target.row > 0}
    return put(sheet, beads)


def uneven_ends(sheet: Sheet, first: int, last: int, stripes: int) -> tuple[Cell, ...]:
    """The cells that a block moved on leaves open."""
    targets = _targets(sheet, first, last, stripes)
    return tuple(sorted(set(targets) - set(targets.values())))


def check_rows(sheet: Sheet, first: int, last: int) -> None:
    """Raise Fault unless there are such rows."""
    if not 1 <= first <= last <= sheet.rows:
        raise Fault(f"there are no rows {first} to {last}; the sheet has {sheet.rows}")


def _targets(sheet: Sheet, first: int, last: int, stripes: int) -> dict[Cell, Cell]:
    """Where each cell of some rows goes."""
    step = _one_stripe(sheet)
    found = {}
    for row in range(first, last + 1):
        for strand in range(1, sheet.strands + 1):
            cell = Cell(strand, row)
            target = cell
            for _ in range(abs(stripes)):
                target = step(target, stripes > 0)
            found[cell] = target
    return found


def _one_stripe(sheet: Sheet) -> Callable[[Cell, bool], Cell]:
    """What takes a cell to the next stripe, or the one before."""
    lies = braid_map(sheet.structure, sheet.pattern.plain_start)
    strands = sheet.strands
    if not lies.known:
        return lambda cell, on: Cell((cell.strand - 1 + (1 if on else -1)) % strands + 1, cell.row)

    def step(cell: Cell, on: bool) -> Cell:
        ahead = lies.period_rows
        column = lies.column(Cell(cell.strand, cell.row + ahead))
        assert column is not None
        cross = lies.cross(Cell(cell.strand, cell.row + ahead))
        for turn in (1, -1):
            way = turn if on else -turn
            found = lies.cell_at(column + way, cross + (1 if on else -1))
            if found is not None:
                return Cell(found.strand, found.row - ahead)
        raise ValueError("the lattice has no next stripe")

    return step


def _moved_on(sheet: Sheet, before: int, rows: int) -> Sheet:
    """Move the marks and the core behind a row on by so many rows (back if below 0)."""
    length = braid_map(sheet.structure, sheet.pattern.plain_start).row_length
    edge = sheet.pattern.plain_start + length * (before - 1)
    shift = length * rows

    def moved(cross: int) -> int:
        return cross if cross <= edge else max(edge, cross + shift)

    pattern = sheet.pattern
    marks = tuple(
        mark.model_copy(update={"after_cross": moved(mark.after_cross)}) for mark in pattern.marks
    )
    changes: dict[str, object] = {"marks": marks}
    if isinstance(pattern.core, Core):
        down = moved(pattern.core.down_after_cross)
        changes["core"] = pattern.core.model_copy(update={"down_after_cross": down})
    sizes = {}
    for name, size in pattern.sizes.items():
        if size.core is not None and size.core.down_after_cross is not None:
            core = size.core.model_copy(
                update={"down_after_cross": moved(size.core.down_after_cross)}
            )
            size = size.model_copy(update={"core": core})
        sizes[name] = size
    return sheet.with_pattern(**changes, sizes=sizes)
