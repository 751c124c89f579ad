"""Tubes: drawn by loadings, counted, given away, at two benches that merge at any point."""

from __future__ import annotations

import io
import random
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from bench.commission import loadings
from bench.commission.loading_tubes import LoadingTubes
from bench.commission.notions import used_up_by
from bench.commission.tube_book import read_tubes, seen_by, taking_back
from bench.commission.tubes import Count, Draw, balance_of, draws_of
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.clock import Instant
from bench.journal.events import Entry, Event
from bench.journal.payloads import Loaded
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from bench.journal.tube_payloads import (
    TubeCounted,
    TubeDrawn,
    TubeGivenAway,
    TubeLabelled,
    TubeTaken,
)
from bench.making.braid import Braid
from bench.making.loading import tag_first
from bench.making.worked_pattern import WorkedPattern
from bench.screens.preparing.loader import Loader
from tests.support.clock import ManualClock
from tests.support.events import said

START: dict[str, object] = {
    "title": "Gutter Pearl", "pattern_name": "gutter-pearl", "size": None, "colourway": None,
    "pattern": {}, "structure": {}, "hash": "0f", "commission": None,
}  # fmt: skip
CAME_IN = 500


def loads(text: str) -> list[Event]:
    """Loadings of strand 1: `12 from t` puts on up to 12, `4` takes off to 4, `-3` loses three."""
    found = []
    for number, part in enumerate(text.split(", "), 1):
        words = part.split()
        lost = next((int(word[1:]) for word in words if word[0] == "-"), 0)
        tube = words[words.index("from") + 1] if "from" in words else None
        payload = Loaded(1, int(words[0]), tube, lost)
        found.append(
            Event(
                f"e{number}",
                "a",
                number,
                (None,),
                "s",
                (("p", 1.0),),
                None,
                Instant(0, 0, "b", 0),
                "loaded",
                1,
                payload,
            )
        )
    return found


@pytest.mark.parametrize(
    ("text", "drawn"),
    [
        ("12 from t", {"t": 12}),
        ("12 from t, 4", {"t": 4}),
        ("12 from t, 20 from u, 10", {"t": 10, "u": 0}),
        ("12 from t, 20 from u, 10 -3", {"t": 10, "u": 3}),
        ("12 from t -2", {"t": 14}),
        ("12, 20 from t, 0", {"t": 0}),
        ("8 from t, 0, 8 from u", {"t": 0, "u": 8}),
        ("8 from t, 0 -8", {"t": 8}),
        ("8 from t, 8 from u -1", {"t": 8, "u": 1}),
    ],
)
def test_what_loadings_draw(text: str, drawn: dict[str, int]) -> None:
    """Put on is drawn, taken off is given back last first, lost stays drawn; others are nothing."""
    sums: dict[str, float] = {}
    for draw in draws_of(loads(text)):
        sums[draw.tube] = sums.get(draw.tube, 0) + draw.held
    assert {tube: sums.get(tube, 0) for tube in drawn} == drawn


def test_core_and_thread_are_drawn_with_the_first_load(tmp_path: Path) -> None:
    """Its core beads, and each length from a spool that it fits on; not a second time."""
    library = Library(tmp_path)
    made = WorkedPattern.from_library(library, Settings(), "silver-eaves")
    (cut,) = made.cutting(Settings()).cuts
    core = made.pattern.beads["a"]
    short_m, long_m = 1.5 * cut.cut_mm / 1000, 50.0
    with Journal.open(tmp_path / "journal.db", write=True) as journal:
        for tube, taken in {
            "core": TubeTaken("beads", core.name, 300, "2027-03-01", "bought", core.size,
                              core.shape),
            "end": TubeTaken("thread", "gel-spun 0.13 mm", short_m, "2027-03-01", "bought",
                             dye_lot="4", opened=True),
            "new": TubeTaken("thread", "gel-spun 0.13 mm", long_m, "2027-03-01", "bought",
                             dye_lot="4"),
            "bag": TubeTaken("notion", next(iter(used_up_by(made))), 24, "2027-03-01", "bought"),
        }.items():  # fmt: skip
            journal.append(taken, pieces=tube)
        braid = Braid.start(journal, made, stage="load")
        tubes = LoadingTubes(journal, braid.state, made.pattern)
        braid.load_to(1, 3, None, tubes.beside(made, Settings()))
        found = read_tubes(journal)
        assert 300 - found["core"].held == 9, "8a 8b 7c 5b 1a"
        assert found["end"].held == pytest.approx(short_m - cut.cut_mm / 1000, abs=0.002)
        assert found["bag"].held == 23
        braid.load_to(1, 0)
        assert read_tubes(journal)["core"].held == 300, "nothing is on: the core is given back"
        assert read_tubes(journal)["new"].held == long_m, "and the thread"
        assert "core beads, thread (cut or not), end pieces" in tubes.given_back
        journal.append(TubeCounted(299, 0, "counted", seen_by(journal)), pieces="core")
        braid.load_to(1, 3)
        assert read_tubes(journal)["core"].held == 290, "drawn again, from what was counted"
        assert found["new"].held == pytest.approx(
            long_m - (cut.lengths - 1) * cut.cut_mm / 1000, abs=0.002
        )
        assert tubes.beside(made, Settings()) == ()
        braid.give_up("a frayed thread")
        found = read_tubes(journal)
        assert (found["bag"].held, found["core"].held) == (24, 299), "it was only loaded"


