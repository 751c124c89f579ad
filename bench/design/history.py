"""What was done on the drawing board: every sheet so far, back and forth without limit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from bench.design.operation import Desk, Operation
from bench.design.operations import Redo, Undo
from bench.design.sheet import Sheet


@dataclass(frozen=True)
class History:
    """The sheet as it is, what led to it, and what was taken back.

    `done` and `undone` hold each operation with the sheet on its other side; the last is the next
    to be taken back, or done again.
    """

    sheet: Sheet
    done: tuple[tuple[Operation, Sheet], ...] = ()
    undone: tuple[tuple[Operation, Sheet], ...] = ()

    def do(self, operation: Operation, desk: Desk) -> History:
        """Do an operation. What was taken back before is let go. Raises Fault as it does."""
        if isinstance(operation, Undo):
            return self.undo()
        if isinstance(operation, Redo):
            return self.redo()
        return History(operation.on(self.sheet, desk), (*self.done, (operation, self.sheet)))

    def undo(self) -> History:
        """Take the last operation back; with none nothing changes."""
        if not self.done:
            return self
        operation, before = self.done[-1]
        return replace(
            self,
            sheet=before,
            done=self.done[:-1],
            undone=(*self.undone, (operation, self.sheet)),
        )

    def redo(self) -> History:
        """Do what was taken back last again; with none nothing changes."""
        if not self.undone:
            return self
        operation, after = self.undone[-1]
        return replace(
            self, sheet=after, done=(*self.done, (operation, self.sheet)), undone=self.undone[:-1]
        )

    def retold(self, most: int) -> tuple[Sheet, tuple[Operation, ...]]:
        """A sheet and the operations on it that come to this history, taken back ones included.

        Of what was done only the last `most` can be taken back then.
        """
        kept = self.done[-most:]
        start = kept[0][1] if kept else self.sheet
        again = tuple(operation for operation, _ in reversed(self.undone))
        done = tuple(operation for operation, _ in kept)
        return start, (*done, *again, *(Undo() for _ in again))

    @property
    def log(self) -> tuple[str, ...]:
        """What led to the sheet, a line of JSON for each operation."""
        return tuple(op.model_dump_json(exclude_none=True) for op, _ in self.done)


def replayed(sheet: Sheet, operations: Iterable[Operation], desk: Desk) -> History:
    """The history of a sheet on which operations are done one after the other."""
    history = History(sheet)
    for operation in operations:
        history = history.do(operation, desk)
    return history
