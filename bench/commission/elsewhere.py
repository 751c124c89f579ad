"""Commissions that came in from another bench and have no file here yet."""

from __future__ import annotations

from bench.commission.identity import customer_id, free_name, order_ids
from bench.commission.versions import Version, read_history
from bench.craft.text import is_name
from bench.documents.commission_writing import written_commission
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.pattern_writing import write_document
from bench.journal.commission_payloads import CommissionKept, CustomerNamed
from bench.journal.store import Journal


def without_file(journal: Journal, library: Library) -> dict[str, Version]:
    """The commissions that are kept in the journal alone, as kept last, by names that are free.

    A commission is known by its id: that another one here has its name hides it from nobody. Of a
    file that cannot be read the name has to do.
    """
    files = order_ids(library)
    found: dict[str, Version] = {}
    orders = {event.piece for event, _ in journal.each(CommissionKept)}
    new = orders - {*files.values()}
    kept = {order: read_history(journal, order).latest for order in new}
    named = sorted((latest.name, order, latest) for order, latest in kept.items() if latest)
    for name, _, latest in named:
        if name in files and files[name] is None:
            continue
        stem = name if is_name(name) else "order"
        found[free_name({*files, *found}, stem)] = latest
    return found


def take_over(journal: Journal, library: Library, name: str, version: Version) -> None:
    """Write the file of a commission as another bench kept it, and for whom, if that came too.

    Raises DocumentError.
    """
    file = library.home / "commissions" / f"{name}.toml"
    if file.exists():
        raise DocumentError(file, "there is such a file already; nothing was written over it")
    subject = customer_id(version.commission.id or "")
    named = [said.whom for _, said in journal.each(CustomerNamed, subject)]
    commission = version.commission.model_copy(update={"whom": named[-1] if named else ""})
    write_document(file, written_commission(commission), None)
