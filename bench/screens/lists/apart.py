"""Working something out in another thread, and showing what came of it."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

from textual.screen import Screen
from textual.worker import get_current_worker

from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.journal.errors import JournalError


def work_apart(
    screen: Screen[None],
    group: str,
    read: Callable[[], Callable[[], None]],
    failed: Callable[[str], None],
    still_s: float = 0.0,
) -> None:
    """Call `read` in another thread, and what it returns in the app's; the last of a group counts.

    failed: is given the sentence of what is wrong. still_s: so long is waited first, for a newer
    one of the group.
    """

    def working() -> None:
        worker = get_current_worker()
        time.sleep(still_s)
        if worker.is_cancelled:
            return
        show: Callable[[], None] = partial(
            failed, "This could not be worked out; go back and come again."
        )
        try:
            show = read()
        except (JournalError, DocumentError, Fault) as error:
            show = partial(failed, str(error))
        finally:
            if not worker.is_cancelled:
                screen.app.call_from_thread(show)

    screen.run_worker(working, thread=True, exclusive=True, group=group, exit_on_error=False)
