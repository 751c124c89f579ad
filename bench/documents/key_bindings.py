"""Which keys do what: the maker's own before the usual ones, and whether they can be."""

from __future__ import annotations

from collections.abc import Mapping

from bench.craft.text import Fault
from bench.documents.actions import ACTIONS, BOARD_ACTIONS, FIXED, LIST_ACTIONS, MODES
from bench.documents.key_names import why_not

_ALL = ACTIONS | LIST_ACTIONS | BOARD_ACTIONS

ARROWS = ("up", "down", "left", "right")
"""Besides fixed at the board, where they move the cursor."""


def keys_of(mode: str, own: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """The keys of every action of a mode, the maker's own before the usual ones."""
    return {action: own.get(action, _ALL[action][1]) for action in MODES[mode]}


def check_keys(own: Mapping[str, tuple[str, ...]]) -> None:
    """Raise Fault for keys by action that cannot be, or clash where they are at hand together."""
    for action, keys in own.items():
        if action not in _ALL:
            known = ", ".join(_ALL)
            raise Fault(f"there is no such action; known: {known}", "keys", action)
        if not keys:
            raise Fault("this action needs at least one key", "keys", action)
        for key in keys:
            wrong = why_not(key)
            arrow = action in BOARD_ACTIONS and key in ARROWS
            if wrong is None and action not in ACTIONS and (key in FIXED or arrow):
                where = "at the board" if action in BOARD_ACTIONS else "on lists and pages"
                wrong = f"key '{key}' is fixed {where}; take another one"
            if wrong is not None:
                raise Fault(wrong, "keys", action)
    for mode in MODES:
        _check_clashes(mode, own)


def _check_clashes(mode: str, own: Mapping[str, tuple[str, ...]]) -> None:
    taken: dict[str, str] = {}
    for action, keys in keys_of(mode, own).items():
        for key in keys:
            if key in taken:
                where = action if action in own else taken[key]
                raise Fault(
                    f"key '{key}' is set for both {taken[key]} and {action},"
                    f" which are at hand together: {mode}",
                    "keys",
                    where,
                )
            taken[key] = action
