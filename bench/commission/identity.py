"""What a commission and its lots are known by, whatever they are called."""

from __future__ import annotations

import uuid

from bench.documents.commission import Commission

_NAMESPACE = uuid.UUID("5f1b6c1e-7a0d-4f5c-9a44-0c1d5f0a7be2")


def with_ids(name: str, commission: Commission) -> Commission:
    """Return a commission whose every lot has an id, and it too.

    Where its file gives none, it follows from the file's name and the lot's, so that two benches
    with the same file mean the same by it.
    """
    whole = commission.id or str(uuid.uuid5(_NAMESPACE, name))
    lots = tuple(
        lot if lot.id else lot.model_copy(update={"id": _lot_id(whole, lot.name)})
        for lot in commission.lots
    )
    return commission.model_copy(update={"id": whole, "lots": lots})


def customer_id(commission: str) -> str:
    """The subject of what is known of a commission's customer, so that it can be left out."""
    return str(uuid.uuid5(_NAMESPACE, f"customer/{commission}"))


def new_lot_id() -> str:
    """An id for a lot that is added."""
    return uuid.uuid4().hex[:8]


def _lot_id(commission: str, name: str) -> str:
    return uuid.uuid5(_NAMESPACE, f"{commission}/{name}").hex[:8]
