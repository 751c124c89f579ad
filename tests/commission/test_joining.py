"""What another bench changed is taken over beside what was changed here, not in its place."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bench.commission.book import CommissionBook, keep
from bench.commission.changing import with_values
from bench.commission.joining import joined
from bench.commission.versions import History, Version
from bench.documents.commission import Commission, Hanging, Lot
from tests.support.two_benches import DAY, Bench, Benches

PLACES = Hanging(places=((0.0, 40.0), (60.0, 80.0)))


def keep_as(bench: Bench, book: CommissionBook, order: Commission) -> None:
    """Keep an order as it is."""
    bench.journal.append_many(keep(book, order, DAY))


def test_places_to_hang_at_stay_where_the_other_bench_changed_a_count(benches: Benches) -> None:
    """The count of the one and the places of the other both hold, and then both benches agree."""
    one, two = benches
    one.begin("door", "silver-eaves")
    two.take_in(one)
    two.take_orders()
    keep_as(one, one.book("door"), with_values(one.book("door").commission, hanging=PLACES))
    two.change("door", "Lot 1", pieces=5)
    one.take_in(two)
    book = one.book("door")
    (other,) = book.elsewhere
    found = book.joined(other)
    assert (found.hanging, found.lots[0].pieces) == (PLACES, 5)
    keep_as(one, book, found)
    two.take_in(one)
    (standing,) = two.book("door").elsewhere
    keep_as(two, two.book("door"), two.book("door").joined(standing))
    one.take_in(two)
    assert one.book("door").commission == two.book("door").commission == found
    assert one.book("door").elsewhere == two.book("door").elsewhere == ()


def version(event: str, commission: Commission, *over: str) -> Version:
    """A version of an order."""
    return Version(event, "door", event, 1, over, DAY, "", "app", commission, ())


LOTS = st.lists(
    st.builds(
        Lot,
        id=st.sampled_from(["plum", "moss", "grey"]),
        name=st.just("x"),
        pattern=st.sampled_from(["cistern", "downpipe"]),
        pieces=st.integers(1, 3),
    ),
    min_size=1, max_size=3, unique_by=lambda lot: lot.id,
)  # fmt: skip


def order(lots: list[Lot], title: str) -> Commission:
    """An order of lots, each called by its id."""
    named = tuple(lot.model_copy(update={"name": lot.id}) for lot in lots)
    return Commission(format=1, id="door", title=title, lots=named)


ORDERS = st.builds(order, LOTS, st.sampled_from(["Door", "Gate"]))


@given(ORDERS, ORDERS, ORDERS)
def test_whoever_changed_nothing_takes_the_other_as_it_is(
    base: Commission, mine: Commission, theirs: Commission
) -> None:
    """Where one bench has changed nothing the other's version holds; both changed alike is both."""

    def join(here: Commission, there: Commission) -> Commission:
        versions = (version("base", base), version("mine", here, "base"),
                    version("theirs", there, "base"))  # fmt: skip
        return joined(here, versions[2], History(versions), ["mine"])

    assert join(base, theirs) == theirs
    assert join(mine, base) == mine
    assert join(mine, mine) == mine
    found = join(mine, theirs)
    assert found.title == (mine if theirs.title == base.title else theirs).title
    assert {lot.id for lot in found.lots} <= {
        lot.id for o in (base, mine, theirs) for lot in o.lots
    }
