"""Numbers, counts and times in words."""

import pytest

from bench.craft.words import duration, in_words, often, one_or_more, ordinal, plural


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (0, "0 s"),
        (59.4, "59 s"),
        (59.5, "1 min"),
        (2460, "41 min"),
        (3569, "59 min"),
        (3570, "1 h 00"),
        (5400, "1 h 30"),
        (36_000_000, "10,000 h 00"),
    ],
)
def test_a_time_is_said_in_one_way(seconds: float, said: str) -> None:
    """Seconds below a minute, minutes below an hour, else hours and minutes."""
    assert duration(seconds) == said


def test_counts_bear_their_noun() -> None:
    """One has no ending, and a hiss takes another syllable."""
    assert [plural(n, "cross") for n in (0, 1, 2)] == ["0 crosses", "1 cross", "2 crosses"]
    assert plural(1200, "bead") == "1,200 beads"
    assert [one_or_more(n, "piece") for n in (1, 3)] == ["one piece", "3 pieces"]


def test_numbers_in_words() -> None:
    """Small numbers, ordinals with their odd teens, and how often."""
    assert [in_words(n) for n in (0, 8, 13)] == ["none", "eight", "13"]
    assert [ordinal(n) for n in (1, 2, 3, 11, 112, 22)] == [
        *("1st", "2nd", "3rd", "11th", "112th", "22nd"),
    ]
    assert [often(n) for n in (1, 2, 3)] == ["once", "twice", "3 times"]
