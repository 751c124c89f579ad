"""A sheet as plain JSON values, and back: open cells and all, as it stood on the board."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from bench.craft.load import MAX_LOAD, SKIP
from bench.craft.pattern import Pattern, canonical
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.design.sheet import OPEN, Sheet


def sheet_values(sheet: Sheet) -> dict[str, Any]:
    """The sheet as JSON values. `written` has the loads as the pattern's own file has them."""
    bare = sheet.pattern.model_copy(update={"loads": {}, "crosses": 1})
    return {
        "pattern": canonical(bare),
        "crosses": sheet.pattern.crosses,
        "written": dict(sheet.pattern.loads),
        "structure": canonical(sheet.structure),
        "loads": list(sheet.loads),
    }


def sheet_of_values(values: Any) -> Sheet:
    """The sheet of such values. Raises Fault, in one sentence, for anything else."""
    try:
        bare = Pattern.model_validate(values["pattern"])
        structure = Structure.model_validate(values["structure"])
        written, crosses, loads = values["written"], values["crosses"], values["loads"]
    except (ValidationError, TypeError, KeyError, IndexError) as error:
        raise Fault(f"this is no sheet of beads ({type(error).__name__})") from None
    known = {*bare.beads, SKIP, OPEN}
    if not (
        isinstance(loads, list)
        and len(loads) == structure.strands
        and all(isinstance(x, str) and len(x) <= MAX_LOAD and set(x) <= known for x in loads)
        and isinstance(written, dict)
        and all(isinstance(text, str) for text in written.values())
        and (crosses is None or isinstance(crosses, int))
    ):
        raise Fault("the loads of this sheet are no loads of its beads and strands")
    pattern = bare.model_copy(update={"loads": written, "crosses": crosses})
    return Sheet(pattern, structure, tuple(loads))
