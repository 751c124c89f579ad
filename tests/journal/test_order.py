from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bench.journal.clock import Instant
from bench.journal.events import Event
from bench.journal.order import forked, in_order
from bench.journal.payloads import Paused


def event(name: str, after: str | None, number: int, bench: str = "a", wall: float = 0) -> Event:
    """Return an event of piece p."""
    return Event(
        uuid=name,
        bench=bench,
        number=number,
        after=(after,),
        sitting="s",
        pieces=(("p", 1.0),),
        lot=None,
        instant=Instant(wall, 0, "boot", 0.0),
        kind="paused",
        version=1,
        payload=Paused(),
    )


def names(events: list[Event]) -> str:
    """Return the events' names in a row."""
    return "".join(event.uuid for event in events)


CHAIN = [
    event(c, b, n, wall=-n)
    for n, (b, c) in enumerate(zip([None, *"abcd"], "abcde", strict=True), 1)
]
FORK = [*CHAIN[:3], event("x", "c", 9, "b"), event("y", "x", 10, "b"), *CHAIN[3:]]


@given(st.permutations(CHAIN))
def test_a_chain_is_put_in_order_whatever_the_clock_says(events: list[Event]) -> None:
    """Events follow their `after`, in whatever order they came and though the clock ran back."""
    assert names(in_order("p", events)) == "abcde"
    assert not forked("p", events)


@given(st.permutations(FORK))
def test_a_fork_keeps_each_branch_whole(events: list[Event]) -> None:
    """A piece carried on at two benches has one branch after the other, the lower number first."""
    assert names(in_order("p", events)) == "abcdexy"
    assert forked("p", events)


@given(st.permutations([CHAIN[0], *CHAIN[2:]]))
def test_a_missing_link_puts_the_rest_at_the_end(events: list[Event]) -> None:
    """Events whose forerunner is missing come after the others, in their own order."""
    assert names(in_order("p", events)) == "acde"


@given(st.permutations([CHAIN[0], event("x", "y", 7), event("y", "x", 8)]))
def test_a_circle_loses_nothing(events: list[Event]) -> None:
    """Even events that name one another as forerunners are all kept."""
    assert sorted(names(in_order("p", events))) == ["a", "x", "y"]


def test_what_follows_a_fork_stays_last() -> None:
    """A piece taken up again after a fork goes on from its end, and stays there."""
    ordered = in_order("p", FORK)
    going_on = event("z", ordered[-1].uuid, 11)
    assert names(in_order("p", [going_on, *FORK])) == "abcdexyz"