def test_a_group_takes_from_the_next_tube_what_its_own_has_not(tmp_path: Path) -> None:
    """It is told before; both tubes are drawn, with what was thrown out, and given back to."""
    made = WorkedPattern.from_library(Library(tmp_path), Settings(), "stair-rope")
    with Journal.open(tmp_path / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made, stage="load")
        first = Loader.of(braid, Settings()).loading.next
        assert first is not None
        bead = made.pattern.beads[first.bead]
        assert first.count > 1
        for tube, holds in (("end", first.count - 1), ("new", 500)):
            taken = TubeTaken("beads", bead.name, holds, "2027-03-01", "bought", bead.size,
                              bead.shape, opened=tube == "end")  # fmt: skip
            journal.append(taken, pieces=tube)
        tag_first(braid, 1)
        loader = Loader.of(braid, Settings())
        assert loader.tube_words.endswith("left, then the next tube: the same dye lot")
        loader.press("", "x")
        loader.press("next", "")
        held = {tube: found.held for tube, found in read_tubes(journal).items()}
        assert held == {"end": 0, "new": 498}, "one more than the group, which was thrown out"
        assert sum(said.beads for said in braid.state.loaded) == first.count
        loader.press("back", "")
        held = {tube: found.held for tube, found in read_tubes(journal).items()}
        assert sum(held.values()) == first.count - 1 + 500 - 1, "but for the one thrown out"


DYED = """format = 1
title = "Dyed"
[[lots]]
name = "Big"
pattern = "silver-eaves"
pieces = 16
[[lots]]
name = "Little"
pattern = "silver-eaves"
pieces = 4
"""


def test_a_lot_is_loaded_from_the_dye_lot_that_is_planned_for_it(tmp_path: Path) -> None:
    """The opened tube is kept for the lot that needs all of it."""
    (tmp_path / "commissions").mkdir()
    (tmp_path / "commissions" / "dyed.toml").write_text(DYED, "utf-8")
    library = Library(tmp_path)
    made = WorkedPattern.from_library(library, Settings(), "silver-eaves")
    with Journal.open(tmp_path / "journal.db", write=True) as journal:
        for tube, held in (("A", 450), ("B", 120)):
            taken = TubeTaken("beads", "clear drop", held, "2027-03-01", "bought", "6/0", "round",
                              dye_lot=tube, opened=tube == "A")  # fmt: skip
            journal.append(taken, pieces=tube)
        alone = Loader.of(Braid.start(journal, made, stage="load"), Settings(), library)
        assert alone.tubes.dye_lots() == {"d": "A"}, "enough for one, and opened"
        for lot, dye_lot in (("Little", "B"), ("Big", "A")):
            braid = Braid.start(journal, made, stage="load", commission="dyed", lot=lot)
            loader = Loader.of(braid, Settings(), library)
            offered = loader.tubes.of("d")
            assert offered is not None
            assert offered.taken.dye_lot == dye_lot
            assert loader.tubes.dye_lots() == {"d": dye_lot}


def test_a_label_that_saw_another_wins_over_it(tmp_path: Path) -> None:
    """However few events its bench has; both benches say the same, and take the same back."""
    benches = [Journal.open(tmp_path / n / "journal.db", write=True) for n in ("one", "two")]
    one, two = benches
    for number in range(6):
        one.append(TubeTaken("thread", f"spool {number}", 9, "2027-03-01", "bought"), pieces="xyz")
    one.append(TubeTaken("beads", "moon", 90, "2027-03-01", "bought", "8/0"), pieces="t")
    one.append(TubeLabelled(price="5.00"), pieces="t")
    for to, of, label in ((two, one, TubeLabelled(price="6.00")), (one, two, None)):
        stream = io.StringIO()
        export_jsonl(of, stream)
        import_jsonl(to, io.StringIO(stream.getvalue()))
        if label is not None:
            to.append(label, pieces="t")
    found = [read_tubes(journal)["t"] for journal in benches]
    assert [tube.taken.price for tube in found] == ["6.00", "6.00"]
    assert found[0].last.uuid == found[1].last.uuid
    for journal in benches:
        journal.close()


