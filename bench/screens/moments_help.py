"""The help texts of the screens: keys and what they do."""

from __future__ import annotations

HOME_HELP = (
    ("ENTER", "on a piece: go on where you left it, on the same cross"),
    ("", "on a pattern: its card; ENTER again starts a piece, nothing to type"),
    ("", "on a commission: its lots, what is done and what is still to make"),
    ("G", "on a piece: give it up, if it cannot be finished; asks once more first"),
    ("T", "your times: what a piece takes you, pattern by pattern"),
    ("UP DOWN", "choose a line; PAGE UP and PAGE DOWN go further"),
    ("Q", "close the program; nothing is lost, whenever you do it"),
)
