"""The mirror twin: the same sheet on the structure that is worked the other way round."""

from __future__ import annotations

from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.design.braid_map import braid_map
from bench.design.sheet import Cell, Sheet


def mirror_twin(sheet: Sheet, structure: Structure, name: str) -> Sheet:
    """The sheet whose braid is the mirror image, for a pair of earrings.

    `structure` is the mirrored one, `name` what patterns call it. Each strand takes the load of
    the strand that lies at its mirrored place and is carried at the same crosses. Raises Fault
    where the two structures are no mirror images.
    """
    ours = braid_map(sheet.structure, sheet.pattern.plain_start)
    theirs = braid_map(structure, sheet.pattern.plain_start)
    if structure.strands != sheet.strands:
        raise Fault("the two structures differ in their strands; they are no mirror images")
    partners = {}
    for strand in range(1, sheet.strands + 1):
        cell = Cell(strand, 1)
        mirrored = (-ours.angle_deg(cell)) % 360
        partner = next(
            (
                other
                for other in range(1, structure.strands + 1)
                if theirs.cross(Cell(other, 1)) == ours.cross(cell)
                and abs((theirs.angle_deg(Cell(other, 1)) - mirrored + 180) % 360 - 180) < 1e-6
            ),
            None,
        )
        if partner is None:
            raise Fault("the two structures are no mirror images; there is no twin")
        partners[partner] = strand
    threads = sheet.pattern.threads
    back = {strand: partner for partner, strand in partners.items()}
    doubles = tuple((back[a], back[b]) for a, b in threads.double_lengths)
    pattern = sheet.pattern.model_copy(
        update={
            "structure": name,
            "threads": threads.model_copy(update={"double_lengths": doubles}),
        }
    )
    loads = tuple(sheet.loads[partners[n] - 1] for n in range(1, structure.strands + 1))
    return Sheet(pattern, structure, loads)