def test_of_two_counts_that_know_nothing_of_each_other_the_lower_holds() -> None:
    """Both stand; a third that has seen both replaces them; below zero is kept, never clamped."""
    here = Count("a", 5, 100, 0, "counted", {"a": 4})
    there = Count("b", 3, 80, 0, "counted", {"b": 2})
    draws = [Draw("t", "a", 6, 90), Draw("t", "a", 2, 50)]
    found = balance_of(500, [here, there], draws)
    assert (found.held, found.counts) == (80 - 140, (here, there))
    anew = Count("a", 9, 20, 0, "weighed", {"a": 8, "b": 3})
    assert balance_of(500, [anew, here, there], draws).held == 20


@dataclass(frozen=True)
class Did:
    """One thing done to a tube, as the model keeps it: what it took, or what was counted."""

    name: str
    tube: str
    took: int = 0
    counted: int | None = None
    seen: frozenset[str] = frozenset()


class TwoBenches(RuleBasedStateMachine):
    """Two journals beside two plain sets of what was done, which know what each of them saw."""

    @initialize()
    def begin(self) -> None:
        """Two tubes known at both benches, and one that each took in out of a file of its own."""
        self.root = Path(tempfile.mkdtemp())
        self.clock = ManualClock()
        self.benches = [self.opened(name) for name in ("one", "two")]
        self.known: list[dict[str, Did]] = [{}, {}]
        self.cored: list[tuple[int, str, str, str]] = []
        """Pieces with a core: their bench, the tube of their beads and that of their core."""
        self.names: dict[str, str] = {}
        """What the model calls an event."""
        self.undone: list[set[str]] = [set(), set()]
        """By the bench, what it knows to be taken back."""
        self.off: list[bool] = []
        """Of each of them, whether nothing is on its threads."""
        self.turn = 0
        for tube in "tu":
            taken = TubeTaken("beads", tube, CAME_IN, "2027-03-01", "bought", "8/0")
            self.benches[0].append(taken, pieces=tube)
        self.merge(1, 1)
        for bench, held in enumerate((CAME_IN, 300)):
            taken = TubeTaken("beads", "v", held, "2027-03-01", "file", "8/0")
            self.benches[bench].append(taken, pieces="v")
            self.note(bench, Did(f"row at {bench}", "v", counted=held))

    def opened(self, name: str) -> Journal:
        """A journal of its own, whose commits need not wait for the disk."""
        path = self.root / name / "journal.db"
        journal = Journal.open(path, write=True, clock=self.clock)
        journal._hold.db.execute("PRAGMA synchronous = OFF")
        return journal

    def note(self, bench: int, did: Did) -> None:
        """Keep in the model what was done."""
        self.turn += 1
        self.known[bench][did.name] = did

    @rule(bench=st.integers(0, 1), tube=st.sampled_from("tuv"), beads=st.integers(0, 90))
    def load(self, bench: int, tube: str, beads: int) -> None:
        """Load a fresh piece from a tube."""
        piece = f"p{self.turn}"
        journal = self.benches[bench]
        journal.append(said("piece_started", START), pieces=piece)
        journal.append(Loaded(1, beads, tube), pieces=piece)
        self.note(bench, Did(piece, tube, took=beads))

    @rule(bench=st.integers(0, 1), tube=st.sampled_from("tu"), core=st.sampled_from("tu"))
    def load_with_core(self, bench: int, tube: str, core: str) -> None:
        """Load a fresh piece whose core is drawn with its first group."""
        piece = f"p{self.turn}"
        journal = self.benches[bench]
        journal.append(said("piece_started", START), pieces=piece)
        journal.append_many(
            [
                Entry(Loaded(1, 12, tube), piece, None),
                Entry(TubeDrawn(core, 9, "core"), piece, None),
            ]
        )
        self.note(bench, Did(f"{piece} load", tube, took=12))
        self.note(bench, Did(f"{piece} core", core, took=9))
        self.cored.append((bench, piece, tube, core))
        self.off.append(False)

    @precondition(lambda self: bool(self.cored))
    @rule(which=st.integers(0, 50), lost=st.integers(0, 12), thrown=st.booleans())
    def take_off_or_put_on_again(self, which: int, lost: int, thrown: bool) -> None:
        """Take all beads of such a piece off, some thrown away, or put them on again."""
        number = which % len(self.cored)
        bench, piece, tube, core = self.cored[number]
        lost = lost if thrown else 0
        off, self.off[number] = self.off[number], not self.off[number]
        payload = Loaded(1, 12, tube) if off else Loaded(1, 0, lost=lost)
        self.benches[bench].append(payload, pieces=piece)
        self.note(bench, Did(f"{self.turn} load", tube, took=12 if off else lost - 12))
        self.note(bench, Did(f"{self.turn} core", core, took=9 if off else -9))

    @rule(bench=st.integers(0, 1), tube=st.sampled_from("tuv"), beads=st.integers(1, 50))
    def give_away(self, bench: int, tube: str, beads: int) -> None:
        """Give beads away."""
        event = self.benches[bench].append(TubeGivenAway(beads), pieces=tube)
        self.names[event.uuid] = f"g{self.turn}"
        self.note(bench, Did(f"g{self.turn}", tube, took=beads))

    @rule(bench=st.integers(0, 1), tube=st.sampled_from("tuv"), beads=st.integers(0, 300))
    def count(self, bench: int, tube: str, beads: int) -> None:
        """Count a tube anew."""
        journal = self.benches[bench]
        said = TubeCounted(beads, 0, "counted", seen_by(journal))
        self.names[journal.append(said, pieces=tube).uuid] = f"c{self.turn}"
        seen = frozenset(self.known[bench])
        self.note(bench, Did(f"c{self.turn}", tube, counted=beads, seen=seen))

    @rule(bench=st.integers(0, 1), tube=st.sampled_from("tu"))
    def take_back(self, bench: int, tube: str) -> None:
        """Take back what was counted or given away last."""
        found = read_tubes(self.benches[bench])[tube]
        if not isinstance(found.last.payload, TubeTaken):
            self.benches[bench].append(taking_back(found), pieces=tube)
            self.undone[bench].add(self.names[found.last.uuid])

    @rule(to=st.integers(0, 1), twice=st.booleans())
    def merge(self, to: int, twice: bool | int) -> None:
        """Take in all of the other bench, once or twice."""
        stream = io.StringIO()
        export_jsonl(self.benches[1 - to], stream)
        for _ in range(2 if twice is True else 1):
            merged = import_jsonl(self.benches[to], io.StringIO(stream.getvalue()))
        assert twice is not True or merged.added == 0
        self.known[to] |= self.known[1 - to]
        self.undone[to] |= self.undone[1 - to]

    @invariant()
    def balances_are_what_the_model_says(self) -> None:
        """Each tube holds what the sets say, at each bench."""
        for journal, known, undone in zip(self.benches, self.known, self.undone, strict=True):
            stands = [did for did in known.values() if did.name not in undone]
            for tube, found in read_tubes(journal).items():
                assert found.held == modelled([did for did in stands if did.tube == tube])

    def teardown(self) -> None:
        """Merged both ways, in either order, both benches say the same."""
        if not hasattr(self, "benches"):
            return
        self.merge(0, False)
        self.merge(1, True)
        one, two = (
            {tube: (found.held, found.balance.counts) for tube, found in read_tubes(j).items()}
            for j in self.benches
        )
        assert one == two
        for journal in self.benches:
            journal.close()
        shutil.rmtree(self.root)


