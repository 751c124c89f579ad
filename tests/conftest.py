"""What holds for every test: none fails for being slow, none waits for the disk but on purpose."""

from __future__ import annotations

import sqlite3

import pytest
from hypothesis import HealthCheck, settings

from bench.journal import schema

settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")


@pytest.fixture(autouse=True)
def _no_waiting_for_the_disk(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Let commits return before they are on disk, in tests that are not marked `on_disk`.

    What another process commits, as the program in a pseudo-terminal does, waits as ever.
    """
    if request.node.get_closest_marker("on_disk") is None:
        durable = schema.durable

        def quick(db: sqlite3.Connection) -> None:
            durable(db)
            db.execute("PRAGMA synchronous = OFF")

        monkeypatch.setattr(schema, "durable", quick)
