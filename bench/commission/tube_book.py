"""The tubes and spools of a journal: what they are, what is in them, what is to be told of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from bench.commission.bead_kind import BeadKind
from bench.commission.loadings import read_loadings
from bench.commission.lot_refs import LotRef, LotRefs
from bench.commission.tube_entry import amount_of, labelled, name_of, tube_kind, wrong_in
from bench.commission.tubes import Balance, Count, Draw, balance_of
from bench.craft.text import Fault, cleaned
from bench.journal.events import Event
from bench.journal.store import Journal
from bench.journal.tube_payloads import (
    FileRefused,
    Seen,
    TubeCounted,
    TubeGivenAway,
    TubeLabelled,
    TubeOpened,
    TubeTaken,
    TubeUndone,
)

_KINDS = (
    TubeTaken, TubeLabelled, TubeOpened, TubeCounted, TubeGivenAway, FileRefused, TubeUndone,
)  # fmt: skip


@dataclass(frozen=True)
class Tube:
    """A tube or spool as it stands. `id`: the subject of its events."""

    id: str
    taken: TubeTaken
    opened: bool
    balance: Balance
    last: Event
    """What was said of it last, of what stands: that is taken back first."""
    is_drawn: bool
    """Whether pieces were loaded from it."""
    since: float
    """When it came in, UTC seconds."""
    counted_at: float
    """When it was counted last, UTC seconds; 0 before it ever was."""
    file_said: float
    """What a stock file said of it last, of what was answered."""

    @property
    def short(self) -> str:
        """What it is called for at the keyboard: the beginning of its id."""
        return self.id[:6]

    @property
    def name(self) -> str:
        """What is on it: size, name and dye lot."""
        return name_of(self.taken)

    @cached_property
    def wrong(self) -> str:
        """Why it cannot be reckoned with; "" if it can."""
        return wrong_in(self.taken, max(0.0, self.held))

    @property
    def kind(self) -> BeadKind:
        """The kind that it is of."""
        return tube_kind(self.taken)

    @property
    def is_asked(self) -> bool:
        """Whether only its price was asked."""
        return self.taken.source == "asked"

    @property
    def held(self) -> float:
        """What is in it; below zero it is short."""
        return self.balance.held

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left in it."""
        return self.held <= 0

    @property
    def tells(self) -> str:
        """What has to be told of it, in a sentence; empty if nothing."""
        if self.wrong:
            return self.wrong
        if self.held < -1e-9:
            return f"{self.name}: short by {self._amount(-self.held)}, count anew"
        if len(self.balance.counts) > 1:
            counts = " and ".join(self._amount(count.held) for count in self.balance.counts)
            return (
                f"{self.name}: counted at two benches that knew nothing of each other ({counts});"
                " the lower holds until it is counted anew"
            )
        return ""

    @property
    def last_words(self) -> str:
        """What was said of it last, in a few words."""
        said = self.last.payload
        if isinstance(said, TubeCounted):
            how = "as the file says" if said.how == "file" else said.how
            counted = f"{how}: {self._amount(said.held)}"
            return "that it is empty" if said.how == "empty" else counted
        if isinstance(said, TubeGivenAway):
            return f"given away: {self._amount(said.held)}"
        if isinstance(said, FileRefused):
            return f"the refusal of the file's {self._amount(said.says)}"
        if isinstance(said, TubeLabelled):
            return "what was put onto it afterwards"
        if isinstance(said, TubeOpened):
            return "that it was opened"
        if self.is_asked:
            return "the price asked"
        return "that it was bought" if self.taken.source == "bought" else "that it was taken in"

    def _amount(self, held: float) -> str:
        return amount_of(self.taken, held)


def read_tubes(journal: Journal) -> Mapping[str, Tube]:
    """Read every tube, in the order in which they came; what was taken back counts for nothing.

    One that came in at two benches is as that of the lesser id says, and where they differ in what
    is in it both are told.
    """
    events: dict[str, list[Event]] = {}
    came = journal.came(_KINDS)
    undone = {event.payload.event for event in came if isinstance(event.payload, TubeUndone)}
    for event in came:
        if event.uuid not in undone and not isinstance(event.payload, TubeUndone):
            events.setdefault(event.piece, []).append(event)
    events = {
        tube: own
        for tube, own in events.items()
        if any(isinstance(event.payload, TubeTaken) for event in own)
    }
    if not events:
        return {}
    for tube, own in events.items():
        if len({event.bench for event in own}) > 1:
            kept = {event.uuid for event in own}
            events[tube] = [event for event in journal.events(tube) if event.uuid in kept]
    draws: dict[str, list[Draw]] = {}
    for draw in (draw for loading in read_loadings(journal) for draw in loading.draws):
        draws.setdefault(draw.tube, []).append(draw)
    return {tube: _tube(tube, own, draws.get(tube, ())) for tube, own in events.items()}


