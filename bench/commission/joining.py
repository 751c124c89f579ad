"""Another bench's version of an order, joined with what this bench has changed meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from bench.commission.versions import History, Version
from bench.craft.text import Fault
from bench.documents.commission import Commission, Lot


def joined(
    mine: Commission, version: Version, history: History, follows: Iterable[str]
) -> Commission:
    """The order as another bench's version has it, with what it has left as it was.

    Where this bench alone has changed a part (the places to hang at, a lot's count), its change
    stays; where both have, the other's counts. A lot that one has taken out and the other has
    changed stays. `mine`: the order here, which goes on from the versions `follows`. Customers
    are no part of a version: mine stays.
    """
    theirs = version.commission.model_copy(update={"whom": mine.whom})
    base = _before_both(history, version, follows)
    if base is None:
        return theirs
    values = _parts(mine, theirs, base, leave=("lots", "terms", "whom"))
    values["terms"] = mine.terms.model_copy(update=_parts(mine.terms, theirs.terms, base.terms))
    values["lots"] = tuple(_lots(mine.lots, theirs.lots, base.lots))
    found = mine.model_copy(update=values)
    try:
        return Commission.model_validate(found.model_dump())
    except (ValidationError, Fault):
        return theirs


def _before_both(history: History, version: Version, follows: Iterable[str]) -> Commission | None:
    """The order as it was before the two parted; None where they have nothing in common."""
    over = {one.event: one.over for one in history.versions}
    ours = _with_those_before(over, follows)
    if version.event in ours:
        # What is here is no change of that version: it stands there whole.
        return None
    common = ours & _with_those_before(over, (version.event,))
    last = [one.commission for one in history.versions if one.event in common]
    return last[-1] if last else None


def _with_those_before(over: Mapping[str, tuple[str, ...]], events: Iterable[str]) -> set[str]:
    found: set[str] = set()
    ahead = [*events]
    while ahead:
        event = ahead.pop()
        if event not in found:
            found.add(event)
            ahead.extend(over.get(event, ()))
    return found


def _parts(mine: Any, theirs: Any, base: Any, leave: tuple[str, ...] = ()) -> dict[str, Any]:
    """The fields of a document's part: mine where the other bench has left them as they were."""
    return {
        name: getattr(mine if getattr(theirs, name) == getattr(base, name) else theirs, name)
        for name in type(mine).model_fields
        if name not in leave
    }


def _lots(mine: Iterable[Lot], theirs: Iterable[Lot], base: Iterable[Lot]) -> Iterator[Lot]:
    """The lots of both by their ids, in the other bench's order if it has changed that."""
    here, there, before = ({lot.id: lot for lot in lots} for lots in (mine, theirs, base))
    first, then = (here, there) if [*there] == [*before] else (there, here)
    for key in dict.fromkeys([*first, *then]):
        if key in here and key in there:
            parts = _parts(here[key], there[key], before.get(key, there[key]))
            yield here[key].model_copy(update=parts)
        else:
            alone = here.get(key) or there[key]
            if alone != before.get(key):
                yield alone
