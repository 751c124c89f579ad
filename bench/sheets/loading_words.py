"""What the loading sheet says as text and as a page to print."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from bench.craft.stringing import BeadGroup, folded
from bench.craft.words import length_said

if TYPE_CHECKING:
    from bench.answers.loading_sheet import GroupLine, LoadingSheet, StrandLine, ThreadLine


def chosen_said(sheet: LoadingSheet) -> str:
    """Its size and colourway; empty for the pattern as written."""
    return "  ".join(filter(None, (f"size {sheet.size}" if sheet.size else "", sheet.colourway)))


def predicted_said(sheet: LoadingSheet) -> str:
    """What the finished braid is predicted to be, and what that rests on."""
    braid = sheet.predicted
    long = length_said(braid.length_low_mm, braid.length_high_mm)
    at_most = "at most " if braid.diameter_at_most else ""
    return f"Predicted {long} ({braid.rests_on}), {at_most}{braid.diameter_mm:.1f} mm thick."


def sample_said(sheet: LoadingSheet) -> str:
    """Which piece was signed off as the sample; empty without beads and sample."""
    if sheet.sample:
        return f"Signed off as the sample: {sheet.sample}."
    return "No sample is signed off yet: the first piece is the sample." if sheet.rows else ""


def groups_text(groups: Sequence[GroupLine]) -> str:
    """Return groups as counts and letters, repeats folded."""
    return folded([BeadGroup(g.bead, g.count, g.on) for g in groups]) or "no beads"


def in_order(strands: Iterable[StrandLine]) -> list[StrandLine]:
    """Return strands in the order in which they are strung."""
    return sorted(strands, key=lambda strand: strand.strung_as)


def halves_of(sheet: LoadingSheet, thread: ThreadLine) -> list[StrandLine]:
    """Return the halves of a thread in the order in which they are strung."""
    return in_order(strand for strand in sheet.strands if strand.thread == thread.thread)


def strung_alike(sheet: LoadingSheet, half: StrandLine) -> StrandLine | None:
    """Return the first half strung before this one with the same beads; None if none was."""
    before = (s for s in in_order(sheet.strands) if s.strung_as < half.strung_as)
    return next((s for s in before if s.string == half.string), None)


def proofs_said(sheet: LoadingSheet) -> list[str]:
    """How the halves are proved, each way once with the strands that it is for."""
    return _by_strands((s.strand, s.prove.says) for s in sheet.strands if s.total)


def scale_said(sheet: LoadingSheet) -> list[str]:
    """What the scale can tell, each once with the strands that it holds for."""
    return _by_strands(
        (s.strand, s.prove.weighed.says) for s in sheet.strands if s.prove.weighed is not None
    )


def marks_said(sheet: LoadingSheet, most: int | None = None) -> str:
    """The marks in order of their first cross, equal ones together; at most so many crosses."""
    crosses: dict[str, list[int]] = {}
    for mark in sheet.marks:
        crosses.setdefault(mark.do[:1].lower() + mark.do[1:], []).append(mark.after_cross)
    said = []
    for do, after in crosses.items():
        left_out = most is not None and len(after) > most
        more = f" … {after[-1]} ({len(after)} times)" if left_out else ""
        said.append(f"{do} after {', '.join(str(cross) for cross in after[:most])}{more}")
    return "; ".join(said)


def _by_strands(sayings: Iterable[tuple[int, str]]) -> list[str]:
    """Sentences about strands, each once; with the strands where there is more than one."""
    said: dict[str, list[int]] = {}
    for strand, sentence in sayings:
        said.setdefault(sentence, []).append(strand)
    if len(said) == 1:
        return list(said)
    return [
        f"strand{'s' if len(strands) > 1 else ''} {', '.join(map(str, strands))}: {sentence}"
        for sentence, strands in said.items()
    ]
