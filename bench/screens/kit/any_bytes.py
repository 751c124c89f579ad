"""Bytes from the terminal that are no UTF-8."""

from __future__ import annotations

import codecs
import os
from collections.abc import Callable
from functools import partial


def bear_any_bytes() -> None:
    """Have such bytes read as U+FFFD: Textual's reader would end at them."""
    if os.name != "posix":
        return
    from textual.drivers import linux_driver

    def decoder(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
        return partial(codecs.getincrementaldecoder(encoding), "replace")

    vars(linux_driver)["getincrementaldecoder"] = decoder
