"""Stages, numbers, counts and times in words, the same for sheets and screens."""

from __future__ import annotations

from collections.abc import Iterable

_NUMBERS = (
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
)  # fmt: skip

STAGES_DOING = {
    "load": "loading", "set_up": "setting up", "braid": "braiding", "dry": "drying",
    "finish": "finishing",
}  # fmt: skip
"""Each stage as what is being done."""


def in_words(count: int) -> str:
    """A small number in words, a larger one in digits."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def ordinal(count: int) -> str:
    """1st, 2nd, 3rd, 4th and so on."""
    ending = "th" if 10 <= count % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(count % 10, "th")
    return f"{count}{ending}"


def plural(count: int, noun: str) -> str:
    """A count with its noun: '1 cross', '1,200 crosses'."""
    ending = "" if count == 1 else "es" if noun.endswith("s") else "s"
    return f"{count:,} {noun}{ending}"


def one_or_more(count: int, noun: str) -> str:
    """As `plural`, a single one in words: 'one piece', '3 pieces'."""
    return f"one {noun}" if count == 1 else plural(count, noun)


def in_figures(value: float, digits: int = 2) -> str:
    """A measure with at most so many digits behind the point: '0.17', '0.5', '3'."""
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def length_said(low_mm: float, high_mm: float) -> str:
    """A range of lengths: '58 to 63 mm', '1.02 to 1.16 m'; one figure where both read alike."""
    metres = high_mm >= 1000
    low, high = (f"{mm / 1000:.2f}" if metres else f"{mm:.0f}" for mm in (low_mm, high_mm))
    unit = "m" if metres else "mm"
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def thickness_said(mm: float, at_most: bool) -> str:
    """A thickness: 'about 8.7 mm', 'at most 10.8 mm' where no more is known."""
    return f"{'at most' if at_most else 'about'} {mm:.1f} mm"


def often(times: int) -> str:
    """How often: once, twice, 3 times."""
    return {1: "once", 2: "twice"}.get(times, f"{times} times")


def duration(seconds: float) -> str:
    """Hands-on time: '45 s', '41 min', '1 h 20'."""
    if seconds < 59.5:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60:,} h {minutes % 60:02d}"


def clock(minutes: int) -> str:
    """Minutes as hours and minutes: '1:20'."""
    return f"{minutes // 60}:{minutes % 60:02d}"


def full_name(title: str, size: str | None, colourway: str | None, tag: str | None = None) -> str:
    """What a pattern or a piece of it is called: its title, size and colourway, and its set."""
    return ", ".join(filter(None, (title, size, colourway, tag)))


def lost_words(events: int) -> str:
    """Return what is told of a piece with events that are not understood; "" without any."""
    are = "is" if events == 1 else "are"
    return f"{events:,} of its events {are} not understood" if events else ""


def elsewhere_words(made: int, elsewhere: Iterable[int]) -> str:
    """Return what is told of a piece that went on elsewhere too; "" of one that did not.

    `made`: its crosses as counted here; `elsewhere`: as counted there, for each other place.
    """
    counts = list(elsewhere)
    if not counts:
        return ""
    if not made and not any(counts):
        return "went on elsewhere too, before its first cross"
    there = " and ".join([*(f"{count:,}" for count in counts[:-1]), plural(counts[-1], "cross")])
    return f"went on elsewhere too: {there} there, {made:,} here"
