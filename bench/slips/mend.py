"""What a mend is: its steps, and what will be seen afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain

from bench.slips.mend_steps import CAUTIONS, Effect, MendStep
from bench.slips.mend_words import mend_words

NOTHING, SLIGHT, PLAIN = 0, 1, 2
"""What is seen afterwards: nothing, what one must look for, what anyone sees."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One way out: for each slip that it mends one after the other, the steps.

    seen is NOTHING, SLIGHT or PLAIN; changes say in words what it is.
    """

    parts: tuple[tuple[MendStep, ...], ...]
    seen: int = NOTHING
    changes: tuple[str, ...] = ()

    @property
    def steps(self) -> tuple[MendStep, ...]:
        """All steps in order."""
        return tuple(chain(*self.parts))

    @property
    def do(self) -> str:
        """What is to be done, in words."""
        return mend_words(self.parts)

    @property
    def seconds(self) -> float:
        """The maker's seconds for all steps."""
        return sum(sum(step.seconds for step in part) for part in self.parts)

    @property
    def shows(self) -> str:
        """What will be seen, in words."""
        return "; ".join(self.changes) or "nothing"

    @property
    def caution(self) -> str:
        """The cautions of its steps, each told once."""
        kinds = {step.kind for step in self.steps}
        return " ".join(dict.fromkeys(text for kind, text in CAUTIONS.items() if kind in kinds))

    @property
    def effects(self) -> tuple[Effect, ...]:
        """What the bench carries out, in order: afterwards its plan is what hangs on the strands.

        Without any the plan holds as it is.
        """
        return tuple(effect for step in self.steps for effect in step.effects)

    @property
    def by_hand(self) -> bool:
        """Whether something is to be done by hand now, before the braid goes on."""
        return any(step.by_hand for step in self.steps)

    @property
    def string(self) -> tuple[tuple[int, str], ...]:
        """The beads that each strand is to be strung with anew, the first to go on first."""
        return tuple(chain(*(step.string for step in self.steps)))

    @property
    def later(self) -> tuple[MendStep, ...]:
        """The steps that are to be done by hand when they are due, not now."""
        return tuple(step for step in self.steps if step.due is not None)


def mend_of(*steps: MendStep, shows: str = "", seen: int | None = None) -> Mend:
    """A mend of one slip; what shows is slight if nothing else is said."""
    seen = (SLIGHT if shows else NOTHING) if seen is None else seen
    return Mend((steps,), seen, (shows,) if shows else ())


@dataclass(frozen=True, slots=True)
class Regret:
    """What a maker would give, in seconds, not to have it seen. Rule of thumb, no source."""

    slight: float = 300.0
    plain: float = 1200.0

    def of(self, mend: Mend) -> float:
        """Seconds and regret together: what mends are ranked by."""
        return mend.seconds + (0.0, self.slight, self.plain)[mend.seen]