def _tube(tube: str, events: Sequence[Event], draws: Sequence[Draw]) -> Tube:
    came: list[tuple[str, int, TubeTaken]] = []
    since = min(event.instant.wall for event in events)
    counts, drawn, opened = [], [*draws], bool(draws)
    counted_at = 0.0
    file: list[float] = []
    labels: list[TubeLabelled] = []
    for event in events:
        said = event.payload
        if isinstance(said, TubeTaken):
            came.append((event.bench, event.number, said))
        elif isinstance(said, TubeLabelled):
            labels.append(said)
        elif isinstance(said, FileRefused):
            file.append(said.says)
        elif isinstance(said, TubeCounted):
            seen = {one.bench: one.number for one in said.seen}
            counts.append(Count(event.bench, event.number, said.held, said.error, said.how, seen))
            file += [said.held] if said.how == "file" else []
            counted_at = max(counted_at, event.instant.wall)
        elif isinstance(said, TubeGivenAway):
            drawn.append(Draw(tube, event.bench, event.number, said.held))
        opened = opened or isinstance(said, TubeOpened)
    taken = min(came, key=lambda one: one[:2])[2]
    for label in labels:
        taken = labelled(taken, label)
    came_in = 0.0 if taken.source == "asked" else taken.held
    balance = balance_of(came_in, [*_taken_apart(came), *counts], drawn)
    file_said = file[-1] if file else taken.held
    opened = opened or taken.opened
    return Tube(tube, taken, opened, balance, events[-1], bool(draws), since, counted_at, file_said)


def _taken_apart(came: Sequence[tuple[str, int, TubeTaken]]) -> Iterator[Count]:
    """What two benches took one tube in with, where they differ: each is as good as a count."""
    if len({said.held for _, _, said in came}) > 1:
        for bench, number, said in came:
            yield Count(bench, number, said.held, 0.0, "counted", {})


def begun_with(journal: Journal, refs: LotRefs) -> Mapping[LotRef, Mapping[BeadKind, str]]:
    """The dye lots that lots of pieces are begun with: by lot, then by bead.

    Of each bead it is the dye lot loaded last, of the piece begun last.
    """
    tubes = {tube: found.taken for tube, found in read_tubes(journal).items()}
    found: dict[LotRef, dict[BeadKind, str]] = {}
    loadings = [*read_loadings(journal)] if tubes else []
    loadings.sort(key=lambda one: (one.state.started_wall or 0.0, one.state.uuid))
    for loading in loadings:
        lot = refs.of(loading.state)
        if lot is not None:
            begun = found.setdefault(lot, {})
            known = (tubes[tube] for tube in loading.tubes if tube in tubes)
            begun.update((tube_kind(tube), tube.dye_lot) for tube in known)
    return found


def taking_back(tube: Tube) -> TubeUndone:
    """The event that takes back what was said last. Raises Fault where pieces hold beads of it."""
    if isinstance(tube.last.payload, TubeTaken) and tube.is_drawn:
        raise Fault(f"{tube.name}: pieces are loaded from it; say that it is empty, or count it")
    return TubeUndone(tube.last.uuid)


def seen_by(journal: Journal) -> tuple[Seen, ...]:
    """What a count that is made now has seen: every event of the journal."""
    return tuple(Seen(bench, number) for bench, number in sorted(journal.seen().items()))


def tube_called(tubes: Mapping[str, Tube], name: str) -> Tube:
    """The tube whose id begins so, or the only one of a name. Raises Fault with what there is."""
    wanted = name.casefold()
    found = [t for t in tubes.values() if wanted and t.id.startswith(wanted)]
    found = found or [t for t in tubes.values() if wanted in (t.name.casefold(), t.taken.name)]
    if len(found) == 1:
        return found[0]
    if found:
        known = "; ".join(f"{tube.short} {tube.name}" for tube in found[:6])
        raise Fault(f"'{cleaned(name, 40)}' is more than one tube: {known}")
    known = "; ".join(f"{tube.short} {tube.name}" for tube in list(tubes.values())[:6])
    raise Fault(f"there is no tube '{cleaned(name, 40)}'; there are: {known or 'none'}")
