"""Work beside the keys that keeps them waiting as little as can be."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager

SHORT_TURN_S = 0.0002
"""How long such work keeps a key waiting, each time."""


@contextmanager
def keys_first() -> Iterator[None]:
    """Give other threads their turn at once, and hold no collection, while this works."""
    turn_s = sys.getswitchinterval()
    sys.setswitchinterval(SHORT_TURN_S)
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
        sys.setswitchinterval(turn_s)
