"""Events that pass every check of their form, and fit no piece."""

from __future__ import annotations

from typing import Any

ODD: dict[str, tuple[str, dict[str, Any]]] = {
    "a report of nothing": ("slip_reported", {"kind": ["?"], "strand": {}, "seen": 1e308}),
    "an answer of no look": (
        "look_answered",
        {"kind": "left", "seconds": "2", "answer": -9},
    ),
    "a long answer": ("look_answered", {"kind": "left", "seconds": 1e308, "answer": 10**300}),
    "a mend of no slip": (
        "mend_chosen",
        {"slips": [1, {"slip": []}], "do": "\x1b", "back_to": 2},
    ),
    "a mend far back": ("mend_chosen", {"slips": {}, "back_to": 2**52, "do": "", "caution": ""}),
    "a mend seen far off": (
        "mend_chosen",
        {"seen": [{"strand": 2**52, "cross": 2**52, "what": "[red]gap[/]"}]},
    ),
    "a mend that asks for a strand that is none": (
        "mend_chosen",
        {
            "later": [{"strand": 99, "cross": 2**52, "what": "[b]\x07"}],
            "back": True,
            "cross": 2**52,
        },
    ),
    "a mend that gives back what no strand had": (
        "mend_chosen",
        {"restores": [{"strand": 99, "cross": 2, "remaining": "zz", "in_place_of": 99}]},
    ),
    "a mend undone that was not chosen": ("mend_undone", {}),
    "a load of no strand": ("load_changed", {"strand": 99, "cross": 2**52, "remaining": "??"}),
    "a load of no letter": ("load_changed", {"strand": 1, "cross": 2, "remaining": "\x1b]0;x\x07"}),
    "a bead of no strand to sew in": ("sew_in", {"strand": 2**52, "cross": 0, "bead": "[b]"}),
    "a bead that was sewn in": ("sew_in_done", {"strand": 2**52, "cross": 2**52}),
    "a place beyond the braid": ("place_set", {"from": 4, "to": 2**52}),
    "a cross beyond the braid": ("crossed", {"from": 2**52, "to": 2**52 + 10_000}),
    "a cross that was never made": ("taken_back", {"from": 20_000, "to": 0}),
    "a mark that is none": ("mark_done", {"cross": 2**52, "mark": "[/]"}),
    "a strand loaded out of sight": ("loaded", {"strand": 2**52, "beads": 2**52}),
    "a strand proved by nothing": ("proved", {"strand": 2**52, "how": "[x]", "right": True}),
    "a tag that is none": ("set_tagged", {"tag": "-1 of 0 [red]\x07"}),
    "measures without end": (
        "measured",
        {"sample": True, "length_mm": 1e15, "weight_g": 0, "thread_left_mm": 1e15},
    ),
    "measures of nothing": ("measured", {"sample": False, "length_mm": 0, "thickness_mm": 0}),
    "beads without weight": (
        "bead_weighed",
        {
            "size": "11/0",
            "shape": "round",
            "name": "x",
            "beads": 2**52,
            "grams": 0,
            "resolution_g": 0,
        },
    ),
    "beads as heavy as a house": (
        "bead_weighed",
        {
            "size": "11/0",
            "shape": "round",
            "name": "x",
            "beads": 1,
            "grams": 1e15,
            "resolution_g": 1e15,
        },
    ),
    "a break of no event": ("break_corrected", {"event": "\x1b", "is_break": True}),
    "a stage again": ("stage_started", {"stage": "dry"}),
    "a stage that never began": ("stage_ended", {"stage": "load"}),
    "a piece recorded on top": (
        "recorded",
        {
            "pattern": "[red]",
            "size": None,
            "colourway": None,
            "stage": None,
            "hands_on_s": 3600,
            "waiting_s": None,
            "crosses": 120,
            "rework_s": None,
            "finished_at": 0,
            "quality": "good",
        },
    ),
}
"""Kind and payload of each, by what is odd about it."""
