"""The tubes and spools of a journal: what they are, what is in them, what is to be told of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bench.commission.bead_kind import BeadKind, kind_of
from bench.commission.loadings import read_loadings
from bench.commission.lot_refs import LotRef, LotRefs
from bench.commission.tubes import Balance, Count, Draw, balance_of
from bench.craft.beads import find, mass_g
from bench.craft.text import Fault, cleaned
from bench.craft.words import plural
from bench.journal.store import Journal
from bench.journal.tube_payloads import Seen, TubeCounted, TubeGivenAway, TubeOpened, TubeTaken


@dataclass(frozen=True)
class Tube:
    """A tube or spool as it stands. `id`: the subject of its events."""

    id: str
    taken: TubeTaken
    opened: bool
    balance: Balance

    @property
    def short(self) -> str:
        """What it is called for at the keyboard: the beginning of its id."""
        return self.id[:6]

    @property
    def name(self) -> str:
        """What is on it: size, name and dye lot."""
        said = self.taken
        shape = "" if said.shape in ("", "round") else f" {said.shape}"
        lot = f", dye lot {said.dye_lot}" if said.dye_lot else ""
        return f"{said.size}{shape} {said.name}{lot}".strip()

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
        if self.held < -1e-9:
            return f"{self.name}: short by {self._amount(-self.held)}, count anew"
        if len(self.balance.counts) > 1:
            counts = " and ".join(self._amount(count.held) for count in self.balance.counts)
            return (
                f"{self.name}: counted at two benches that knew nothing of each other ({counts});"
                " the lower holds until it is counted anew"
            )
        return ""

    def _amount(self, held: float) -> str:
        if self.taken.what == "thread":
            return f"{held:.1f} m"
        return plural(round(held), "bead")


def read_tubes(journal: Journal) -> Mapping[str, Tube]:
    """Read every tube, in the order in which they came.

    One that came in at two benches is as that of the lesser id says, and where they differ in what
    is in it both are told.
    """
    came: dict[str, list[tuple[str, int, TubeTaken]]] = {}
    for event, in_it in journal.each(TubeTaken):
        came.setdefault(event.piece, []).append((event.bench, event.number, in_it))
    if not came:
        return {}
    taken = {tube: min(all_of_it, key=lambda one: one[:2])[2] for tube, all_of_it in came.items()}
    opened = {event.piece for event, _ in journal.each(TubeOpened)}
    counts = {tube: list(_taken_apart(all_of_it)) for tube, all_of_it in came.items()}
    for event, said in journal.each(TubeCounted):
        seen = {one.bench: one.number for one in said.seen}
        counts.setdefault(event.piece, []).append(
            Count(event.bench, event.number, said.held, said.error, said.how, seen)
        )
    draws: dict[str, list[Draw]] = {}
    loaded = (draw for loading in read_loadings(journal) for draw in loading.draws)
    for draw in (*loaded, *_given_away(journal)):
        draws.setdefault(draw.tube, []).append(draw)
    return {
        tube: Tube(
            tube,
            said,
            said.opened or tube in opened or tube in draws,
            balance_of(said.held, counts.get(tube, ()), draws.get(tube, ())),
        )
        for tube, said in taken.items()
    }


def _taken_apart(came: Sequence[tuple[str, int, TubeTaken]]) -> Iterator[Count]:
    """What two benches took one tube in with, where they differ: each is as good as a count."""
    if len({said.held for _, _, said in came}) > 1:
        for bench, number, said in came:
            yield Count(bench, number, said.held, 0.0, "counted", {})


def begun_with(journal: Journal, refs: LotRefs) -> Mapping[LotRef, Mapping[BeadKind, str]]:
    """The dye lots that lots of pieces are begun with: by lot, then by bead.

    Of each bead it is the dye lot loaded last, of the piece begun last.
    """
    tubes = {event.piece: said for event, said in journal.each(TubeTaken)}
    found: dict[LotRef, dict[BeadKind, str]] = {}
    loadings = [*read_loadings(journal)] if tubes else []
    loadings.sort(key=lambda one: (one.state.started_wall or 0.0, one.state.uuid))
    for loading in loadings:
        lot = refs.of(loading.state)
        if lot is not None:
            begun = found.setdefault(lot, {})
            known = (tubes[tube] for tube in loading.tubes if tube in tubes)
            begun.update((kind_of(tube), tube.dye_lot) for tube in known)
    return found


def bead_g_of(tube: Tube) -> float:
    """Mass of one of its beads in grams: by what it held, else by the table of beads.

    Raises Fault for thread, and for a bead of which neither is known.
    """
    said = tube.taken
    if said.grams and said.held:
        return said.grams / said.held
    try:
        return mass_g(find(said.size, said.shape))
    except ValueError:
        raise Fault(f"{tube.name} cannot be weighed: what one weighs is not known") from None


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


def _given_away(journal: Journal) -> Iterator[Draw]:
    for event, said in journal.each(TubeGivenAway):
        yield Draw(event.piece, event.bench, event.number, said.held)
