"""The tubes that a piece is loaded from: which comes next for each bead, and when one is empty."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from bench.commission.bead_kind import BeadKind, kind_of
from bench.commission.tube_book import Tube, begun_with, read_tubes, seen_by
from bench.craft.pattern import Bead, Pattern
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeCounted

OTHER_LOT = (
    "another dye lot: mix them row by row, strip this set and load it from one whole dye lot, or"
    " set the piece aside"
)

NO_TUBE = "No tube of this bead is kept: `tubes --buy` begins with one."


class LoadingTubes:
    """The tubes of a journal as one piece takes from them; none where no tubes are kept."""

    def __init__(self, journal: Journal, state: PieceState, pattern: Pattern) -> None:
        self._journal, self._pattern = journal, pattern
        self._tubes: Mapping[str, Tube] = read_tubes(journal)
        self._taken: Counter[str] = Counter()
        """Beads taken from a tube since the tubes were read."""
        self._begun: Mapping[BeadKind, str] = {}
        if self._tubes and state.commission is not None and state.lot is not None:
            self._begun = begun_with(journal, state.commission).get(state.lot, {})

    def of(self, letter: str) -> Tube | None:
        """The tube that a bead is taken from now: one of the dye lot begun, opened ones first.

        A tube that the book holds for empty is still offered last: the hands know better.
        """
        bead = self._pattern.beads[letter]
        fits = [tube for tube in self._tubes.values() if _fits(tube, bead) and not _is_gone(tube)]
        if not fits:
            return None
        begun = self._begun.get(kind_of(bead))
        return min(
            fits,
            key=lambda t: (t.is_empty, t.taken.dye_lot != begun, not t.opened, t.held, t.id),
        )

    def take(self, letter: str, beads: int) -> str | None:
        """Take so many beads; return the id of their tube, None where none is kept."""
        tube = self.of(letter)
        if tube is None:
            return None
        self._taken[tube.id] += beads
        return tube.id

    def says(self, letter: str) -> str:
        """Which tube that is, and what is left in it; empty where none is kept."""
        tube = self.of(letter)
        if tube is None:
            return ""
        return f"{tube.name}: {self._left_words(tube)}"

    def asks(self, letter: str) -> str:
        """What is asked before the tube is written down as empty; nothing if none is left by count.

        Raises Fault where no tube of the bead is kept.
        """
        tube = self.of(letter)
        if tube is None:
            raise Fault(NO_TUBE)
        if self._left(tube) == 0:
            return ""
        return f"Is the tube empty? {tube.name}: {self._left_words(tube)} by count."

    def _left(self, tube: Tube) -> int:
        return max(0, round(tube.held) - self._taken[tube.id])

    def _left_words(self, tube: Tube) -> str:
        return f"about {plural(self._left(tube), 'bead')} left"

    def empty(self, letter: str) -> str:
        """Write down that the tube is empty; say which one comes next. Raises Fault for none."""
        tube = self.of(letter)
        if tube is None:
            raise Fault(NO_TUBE)
        said = TubeCounted(0.0, 0.0, "empty", seen_by(self._journal))
        self._journal.append(said, pieces=tube.id)
        self._tubes = read_tubes(self._journal)
        self._taken.clear()
        self._begun = {**self._begun, kind_of(self._pattern.beads[letter]): tube.taken.dye_lot}
        following = self.of(letter)
        if following is None:
            return f"{tube.name} is empty, and no other tube of this bead is kept."
        if following.taken.dye_lot != tube.taken.dye_lot:
            return f"{tube.name} is empty. Next: {following.name}, {OTHER_LOT}."
        return f"{tube.name} is empty. Next: another tube of the same dye lot."


def _is_gone(tube: Tube) -> bool:
    """Whether it was said to be empty, or counted so."""
    return bool(tube.balance.counts) and tube.held <= 0


def _fits(tube: Tube, bead: Bead) -> bool:
    return tube.taken.what == "beads" and kind_of(tube.taken) == kind_of(bead)
