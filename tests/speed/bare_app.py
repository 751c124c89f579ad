"""The floor: a bare app with one label, which with an argument makes the same one-row commit."""

from __future__ import annotations

import sqlite3
import sys

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Label


class Bare(App[None]):
    """Counts keys in a label."""

    def compose(self) -> ComposeResult:
        """One label."""
        self.label = Label("READY 0")
        yield self.label

    def on_mount(self) -> None:
        """Open the database, if there is to be one."""
        self.count = 0
        self.db: sqlite3.Connection | None = None
        if len(sys.argv) > 1:
            self.db = sqlite3.connect(sys.argv[1], isolation_level=None)
            self.db.execute("PRAGMA journal_mode=WAL")
            self.db.execute("PRAGMA synchronous=FULL")
            self.db.execute("CREATE TABLE IF NOT EXISTS event (number INTEGER, text TEXT) STRICT")

    def on_key(self, event: events.Key) -> None:
        """Count, commit, show."""
        self.count += 1
        if self.db is not None:
            self.db.execute("BEGIN IMMEDIATE")
            self.db.execute("INSERT INTO event VALUES (?, ?)", (self.count, "crossed"))
            self.db.execute("COMMIT")
        self.label.update(f"READY {self.count}")


if __name__ == "__main__":
    Bare().run()
