"""Finds and reads documents: the shipped ones and the maker's own, which win on the same name."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault, cleaned
from bench.documents.errors import DocumentError
from bench.documents.folders import Entry, Folders
from bench.documents.index import Stamp, stamp_of
from bench.documents.reading import at_key, read_document

if TYPE_CHECKING:
    from bench.documents.commission import Commission


class Library(Folders):
    """The documents that a maker can use, by name."""

    def __init__(self, home: Path | None = None) -> None:
        super().__init__(home)
        self._read_structures: dict[str, tuple[list[Stamp], Structure]] = {}
        self._read_plans: dict[Path, tuple[Stamp, Structure, Plan]] = {}

    def structure(self, name: str) -> Structure:
        """Return a structure by name, read anew if its file has changed.

        Raises DocumentError if its file is wrong, Fault if there is none.
        """
        stamps = [stamp_of(file) for file in self.structure_files(name)]
        known = self._read_structures.get(name)
        if known is None or known[0] != stamps:
            path = _find(name, self.structures(), "structure")
            known = self._read_structures[name] = (stamps, read_document(path, Structure))
        return known[1]

    def pattern_path(self, name: str) -> Path:
        """Return the file of a pattern given by its name or by a path."""
        return self.pattern_named(name) or _find(name, self.patterns(), "pattern")

    def commission_path(self, name: str) -> Path:
        """Return the file of a commission given by its name or by a path."""
        return self.commission_named(name) or _find(name, self.commissions(), "commission")

    def plan(self, path: Path) -> Plan:
        """Return the plan of the pattern in a file; `plan.pattern` is the pattern as written.

        It is read anew if its file or its structure's has changed. Raises DocumentError for a file
        that is wrong, or does not go with its structure.
        """
        stamp, known = stamp_of(path), self._read_plans.get(path)
        same = known is not None and stamp is not None and known[0] == stamp
        pattern = known[2].pattern if known is not None and same else read_document(path, Pattern)
        try:
            structure = self._structure_of(pattern)
            if known is not None and same and known[1] is structure:
                return known[2]
            plan = Plan(pattern, structure)
        except Fault as fault:
            raise at_key(path, fault) from None
        self._read_plans[path] = (stamp, structure, plan)
        return plan

    def commission(self, path: Path) -> Commission:
        """Return the commission in a file; each lot's pattern, size and colourway exist."""
        from bench.documents.commission import Commission

        commission = read_document(path, Commission)
        self.check_lots(path, commission)
        return commission

    def check_lots(self, path: Path, commission: Commission) -> None:
        """Raise DocumentError where a lot has no pattern, or not in its size and colourway."""
        for number, lot in enumerate(commission.lots):
            key = "pattern"
            try:
                found = self.plan(self.pattern_path(lot.pattern)).pattern
                key = "size"
                found.resolve(lot.size)
                key = "colourway"
                found.resolve(None, lot.colourway)
            except Fault as fault:
                raise at_key(path, Fault(str(fault), "lots", number, key)) from None

    def _structure_of(self, pattern: Pattern) -> Structure:
        try:
            return self.structure(pattern.structure)
        except Fault as fault:
            raise Fault(str(fault), "structure") from None


def _find(name: str, entries: list[Entry], what: str) -> Path:
    for entry in entries:
        if entry.name == name:
            return entry.path
    path = Path(name)
    if name.endswith(".toml") or "/" in name or path.is_file():
        if not path.exists():
            raise DocumentError(path, "there is no such file")
        return path
    known = ", ".join(cleaned(e.name, 40) for e in entries[:12]) + (
        " …" if len(entries) > 12 else ""
    )
    raise Fault(f"there is no {what} '{cleaned(name, 60)}'; known: {known or 'none'}")
