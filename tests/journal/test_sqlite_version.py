from __future__ import annotations

import pytest

from bench.journal.sqlite_version import Version, fault_of


@pytest.mark.parametrize(
    ("version", "has_it"),
    [
        ((3, 7, 0), True),
        ((3, 40, 1), True),
        ((3, 44, 5), True),
        ((3, 44, 6), False),
        ((3, 45, 0), True),
        ((3, 50, 6), True),
        ((3, 50, 7), False),
        ((3, 51, 2), True),
        ((3, 51, 3), False),
        ((3, 53, 0), False),
    ],
)
def test_the_versions_with_a_fault_are_known(version: Version, has_it: bool) -> None:
    """The versions are those of https://www.sqlite.org/wal.html#walresetbug, from to mended."""
    assert bool(fault_of(version)) == has_it
