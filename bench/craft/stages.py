"""The stages of making a piece, in the order in which it goes through them."""

from __future__ import annotations

from typing import Literal, get_args

Stage = Literal["load", "set_up", "braid", "dry", "finish"]
HandsOn = Literal["load", "set_up", "braid", "finish"]

STAGES: tuple[Stage, ...] = get_args(Stage)
HANDS_ON: tuple[HandsOn, ...] = get_args(HandsOn)
"""The stages in which hands are at work; drying is waiting."""
BEGINNINGS: tuple[Stage, ...] = ("braid", "load", "set_up")
"""What a piece can begin with, the usual one first."""
