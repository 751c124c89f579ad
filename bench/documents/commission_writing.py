"""A commission's file as a person would write it: only what has changed differs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from bench.documents.commission import Commission
from bench.documents.key_lines import KeyPath
from bench.documents.toml_editing import newline, with_tables_in_order, without
from bench.documents.value_edits import gone, with_changes

_ORDER = ("format", "id", "title", "whom", "due", "terms", "hanging", "lots", "deliveries")
_NEW = 'format = 1\ntitle = "new"\n'


def written_commission(commission: Commission, text: str = "") -> str:
    """Return the text of a commission's file; `text` is the one that it comes from.

    Keys that mean what they meant stay as they are written, with their comments and spaces. A lot
    is known again by its id, else by its name: its comments go where it goes.
    """
    import tomllib

    new = commission_values(commission)
    known = tomllib.loads(text.removeprefix("\ufeff")) if text.strip("\ufeff\r\n \t") else {}
    if not known:
        text = text + _NEW.replace("\n", newline(text))
        known = tomllib.loads(_NEW)
        old = dict(known, lots=[])
    else:
        old = commission_values(Commission.model_validate(known))
        text, old = _lots_in_order(text, old, new)
    for path in gone(old, new):
        text = without(text, path)
    text = with_changes(text, old, new, _ORDER, _has_lines).rstrip() + newline(text)
    return text if _means(text, new) else written_commission(commission)


def commission_values(commission: Commission) -> dict[str, Any]:
    """A commission as the values of its TOML, without what is as it is by itself."""
    usual: dict[str, Any] = commission.model_dump(exclude_none=True, exclude_defaults=True)
    kept: dict[str, Any] = _plain(usual | {"format": 1})
    return kept


def commission_json(commission: Commission) -> dict[str, Any]:
    """A commission as JSON, as an event holds it: days and amounts as text."""
    usual: dict[str, Any] = commission.model_dump(
        mode="json", exclude_none=True, exclude_defaults=True
    )
    return usual | {"format": 1}


def _plain(value: Any) -> Any:
    """Lists in place of tuples."""
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value


def _lots_in_order(
    text: str, old: dict[str, Any], new: Mapping[str, Any]
) -> tuple[str, dict[str, Any]]:
    """Take out the lots that are no more, and put those that stay in their new order."""
    now = [
        next((at for at, was in enumerate(old["lots"]) if _same(was, lot)), None)
        for lot in new["lots"]
    ]
    stay = list(dict.fromkeys(at for at in now if at is not None))
    for at in reversed(range(len(old["lots"]))):
        if at not in stay:
            text = without(text, ("lots", at))
    rank = {at: place for place, at in enumerate(sorted(stay))}
    text = with_tables_in_order(text, "lots", [rank[at] for at in stay])
    return text, old | {"lots": [old["lots"][at] for at in stay]}


def _same(was: Mapping[str, Any], lot: Mapping[str, Any]) -> bool:
    if "id" in was:
        return bool(was["id"] == lot.get("id"))
    return bool(was["name"] == lot["name"])


def _means(text: str, values: dict[str, Any]) -> bool:
    """Whether a text means these values: tables can be written in ways that no edit here knows."""
    import tomllib

    try:
        found = Commission.model_validate(tomllib.loads(text.removeprefix("\ufeff")))
    except ValueError:
        return False
    return commission_values(found) == values


def _has_lines(value: Any, path: KeyPath) -> bool:
    """Whether a new value becomes a table with lines of its own; others go on one line."""
    if isinstance(value, (dt.date, str)) or path[-1] == "like":
        return False
    return isinstance(value, Mapping) or path in (("lots",), ("deliveries",))
