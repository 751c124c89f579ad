"""The tubes that a piece is loaded from: which comes next for each bead, and when one is empty."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from bench.commission.bead_kind import BeadKind, kind_of, thread_kind
from bench.commission.lot_refs import LotRefs
from bench.commission.notions import used_up_by
from bench.commission.stock_tubes import notion_kind
from bench.commission.tube_book import Tube, begun_with, read_tubes, seen_by
from bench.craft.pattern import Bead, Pattern
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.settings import Settings
from bench.documents.stock import StockNotion
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeCounted, TubeDrawn, TubeUndone
from bench.making.core_answer import core_beads
from bench.making.worked_pattern import WorkedPattern

OTHER_LOT = "another dye lot: mix them row by row, load this set anew, or lay it aside"

NO_TUBE = "No tube of this bead is kept: an order keeps one as bought, on its page of needs."


@dataclass(frozen=True, slots=True)
class Taking:
    """So many beads out of a tube; its id is None where no tube of them is kept."""

    tube: str | None
    beads: int


class LoadingTubes:
    """The tubes of a journal as one piece takes from them; none where no tubes are kept."""

    def __init__(
        self,
        journal: Journal,
        state: PieceState,
        pattern: Pattern,
        planned: Callable[[], Mapping[BeadKind, str]] = dict,
    ) -> None:
        """`planned`: the dye lots that the piece's lot takes, asked where none is begun."""
        self._planned: Mapping[BeadKind, str] | None = None
        self._plan = planned
        self._journal, self._pattern, self._piece = journal, pattern, state.uuid
        self._tubes = _at_hand(journal)
        self._emptied: tuple[str, str, Mapping[BeadKind, str]] | None = None
        """The tube said to be empty last, by which event, and what was begun before it."""
        self._taken: Counter[str] = Counter()
        """Beads taken from a tube since the tubes were read."""
        self._begun: Mapping[BeadKind, str] = {}
        refs = LotRefs(journal, {})
        lot = refs.of(state)
        if self._tubes and lot is not None:
            self._begun = begun_with(journal, refs).get(lot, {})

    def of(self, letter: str) -> Tube | None:
        """The tube that a bead is taken from now, None where none of it is kept."""
        bead = self._pattern.beads[letter]
        fits = [tube for tube in self._tubes.values() if _fits(tube, bead) and not _is_gone(tube)]
        if not fits:
            return None
        return min(fits, key=partial(self._turn, wanted=self._dye_lot(kind_of(bead), fits)))

    def _dye_lot(self, kind: BeadKind, fits: Sequence[Tube]) -> str | None:
        """The dye lot that the lot of pieces is begun with, else takes by the plan."""
        if kind in self._begun or len({tube.taken.dye_lot for tube in fits}) < 2:
            return self._begun.get(kind)
        if self._planned is None:
            self._planned = self._plan()
        return self._planned.get(kind)

    def _turn(self, tube: Tube, wanted: str | None) -> tuple[bool, bool, bool, float, str]:
        """When a tube has its turn: those of the wanted dye lot, opened ones first.

        One of which nothing is left by count comes last: the hands know better.
        """
        is_empty = self._left_in(tube) <= 0
        return is_empty, tube.taken.dye_lot != wanted, not tube.opened, tube.held, tube.id

    def dye_lots(self) -> Mapping[str, str]:
        """The dye lot that each bead comes from, of those that are kept in several."""
        found: dict[str, str] = {}
        for letter, bead in self._pattern.beads.items():
            kept = {tube.taken.dye_lot for tube in self._tubes.values() if _fits(tube, bead)}
            tube = self.of(letter) if len(kept) > 1 else None
            if tube is not None:
                found[letter] = tube.taken.dye_lot
        return found

    def left_of(self, letter: str) -> int | None:
        """What all tubes of a bead hold by count; None where none is kept."""
        bead = self._pattern.beads[letter]
        fits = [tube for tube in self._tubes.values() if _fits(tube, bead)]
        return sum(map(self._left, fits)) if fits else None

    def take(self, letter: str, beads: int) -> tuple[Taking, ...]:
        """Take so many beads; return what each tube gives of them.

        What one does not hold by count comes from the next; from the last one all the same.
        """
        found: list[Taking] = []
        while beads > 0:
            tube = self.of(letter)
            given = beads
            if tube is not None and 0 < self._left(tube) < beads and self._next(letter, tube):
                given = self._left(tube)
            found.append(Taking(None if tube is None else tube.id, given))
            if tube is not None:
                self._taken[tube.id] += given
            beads -= given
        return tuple(found)

    def _next(self, letter: str, but: Tube) -> Tube | None:
        """The tube that comes after one, None where no other holds any."""
        bead = self._pattern.beads[letter]
        others = (tube for tube in self._tubes.values() if _fits(tube, bead) and tube is not but)
        fits = [tube for tube in others if self._left(tube)]
        if not fits:
            return None
        return min(fits, key=partial(self._turn, wanted=but.taken.dye_lot))

    def beside(self, made: WorkedPattern, settings: Settings) -> tuple[TubeDrawn, ...]:
        """What the piece takes beside its loads, where tubes of it are kept and it has not yet.

        Its core beads, its thread, each length from the spool begun that it still fits on, and
        what it uses up besides.
        """
        known = any(True for _ in self._journal.each(TubeDrawn, self._piece))
        if known or not self._tubes:
            return ()
        core = Counter(core_beads(made))
        drawn = [TubeDrawn(one.tube, one.beads, "core") for letter, beads in core.items()
                 for one in self.take(letter, beads) if one.tube is not None]  # fmt: skip
        return (*drawn, *self._thread(made, settings), *self._notions(made))

    def _thread(self, made: WorkedPattern, settings: Settings) -> Iterator[TubeDrawn]:
        cuts = made.cutting(settings).cuts
        lengths = [cut.cut_mm / 1000 for cut in cuts for _ in range(cut.lengths)]
        for tube, metres in self._each_from(thread_kind(made.pattern.threads.name), lengths):
            yield TubeDrawn(tube, round(metres, 3), "thread")

    def _notions(self, made: WorkedPattern) -> Iterator[TubeDrawn]:
        for name, count in used_up_by(made).items():
            kind = notion_kind(StockNotion(name=name))
            for tube, taken in self._each_from(kind, [1.0] * count):
                yield TubeDrawn(tube, taken, "notion")

    def _each_from(self, kind: BeadKind, amounts: Sequence[float]) -> Iterator[tuple[str, float]]:
        """Take each amount from the tube begun that it still fits in; what each tube gives."""
        fits = [tube for tube in self._tubes.values() if tube.kind == kind]
        tubes = sorted(fits, key=partial(self._turn, wanted=self._begun.get(kind)))
        left = {tube.id: tube.held for tube in tubes}
        drawn: dict[str, float] = {}
        for amount in amounts if tubes else ():
            enough = (tube.id for tube in tubes if left[tube.id] >= amount)
            tube = next(enough, tubes[0].id)
            left[tube] -= amount
            drawn[tube] = drawn.get(tube, 0.0) + amount
        yield from drawn.items()

    @property
    def given_back(self) -> str:
        """What went back with the last bead that was taken off; empty where nothing did."""
        drawn = {said.part for _, said in self._journal.each(TubeDrawn, self._piece)}
        if not drawn:
            return ""
        what = {"core": "core beads", "thread": "thread (cut or not)", "notion": "end pieces"}
        names = ", ".join(words for part, words in what.items() if part in drawn)
        return f"Nothing is on: {names} of this piece count as stock until it is loaded again."

    def says(self, letter: str, beads: int, wanted: int) -> str:
        """Which tube so many beads come from, what is left in it, and whether another one follows.

        `wanted`: what the set still takes of it; told where all tubes do not hold that. Empty where
        none is kept.
        """
        tube = self.of(letter)
        if tube is None:
            return ""
        said = f"{tube.name}: {self._left_words(tube)}"
        if (self.left_of(letter) or 0) < wanted:
            said += f", this set still wants {wanted}"
        following = self._next(letter, tube)
        if self._left(tube) >= beads:
            return said
        if following is None:
            return f"{said}, and no other tube is kept"
        same = following.taken.dye_lot == tube.taken.dye_lot
        name = "the same dye lot" if same else f"{following.name}, {OTHER_LOT}"
        return f"{said}, then the next tube: {name}"

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

    def read_again(self) -> None:
        """Go by what is written down: beads may have gone back into their tube."""
        self._tubes = _at_hand(self._journal)
        self._taken.clear()

    def _left_in(self, tube: Tube) -> float:
        return tube.held - self._taken[tube.id]

    def _left(self, tube: Tube) -> int:
        return max(0, round(self._left_in(tube)))

    def _left_words(self, tube: Tube) -> str:
        return f"about {plural(self._left(tube), 'bead')} left"

    def empty(self, letter: str) -> str:
        """Write down that the tube is empty; say which one comes next. Raises Fault for none."""
        tube = self.of(letter)
        if tube is None:
            raise Fault(NO_TUBE)
        said = TubeCounted(0.0, 0.0, "empty", seen_by(self._journal))
        event = self._journal.append(said, pieces=tube.id)
        self._emptied = (tube.id, event.uuid, self._begun)
        self.read_again()
        self._begun = {**self._begun, kind_of(self._pattern.beads[letter]): tube.taken.dye_lot}
        following = self.of(letter)
        if following is None:
            return f"{tube.name} is empty, and no other tube of this bead is kept."
        if following.taken.dye_lot != tube.taken.dye_lot:
            return f"{tube.name} is empty. Next: {following.name}, {OTHER_LOT}."
        return f"{tube.name} is empty. Next: another tube of the same dye lot."

    def not_empty(self) -> str:
        """Take the last "empty" back; say so, or nothing where there is none to take back."""
        if self._emptied is None:
            return ""
        tube, event, self._begun = self._emptied
        self._emptied = None
        self._journal.append(TubeUndone(event), pieces=tube)
        self.read_again()
        return f"{self._tubes[tube].name} is not empty, after all."

    def go_on(self) -> None:
        """Something else was done: the last "empty" stands."""
        self._emptied = None


def _at_hand(journal: Journal) -> Mapping[str, Tube]:
    """The tubes that came in; of others only the price is known."""
    return {tube.id: tube for tube in read_tubes(journal).values() if not tube.is_asked}


def _is_gone(tube: Tube) -> bool:
    """Whether it was said to be empty, or counted so."""
    return bool(tube.balance.counts) and tube.held <= 0


def _fits(tube: Tube, bead: Bead) -> bool:
    return tube.kind == kind_of(bead)
