"""What holds for every test: none fails for being slow, waits for the disk, or leaves a file."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from bench.journal import schema

# A program that a test starts keeps what it compiled: the next one starts a fifth sooner.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """One worker more than cores: while one waits for a program in a terminal, another computes."""
    return (os.cpu_count() or 1) + 1


@pytest.fixture(autouse=True, scope="session")
def _no_file_of_the_users(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Have the program keep in another folder what it keeps in the user's."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOME", str(tmp_path_factory.mktemp("user")))
        yield


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
            db.execute("PRAGMA synchronous = OFF")
            db.execute("PRAGMA journal_mode = WAL")
            durable(db)
            db.execute("PRAGMA synchronous = OFF")

        monkeypatch.setattr(schema, "durable", quick)
        monkeypatch.setattr(os, "fsync", lambda file: None)
