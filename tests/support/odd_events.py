"""Events that pass every check of their form, and fit no piece."""

from __future__ import annotations

from typing import Any

MEND: dict[str, Any] = {
    "do": "", "caution": "", "shows": "", "seconds": 1.0, "slips": [], "chance": 0.5, "cross": 4,
    "back": False,
}  # fmt: skip
LOOK: dict[str, Any] = {
    "cross": 5, "look": "left", "strand": 2**52, "place": 2**52, "asked_s": 1e15,
}  # fmt: skip

ODD: dict[str, tuple[str, dict[str, Any]]] = {
    "a report of nothing": (
        "slip_reported",
        {"cross": 2**52, "strand": 2**52, "place": 2**52, "look": "next", "saw": "[red]"},
    ),
    "an answer of no look": ("look_answered", {**LOOK, "answer": "\x07", "seconds": 0}),
    "a long answer": ("look_answered", {**LOOK, "answer": 2**52, "seconds": 1e15}),
    "an answer undone that was not given": ("look_undone", {"look": "glance"}),
    "a mend of no slip": (
        "mend_chosen",
        {**MEND, "slips": [{"slip": "[b]", "shift": -(2**52)}], "do": "\x1b", "back_to": 2},
    ),
    "a mend far back": ("mend_chosen", {**MEND, "back_to": 2**52}),
    "a mend seen far off": (
        "mend_chosen",
        {**MEND, "seen": [{"strand": 2**52, "cross": 2**52, "what": "[red]gap[/]"}]},
    ),
    "a mend that asks for a strand that is none": (
        "mend_chosen",
        {
            **MEND,
            "later": [{"strand": 99, "cross": 2**52, "what": "[b]\x07"}],
            "back": True,
            "cross": 2**52,
        },
    ),
    "a mend that gives back what no strand had": (
        "mend_chosen",
        {
            **MEND,
            "restores": [{"strand": 99, "cross": 2, "remaining": "zz", "in_place_of": 99}],
        },
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
    "steps of setting up that are none": ("set_up_done", {"steps": 2**52}),
    "weights as heavy as a house": (
        "hung",
        {
            "tama_g": [1e15] * 99,
            "counterweight_g": 1e15,
            "weights_g": [0, 1e15],
            "later": [{"cross": 2**52, "counterweight_g": 1e15}],
        },
    ),
    "a strand loaded out of sight": ("loaded", {"strand": 2**52, "beads": 2**52}),
    "a strand proved by nothing": ("proved", {"strand": 2**52, "how": "[x]", "right": True}),
    "a tag that is none": ("set_tagged", {"number": 2**52, "place": 9, "sets": 2}),
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

STARTED: dict[str, Any] = {
    "title": "Eaves", "pattern_name": "silver-eaves", "size": None, "colourway": None,
    "pattern": {}, "structure": {}, "hash": "0f", "commission": None,
}  # fmt: skip
MARK: dict[str, Any] = {"after_cross": 4, "id": "typed-1", "kind": "typed", "do": "look"}


def mark(**wrong: Any) -> tuple[str, dict[str, Any]]:
    """The start of a piece with one mark that has something wrong."""
    return "piece_started", {**STARTED, "marks": [{**MARK, **wrong}]}


MISFITS: dict[str, tuple[str, dict[str, Any]]] = {
    "a mark after a cross in letters": mark(after_cross="5"),
    "a mark after no cross": mark(after_cross=None),
    "a mark before the braid": mark(after_cross=-1),
    "a mark with a list for its id": mark(id=[]),
    "a mark of no kind": mark(kind="odd"),
    "a mark with a number for its words": mark(do=5),
    "a mark with one step for many": mark(steps="a"),
    "marks that are none": ("piece_started", {**STARTED, "marks": [1, None, []]}),
    "a pattern in a list": ("piece_started", {**STARTED, "pattern": []}),
    "a title that is none": ("piece_started", {**STARTED, "title": {"of": 1}}),
    "a piece number zero": ("piece_started", {**STARTED, "number": 0}),
    "nothing at all": ("piece_started", {}),
    "a cross in letters": ("crossed", {"from": 4, "to": "5"}),
    "a cross to half of one": ("crossed", {"from": 4, "to": 4.5}),
    "a cross to nowhere": ("crossed", {"from": 4, "to": None}),
    "a cross too many": ("crossed", {"from": 4, "to": 5, "by": 1}),
    "no cross": ("crossed", {"from": 4, "to": 4}),
    "a stage of no piece": ("stage_started", {"stage": ["load"]}),
    "a load in numbers": ("load_changed", {"strand": 1, "cross": 2, "remaining": 3}),
    "a strand zero": ("loaded", {"strand": 0, "beads": 3}),
    "a tag in words": ("set_tagged", {"tag": "set 3"}),
    "a mend in a list": ("mend_chosen", {**MEND, "do": ["a"]}),
    "a mend with slips that are none": ("mend_chosen", {**MEND, "slips": [1, {"slip": []}]}),
    "a mend without its restores": ("mend_chosen", {**MEND, "restores": {}}),
    "an answer in a list": ("look_answered", {**LOOK, "answer": [1]}),
    "a look of no kind": ("look_undone", {"look": "sniff"}),
    "a weight in letters": ("measured", {"sample": True, "weight_g": "2"}),
    "a weight too large for a number": ("measured", {"sample": True, "weight_g": 10**400}),
    "a quality of its own": ("finished", {"quality": "fine"}),
    "times in letters": ("recorded", {"pattern": "x", "hands_on_s": "1"}),
}
"""Kind and payload of events that do not hold what their kind must, by what is wrong."""
