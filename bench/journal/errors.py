"""What can go wrong with the journal, each said in one sentence."""

from __future__ import annotations


class JournalError(Exception):
    """Any trouble with the journal; its text is one sentence for the maker."""


class BadEvent(JournalError):
    """An event that the journal does not take; nothing was written."""


class Conflict(JournalError):
    """An event is in the journal with the same id and another content."""


class Refused(JournalError):
    """The file is another program's, or from a newer braid-bench: it is left alone."""


class Damaged(JournalError):
    """The file cannot be read and was opened for reading only: it is left alone."""


class Unreadable(JournalError):
    """The disk or the system does not give the file's content; nothing says that it is damaged."""


class Unwritable(JournalError):
    """The journal cannot be opened for writing."""


class Locked(Unwritable):
    """Another process, the `holder`, writes to the journal."""

    def __init__(self, holder: str) -> None:
        super().__init__(
            f"Another braid-bench writes to this journal ({holder}): "
            "close it there, or look on without writing."
        )


class NotSaved(JournalError):
    """Events could not be written; the journal keeps them in `pending` and tries again."""

    def __init__(self, why: str) -> None:
        super().__init__(f"Not saved: {why}.")
        self.why = why
