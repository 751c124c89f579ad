"""What a commission and its lots are known by, whatever they are called."""

from __future__ import annotations

import uuid
from collections.abc import Collection
from itertools import count
from pathlib import Path

from bench.documents.commission import Commission
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.reading import read_document

LONGEST = 32
"""Letters of a file's name, at most; a number may come behind them."""
_NAMESPACE = uuid.UUID("5f1b6c1e-7a0d-4f5c-9a44-0c1d5f0a7be2")


def with_ids(name: str, commission: Commission) -> Commission:
    """Return a commission whose every lot has an id, and it too.

    Where its file gives none, it follows from the file's name and the lot's, so that two benches
    with the same file mean the same by it.
    """
    whole = commission.id or order_id_of(name)
    lots = tuple(
        lot if lot.id else lot.model_copy(update={"id": lot_id_of(whole, lot.name)})
        for lot in commission.lots
    )
    return commission.model_copy(update={"id": whole, "lots": lots})


def order_id(path: Path) -> str | None:
    """The id of the commission in a file. Raises DocumentError for a file that is wrong."""
    return with_ids(path.stem, read_document(path, Commission)).id


def order_ids(library: Library) -> dict[str, str | None]:
    """The ids of the library's commissions by their names; None for one that cannot be read."""
    found: dict[str, str | None] = {}
    for entry in library.commissions():
        try:
            found[entry.name] = order_id(entry.path)
        except DocumentError:
            found[entry.name] = None
    return found


def customer_id(commission: str) -> str:
    """The subject of what is known of a commission's customer, so that it can be left out."""
    return str(uuid.uuid5(_NAMESPACE, f"customer/{commission}"))


def free_name(taken: Collection[str], stem: str) -> str:
    """A name for a commission's file that is free: the stem, or with a number behind it."""
    if stem not in taken:
        return stem
    numbered = (f"{stem[:LONGEST]}-{number}" for number in count(2))
    return next(name for name in numbered if name not in taken)


def new_lot_id() -> str:
    """An id for a lot that is added."""
    return uuid.uuid4().hex[:8]


def order_id_of(name: str) -> str:
    """The id of a commission whose file gives none, by the file's name."""
    return str(uuid.uuid5(_NAMESPACE, name))


def lot_id_of(commission: str, name: str) -> str:
    """The id of a lot to which its file gives none, by its commission's id and its name."""
    return uuid.uuid5(_NAMESPACE, f"{commission}/{name}").hex[:8]
