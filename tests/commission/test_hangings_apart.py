"""Which piece hangs where, kept at two benches that know nothing of each other."""

from __future__ import annotations

from pathlib import Path

from bench.commission.book import keep
from bench.commission.changing import with_values
from bench.commission.hanging_plan import kept_apart, kept_as, kept_keys
from tests.support.two_benches import DAY, Bench

KEYS = ("silv-lot/1", "silv-lot/2", "silv-lot/3")


def kept(bench: Bench, *keys: str) -> None:
    """Keep an arrangement at a bench."""
    book = bench.book("door")
    bench.journal.append(kept_as(bench.journal, book, keys), pieces=book.id)


def merged(one: Bench, other: Bench) -> None:
    """Give each bench the other's events, twice."""
    for _ in range(2):
        one.take_in(other)
        other.take_in(one)


def test_both_benches_tell_of_it_until_one_is_kept_again(tmp_path: Path) -> None:
    """The same one holds at both; kept again it follows both; one kept twice is not apart."""
    one, other = Bench.at(tmp_path / "one"), Bench.at(tmp_path / "other")
    one.begin("door", "silver-eaves")
    places = {"places": [(0.0, 40.0), (50.0, 90.0), (99.0, 40.0)]}
    book = one.book("door")
    one.journal.append_many(keep(book, with_values(book.commission, hanging=places), DAY))
    other.take_in(one)
    (other.library.home / "commissions" / "door.toml").write_text(book.file.read_text("utf-8"))
    kept(one, *KEYS)
    kept(one, *KEYS)
    merged(one, other)
    assert not kept_apart(other.journal, other.book("door"))
    kept(one, KEYS[1], KEYS[0], KEYS[2])
    kept(other, KEYS[2], KEYS[1], KEYS[0])
    merged(one, other)
    for bench in (one, other):
        assert kept_apart(bench.journal, bench.book("door"))
    assert kept_keys(one.journal, one.book("door")) == kept_keys(other.journal, other.book("door"))
    kept(other, *KEYS)
    merged(one, other)
    for bench in (one, other):
        assert not kept_apart(bench.journal, bench.book("door"))
        assert kept_keys(bench.journal, bench.book("door")) == KEYS
