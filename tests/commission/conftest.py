"""Two benches for whatever goes on at two of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.two_benches import Bench, Benches


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    """Two benches that know nothing of each other."""
    one, two = Bench.at(tmp_path / "one"), Bench.at(tmp_path / "two")
    yield one, two
    one.journal.close()
    two.journal.close()
