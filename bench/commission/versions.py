"""The versions of a commission: what was agreed when, out of the journal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from bench.commission.lot_number import Settled
from bench.craft.words import plural
from bench.documents.commission import TERM_WORDS, Commission, Hanging, Lot
from bench.journal.commission_payloads import CommissionCancelled, CommissionKept, Surplus
from bench.journal.standing import KeptVersion, standing
from bench.journal.store import Journal


@dataclass(frozen=True)
class Version:
    """One kept version: the event that kept it, the versions that it follows, and why.

    `name`: its file's name then. `bench`, `number`: the bench that kept it, and its event's number.
    """

    event: str
    name: str
    bench: str
    number: int
    over: tuple[str, ...]
    day: dt.date
    reason: str
    source: str
    commission: Commission
    surplus: tuple[Surplus, ...]


@dataclass(frozen=True)
class History:
    """A commission's versions in their order; `unread` ones hold what is no commission.

    `cancelled`: when and why it was, if it does not go on.
    """

    versions: tuple[Version, ...] = ()
    unread: int = 0
    cancelled: CommissionCancelled | None = None

    @property
    def heads(self) -> tuple[Version, ...]:
        """The versions that no other one follows: more than one where two benches changed it."""
        kept = [KeptVersion(v.event, v.over, v.commission, bool(v.surplus)) for v in self.versions]
        events = {*standing(kept)}
        return tuple(version for version in self.versions if version.event in events)

    @property
    def apart(self) -> tuple[Version, ...]:
        """The versions that stand and say different things, one for each of what they say."""
        heads = self.heads
        said = [version.commission for version in heads]
        return tuple(v for at, v in enumerate(heads) if v.commission not in said[:at])

    def passed(self, bench: str) -> frozenset[str]:
        """The events of the versions that those of a bench have gone on from."""
        over = {version.event: version.over for version in self.versions}
        ahead = [one for v in self.versions if v.bench == bench for one in v.over]
        found: set[str] = set()
        while ahead:
            event = ahead.pop()
            if event not in found:
                found.add(event)
                ahead.extend(over.get(event, ()))
        return frozenset(found)

    def kept_last(self, bench: str) -> tuple[Version, ...]:
        """The versions of a bench that no other one of it has gone on from."""
        passed = self.passed(bench)
        return tuple(v for v in self.versions if v.bench == bench and v.event not in passed)

    @property
    def latest(self) -> Version | None:
        """The last version."""
        return self.versions[-1] if self.versions else None

    @property
    def names(self) -> frozenset[str]:
        """What its file was ever called."""
        return frozenset(version.name for version in self.versions)

    @property
    def lot_names(self) -> Mapping[str, str]:
        """What each lot, by its id, is called, or was called last."""
        lots = (lot for version in self.versions for lot in version.commission.lots)
        return {lot.id: lot.name for lot in lots if lot.id is not None}

    def settled(self, now: Commission) -> Mapping[str, Settled]:
        """What became of pieces that were made beyond a count, by the lot's id, as it is `now`.

        Of versions that know nothing of each other the one that settled more of a lot counts: two
        benches that lower a count alike speak of the same pieces.
        """
        known: dict[str, tuple[Commission, Mapping[str, Settled]]] = {}
        for version in self.versions:
            found = _together(version.commission, [known[e] for e in version.over if e in known])
            _add(found, version.surplus)
            known[version.event] = version.commission, found
        found = _together(now, [known[version.event] for version in self.heads])
        if self.cancelled is not None:
            _add(found, self.cancelled.surplus)
            lots = {lot.id or "": Settled() for lot in now.lots} | found
            return {lot: replace(settled, is_off=True) for lot, settled in lots.items()}
        return found


def _add(found: dict[str, Settled], surplus: Iterable[Surplus]) -> None:
    for said in surplus:
        more = (said.pieces, 0) if said.goes == "charged" else (0, said.pieces)
        found[said.lot] = found.get(said.lot, Settled()).besides(*more)


def _together(
    now: Commission, before: Iterable[tuple[Commission, Mapping[str, Settled]]]
) -> dict[str, Settled]:
    """What stays settled of versions before, once the counts are those of `now`."""
    found: dict[str, Settled] = {}
    counts = {lot.id: lot.pieces for lot in now.lots}
    for commission, settled in before:
        then = {lot.id: lot.pieces for lot in commission.lots}
        for lot, was in settled.items():
            stays = was.after(counts.get(lot, 0) - then.get(lot, 0))
            found[lot] = max(found.get(lot, Settled()), stays, key=_weight)
    return found


def _weight(settled: Settled) -> tuple[int, int]:
    return settled.pieces, settled.charged


def read_history(journal: Journal, commission: str) -> History:
    """Read the versions of a commission by its id."""
    versions, unread = [], 0
    for event, said in journal.each(CommissionKept, commission):
        try:
            day = dt.date.fromisoformat(said.day)
            content = Commission.model_validate(said.content)
        except ValueError:
            unread += 1
            continue
        kept_by = (said.name, event.bench, event.number)
        why = (day, said.reason, said.source)
        versions.append(Version(event.uuid, *kept_by, said.over, *why, content, said.surplus))
    cancelled = [last for _, last in journal.each(CommissionCancelled, commission)]
    stands = cancelled[-1] if cancelled and not cancelled[-1].undone else None
    return History(tuple(versions), unread, stands)


def differences(old: Commission, new: Commission) -> Iterator[str]:
    """Say what is different, one short sentence each."""
    if old.title != new.title:
        yield f"called '{new.title}' in place of '{old.title}'"
    if old.due != new.due:
        yield f"due {_day(new.due)} in place of {_day(old.due)}"
    before = {lot.id: lot for lot in old.lots}
    after = {lot.id: lot for lot in new.lots}
    for key, lot in before.items():
        if key not in after:
            yield f"lot '{lot.name}' is out ({plural(lot.pieces, 'piece')})"
    for key, lot in after.items():
        if key not in before:
            yield f"lot '{lot.name}' is new ({plural(lot.pieces, 'piece')})"
        else:
            yield from _lot_differences(before[key], lot)
    kept = [key for key in before if key in after]
    if kept != [key for key in after if key in before]:
        yield "the lots are made in another order"
    for name in type(new.terms).model_fields:
        was, now = getattr(old.terms, name), getattr(new.terms, name)
        if was != now:
            yield f"{TERM_WORDS[name]}: {_value(now)} in place of {_value(was)}"
    if old.hanging != new.hanging:
        before_it, after_it = _places(old.hanging), _places(new.hanging)
        how = f"in place of {before_it}" if before_it != after_it else "hung another way"
        yield f"places to hang at: {after_it}, {how}"


def _places(hanging: Hanging | None) -> str:
    if hanging is None:
        return "none"
    where = {"rail": "on a rail", "hoop": "round a hoop", "window": "in a window"}
    return f"{len(hanging.places)} {where[hanging.shape]}"


def _lot_differences(old: Lot, new: Lot) -> Iterator[str]:
    name = new.name
    if old.name != name:
        yield f"lot '{old.name}' is called '{name}'"
    if old.pieces != new.pieces:
        more = new.pieces - old.pieces
        yield f"{name}: {abs(more)} {'more' if more > 0 else 'fewer'}, {new.pieces} pieces now"
    if old.due != new.due:
        yield f"{name}: due {_day(new.due)} in place of {_day(old.due)}"
    if old.price != new.price:
        yield f"{name}: {_value(new.price)} a piece in place of {_value(old.price)}"
    if old.hangs != new.hangs:
        yield f"{name}: {'hangs with the others' if new.hangs else 'is left out of the hanging'}"
    for key in ("pattern", "size", "colourway"):
        was, now = getattr(old, key), getattr(new, key)
        if was != now:
            yield f"{name}: {key} {_value(now)} in place of {_value(was)}"


def _day(day: dt.date | None) -> str:
    return "on no day" if day is None else day.isoformat()


def _value(value: object) -> str:
    return "none" if value in (None, "") else str(value)
