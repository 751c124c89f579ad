"""What keys can do, by the ids that the settings use, and the usual keys of each."""

from __future__ import annotations

ACTIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "next": ("cross laid down", ("space",)),
    "back": ("take one back", ("backspace",)),
    "slip": ("not what I see", ("exclamation_mark",)),
    "place": ("find my place", ("f",)),
    "mark": ("mark done", ("m",)),
    "point": ("point", ("o",)),
    "pause": ("pause", ("p",)),
    "note": ("note", ("n",)),
    "per": ("a row a press, or a cross", ("r",)),
    "help": ("help", ("h",)),
    "leave": ("leave", ("l",)),
}
"""Every key of the bench by its action's id: what it does, and its keys unless set."""

LIST_ACTIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "open": ("open, start, go on", ("enter", "space")),
    "up": ("up", ("up", "k")),
    "down": ("down", ("down", "j")),
    "left": ("left, less", ("left",)),
    "right": ("right, more", ("right",)),
    "give_up": ("give a piece up", ("g",)),
    "piece": ("a piece's page: notes, choices", ("i",)),
    "times": ("your times", ("t",)),
    "new": ("a new piece; on the list a new pattern", ("n",)),
    "draw": ("a pattern on the drawing board", ("d",)),
    "begin": ("what to begin with", ("w",)),
    "measure": ("measure a piece again", ("m",)),
    "reopen": ("take a piece in hand again", ("a",)),
    "trial": ("a piece only tried out; of a pattern a copy to draw on", ("c",)),
    "close": ("close the program", ("q",)),
}
"""The keys of lists and pages, beside `help` and `leave`."""

BOARD_ACTIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "lay": ("lay the bead in hand", ("enter", "space")),
    "take_up": ("take the bead here in hand", ("full_stop",)),
    "more_beads": ("the next ten beads for the digits", ("comma",)),
    "no_bead": ("carried here without a bead", ("minus",)),
    "unset": ("left open here", ("question_mark",)),
    "turn_on": ("turn the outline", ("greater_than_sign",)),
    "turn_back": ("turn the outline back", ("less_than_sign",)),
    "spread": ("the spread; with SHIFT the one before", ("w",)),
    "strands": ("strands that are reached together", ("j",)),
    "block": ("mark a block", ("b",)),
    "row": ("go to a row", ("g",)),
    "load": ("type the load", ("l",)),
    "size": ("size of the bead", ("s",)),
    "colour": ("colour of the bead", ("c",)),
    "exchange": ("another bead, or its finish", ("e",)),
    "another_bead": ("a bead more", ("i",)),
    "rows": ("rows: in, out, copy, move", ("r",)),
    "length": ("a length in mm", ("d",)),
    "repeats": ("every repeat at once", ("equals_sign",)),
    "motif": ("motif", ("m",)),
    "appearances": ("appearances of a repeat", ("a",)),
    "shape": ("shape from a wish", ("o",)),
    "shown": ("which size and colourway are shown", ("v",)),
    "another_size": ("another size", ("z",)),
    "colourways": ("colourways", ("t",)),
    "twin": ("mirror twin", ("x",)),
    "figures": ("figures and findings", ("f",)),
    "cure": ("cure the worst finding", ("exclamation_mark",)),
    "undo": ("take back", ("u",)),
    "redo": ("do again", ("y",)),
    "keep": ("keep it", ("k",)),
    "braid": ("braid it, the sample first", ("p",)),
    "structure": ("the structure of a new one", ("n",)),
    "leave_board": ("leave the board", ("q",)),
}
"""The keys of the drawing board, beside `help`."""

MODES: dict[str, tuple[str, ...]] = {
    "the bench": tuple(ACTIONS),
    "the list": (
        "open",
        "up",
        "down",
        "left",
        "right",
        "give_up",
        "piece",
        "trial",
        "new",
        "draw",
        "times",
        "help",
        "close",
    ),
    "the pages": (
        *("open", "up", "down", "left", "right", "times", "new", "begin", "measure", "reopen"),
        *("piece", "trial"),
        *("help", "leave"),
    ),
    "the board": (*BOARD_ACTIONS, "help"),
}
"""Which actions are at hand together: no two of them can have one key."""

FIXED = (
    *("escape", "backspace", "tab", "home", "end", "pageup", "pagedown", "slash"),
    *"0123456789",
)
"""Keys that lists, pages and the board keep for themselves."""
