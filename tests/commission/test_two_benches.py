"""Orders and their pieces at two benches that merge at any point, against a plain model."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule

from bench.commission.book import keep
from bench.commission.lot_refs import given_anew
from bench.journal.inspection_payloads import PutIntoLot
from tests.support.two_benches import DAY, MADE, Bench

WHICH = st.integers(0, 20)
PATTERNS = st.sampled_from(sorted(MADE))
NAMES = st.sampled_from(["Lot 1", "Lot 2"])
BENCH = st.integers(0, 1)


class Orders(RuleBasedStateMachine):
    """Two benches beside two plain tables of which piece was begun for, or put into, which lot."""

    @initialize()
    def begin(self) -> None:
        """Two benches that both have one order, and from then on know nothing of each other."""
        self.root = Path(tempfile.mkdtemp())
        self.benches = [Bench.at(self.root / name) for name in ("one", "two")]
        self.lot_of: list[dict[str, tuple[str, str]]] = [{}, {}]
        """By bench, of each piece that it knows of, the ids of its order and its lot."""
        self.made_at: dict[str, int] = {}
        self.benches[0].begin("stair", "cistern")
        self.merge(1, 1)
        self.benches[1].take_orders()

    def order(self, bench: int, which: int) -> str:
        """The name of one of the orders of a bench; "" where it has none."""
        names = self.benches[bench].orders()
        return names[which % len(names)] if names else ""

    @rule(bench=BENCH, name=st.sampled_from(["hall", "porch"]), pattern=PATTERNS)
    def begin_order(self, bench: int, name: str, pattern: str) -> None:
        """Begin an order, in the place of the one of that name if there is any."""
        file = self.benches[bench].library.home / "commissions" / f"{name}.toml"
        file.unlink(missing_ok=True)
        self.benches[bench].begin(name, pattern)

    @rule(bench=BENCH, which=WHICH, lot=WHICH, older=st.booleans())
    def make(self, bench: int, which: int, lot: int, older: bool) -> None:
        """Make a piece; without ids where this bench has kept the order as it is and is called."""
        at, name = self.benches[bench], self.order(bench, which)
        if not name:
            return
        book = at.book(name)
        own = book.commission.lots[lot % len(book.commission.lots)]
        last = book.history.kept_last(at.journal.bench)
        known = [v for v in last if (v.name, v.commission) == (name, book.commission)]
        piece = at.make(name, own.name, older=older and bool(known))
        self.lot_of[bench][piece] = (book.id, own.id or "")
        self.made_at[piece] = bench

    @rule(bench=BENCH, which=WHICH, lot=WHICH, name=NAMES, pattern=PATTERNS, new=st.booleans())
    def change(self, bench: int, which: int, lot: int, name: str, pattern: str, new: bool) -> None:
        """Give a lot another name, and pattern while it has no piece, or take one more lot in."""
        at, order = self.benches[bench], self.order(bench, which)
        if not order:
            return
        book = at.book(order)
        now = book.commission
        own = now.lots[lot % len(now.lots)]
        is_free = name not in {one.name for one in now.lots}
        if new and is_free:
            at.change(order, name, pattern=pattern, pieces=2)
        elif not new:
            key = own.id or ""
            pattern = own.pattern if book.made.get(key) or book.in_hand.get(key) else pattern
            at.change(order, own.name, pattern=pattern, name=name if is_free else own.name)

    @rule(bench=BENCH, which=WHICH, piece=WHICH, lot=WHICH)
    def put_elsewhere(self, bench: int, which: int, piece: int, lot: int) -> None:
        """Put a piece that was made here into another lot."""
        at, name = self.benches[bench], self.order(bench, which)
        own = sorted(made for made, where in self.made_at.items() if where == bench)
        if not (name and own):
            return
        book, moved = at.book(name), own[piece % len(own)]
        into = book.commission.lots[lot % len(book.commission.lots)]
        said = PutIntoLot(name, 50 + len(self.made_at), book.id, into.id)
        at.journal.append(said, pieces=moved, lot=into.name)
        self.lot_of[bench][moved] = (book.id, into.id or "")

    @rule(bench=BENCH, which=WHICH)
    def call_otherwise(self, bench: int, which: int) -> None:
        """Give an order's file another name."""
        name = self.order(bench, which)
        folder = self.benches[bench].library.home / "commissions"
        if name and not (folder / "attic.toml").exists():
            (folder / f"{name}.toml").rename(folder / "attic.toml")

    @rule(to=BENCH, times=st.integers(1, 2))
    def merge(self, to: int, times: int) -> None:
        """Take in all of the other bench, once or twice."""
        there = {p: lot for p, lot in self.lot_of[1 - to].items() if self.made_at[p] != to}
        self.lot_of[to] |= there
        for _ in range(times):
            self.benches[to].take_in(self.benches[1 - to])
        self.holds(to)

    @rule(bench=BENCH)
    def take_orders(self, bench: int) -> None:
        """Put the orders that came in on the list, and take what another bench changed."""
        at = self.benches[bench]
        at.take_orders()
        assert not at.take_orders()
        for name in at.orders():
            book = at.book(name)
            for version in book.elsewhere[:1]:
                kept = keep(book, version.commission, DAY, made_more_goes="stock")
                at.journal.append_many(kept)
            assert not at.book(name).elsewhere

    def holds(self, bench: int) -> None:
        """Each lot has exactly its pieces, of which no two have one number."""
        found = self.benches[bench].pieces()
        for ref, pieces in found.items():
            assert set(pieces) == {p for p, lot in self.lot_of[bench].items() if lot == ref}
            assert len(set(pieces.values())) == len(pieces)

    def teardown(self) -> None:
        """Merged both ways, in either order and once more, both benches say the same."""
        if not hasattr(self, "benches"):
            return
        for to in (0, 1):
            self.holds(to)
            self.merge(to, 1)
        self.merge(0, 2)
        for bench in (0, 1):
            self.take_orders(bench)
        self.merge(0, 1)
        self.merge(1, 1)
        one, two = (at.pieces() for at in self.benches)
        assert set(self.lot_of[0].items()) == set(self.lot_of[1].items())
        assert all(one[ref] == two[ref] for ref in one.keys() & two.keys())
        told = [set(given_anew(at.journal)) for at in self.benches]
        assert told[0] == told[1]
        for at in self.benches:
            at.journal.close()
        shutil.rmtree(self.root)


TestOrders = Orders.TestCase
TestOrders.settings = settings(max_examples=9, stateful_step_count=12, deadline=None)