def modelled(did: list[Did]) -> float:
    """What a tube holds: the lowest of the counts that stand, less what each has not seen."""
    counts = [one for one in did if one.counted is not None]
    standing = [c for c in counts if not any(c.name in other.seen for other in counts)]
    if not standing:
        return CAME_IN - sum(one.took for one in did)
    return min(
        (c.counted or 0) - sum(one.took for one in did if one.name not in c.seen) for c in standing
    )


TestTwoBenches = TwoBenches.TestCase
TestTwoBenches.settings = settings(max_examples=25, stateful_step_count=15, deadline=None)


def test_many_loadings_are_read_in_one_go_alike(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Read together, pieces have drawn what they have one by one; what changes is read anew."""
    with Journal.open(tmp_path / "journal.db", write=True) as journal:
        for number in range(4):
            journal.append(said("piece_started", START), pieces=f"piece {number}")
            for beads, tube in ((20, "t"), (30 + number, "u"), (10, None), (25, "t")):
                journal.append(Loaded(1, beads, tube), pieces=f"piece {number}")
        found = []
        for few in (-1, 30):
            monkeypatch.setattr(loadings, "FEW", few)
            loadings._kept.clear()
            found.append([(one.draws, one.tubes) for one in loadings.read_loadings(journal)])
        assert found[0] == found[1]
        assert all(draws and tubes == ("u", "t") for draws, tubes in found[0])
        journal.append(Loaded(1, 40, "v"), pieces="piece 2")
        assert [*loadings.read_loadings(journal)][2].tubes == ("u", "t", "v")


def test_the_order_of_counts_and_draws_does_not_matter() -> None:
    """Shuffled, the balance is the same."""
    turns = random.Random(3)
    counts = [Count("a", 4, 70, 0, "counted", {"a": 3}), Count("b", 2, 60, 0, "empty", {"b": 1})]
    draws = [Draw("t", bench, number, number * 3) for bench in "ab" for number in range(1, 9)]
    first = balance_of(400, counts, draws)
    for _ in range(20):
        turns.shuffle(draws)
        turns.shuffle(counts)
        assert balance_of(400, counts, draws) == first
