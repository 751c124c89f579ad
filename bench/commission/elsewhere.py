"""Commissions that came in from another bench and have no file here yet."""

from __future__ import annotations

from bench.commission.versions import Version, read_history
from bench.craft.text import is_name
from bench.documents.commission_writing import written_commission
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.pattern_writing import write_document
from bench.journal.commission_payloads import CommissionKept
from bench.journal.store import Journal


def without_file(journal: Journal, library: Library) -> dict[str, Version]:
    """By their names the commissions that are kept in the journal alone, as kept last."""
    known = {entry.name for entry in library.commissions()}
    found: dict[str, Version] = {}
    for event, said in journal.each(CommissionKept):
        if said.name in known or not is_name(said.name):
            continue
        latest = read_history(journal, event.piece).latest
        if latest is not None:
            found[said.name] = latest
    return found


def take_over(library: Library, name: str, version: Version) -> None:
    """Write the file of a commission as another bench kept it. Raises DocumentError."""
    file = library.home / "commissions" / f"{name}.toml"
    if file.exists():
        raise DocumentError(file, "there is such a file already; nothing was written over it")
    write_document(file, written_commission(version.commission), None)
