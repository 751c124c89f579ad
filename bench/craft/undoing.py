"""What of a mark that was done has to be undone before its cross can be taken back.

Common practice, no source: core and clips go back the way they came; a wire that is out does not.
"""

from __future__ import annotations

from bench.craft.mark import Mark


def undo_words(mark: Mark, *, wire_is_out: bool) -> str:
    """What to do about a done mark before its cross comes out."""
    kind, do = mark.kind, mark.do
    if kind == "core-down" and wire_is_out:
        return "the wire is out: lift the core beads off and keep them, they cannot be parked again"
    if kind == "core-down":
        return "core up: open the clip, slide the core beads up the wire, close it under them"
    if kind == "upper-clip-off" and wire_is_out:
        return "the wire is out, no clip holds the core: its beads come loose from here, catch them"
    if kind == "upper-clip-off":
        return "upper wire clip on again, just above the last core bead"
    if kind == "wire-out":
        return "the wire is out and cannot go back: below here only the braid holds what it held"
    if kind == "core-cord-off":
        return "the core cord is cut and cannot go back: the braid closes round it up to here again"
    if mark.is_halt:
        return "thread was let out here: wind up a little if a tama comes near the base"
    if kind == "weight":
        return f"{do[:1].lower()}{do[1:]} was done here: hang as before it; stick in first"
    return f"done here: {do}. Undo it if it is in the way"
