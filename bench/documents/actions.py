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
}
"""Which actions are at hand together: no two of them can have one key."""

FIXED = (
    *("escape", "backspace", "tab", "home", "end", "pageup", "pagedown", "slash"),
    *"0123456789",
)
"""Keys that lists and pages keep for themselves."""
