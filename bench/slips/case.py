"""The case of one slip: what the maker told, and what it may be by that."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.plan import Plan
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.looks import Answer, Look
from bench.slips.maker import Maker
from bench.slips.posterior import Hypothesis

MOST_SUSPECTS = 5


@dataclass(frozen=True, slots=True)
class Statement:
    """One thing told: a report, an answer, or that a look cannot be answered (set_aside)."""

    look: Look
    answer: Answer = None
    report: bool = False
    set_aside: bool = False


class Case:
    """What was told after so many crosses, and the inquiry that it leads to; none before a report.

    `before` is a case that was left without a mend; its statements count while it is at most a row
    old.
    """

    def __init__(self, plan: Plan, made: int, maker: Maker, before: Case | None = None) -> None:
        self.plan, self.made, self.maker = plan, made, maker
        self.likeness = Likeness(plan.pattern, maker.vision)
        self.statements: list[Statement] = []
        self.inquiry: Inquiry | None = None
        self.before = before if before is not None and self._still_counts(before) else None

    def _still_counts(self, before: Case) -> bool:
        since = self.made - before.made
        same = before.plan is self.plan and bool(before.statements)
        return same and 0 <= since <= self.plan.row_length

    @property
    def kept(self) -> Case | None:
        """What counts when the maker comes back: this case, or the one before if it is empty."""
        return self if self.statements else self.before

    @property
    def look(self) -> Look | None:
        """The look that is asked for."""
        return None if self.inquiry is None else self.inquiry.look

    @property
    def any_answer(self) -> bool:
        """Whether anything was answered since the report."""
        return any(not told.report for told in self.statements)

    @property
    def suspects(self) -> list[Hypothesis]:
        """What it may be, the likeliest first."""
        return [] if self.inquiry is None else self.inquiry.known[:MOST_SUSPECTS]

    @property
    def nothing_fits(self) -> bool:
        """Whether no slip and no pair of slips explains what was told."""
        return self.inquiry is not None and self.inquiry.nothing_fits

    def report(self, look: Look, saw: Answer) -> None:
        """Begin with a report of what was seen."""
        self.statements = [Statement(look, saw, report=True)]
        self._work_out()

    def tell(self, statement: Statement) -> None:
        """Take in an answer."""
        self.statements.append(statement)
        self._take(statement)

    def unsay(self) -> Statement:
        """Take the last answer back and return it."""
        gone = self.statements.pop()
        self._work_out()
        return gone

    def close(self) -> None:
        """Forget all that was told."""
        self.statements, self.inquiry = [], None

    def _work_out(self) -> None:
        """The inquiry anew, from all that was told."""
        made = self.made if self.before is None else self.before.made
        inquiry = self.inquiry = Inquiry(self.plan, made, self.likeness, self.maker)
        anew = {told.look.key for told in self.statements} if made == self.made else set()
        for told in [] if self.before is None else self.before.statements:
            if told.look.key not in anew:
                self._take(told)
        if made != self.made:
            self.inquiry = inquiry.at(self.made)
        for told in self.statements:
            self._take(told)

    def _take(self, told: Statement) -> None:
        inquiry, look = self.inquiry, told.look
        assert inquiry is not None
        if told.set_aside:
            inquiry.skip(look)
        elif not told.report:
            inquiry.answer(look, told.answer)
        elif look.kind == "braid":
            inquiry.report_braid(look.place, str(told.answer))
        else:
            inquiry.report(look.place, told.answer if isinstance(told.answer, str) else None)
