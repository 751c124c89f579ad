from __future__ import annotations

import io
import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from bench.journal.errors import NotSaved
from bench.journal.events import Event
from bench.journal.state import replay
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from tests.support.clock import ManualClock
from tests.support.events import said

START: dict[str, object] = {
    "title": "Gutter Pearl",
    "pattern_name": "gutter-pearl",
    "size": None,
    "colourway": None,
    "pattern": {},
    "structure": {},
    "hash": "0f",
    "commission": None,
}
PIECES = st.sampled_from("abc")


class JournalAgainstAList(RuleBasedStateMachine):
    """A journal beside a plain list of the events that were acknowledged, through all troubles."""

    @initialize()
    def begin(self) -> None:
        """Open an empty journal."""
        self.root = Path(tempfile.mkdtemp())
        self.path = self.root / "home" / "journal.db"
        self.clock = ManualClock()
        self.journal = Journal.open(self.path, write=True, clock=self.clock)
        self.events: list[Event] = []
        self.turns = 0

    def append(self, kind: str, payload: dict[str, object], piece: str) -> None:
        """Write an event, saved or not."""
        self.clock.advance(3)
        if kind != "piece_started" and not any(event.piece == piece for event in self.events):
            self.append("piece_started", START, piece)
        try:
            self.events.append(self.journal.append(said(kind, payload), pieces=piece))
        except NotSaved:
            self.events.append(self.journal.pending[-1])

    def made(self, piece: str) -> int:
        """Return the crosses made of a piece, by the list."""
        return replay(piece, [event for event in self.events if event.piece == piece]).made

    @rule(piece=PIECES, steps=st.integers(1, 4))
    def cross(self, piece: str, steps: int) -> None:
        """Make crosses."""
        made = self.made(piece)
        self.append("crossed", {"from": made, "to": made + steps}, piece)

    @rule(piece=PIECES)
    def take_back(self, piece: str) -> None:
        """Take all crosses back."""
        if made := self.made(piece):
            self.append("taken_back", {"from": made, "to": 0}, piece)

    @rule(piece=PIECES, quality=st.sampled_from(["good", "second"]))
    def finish(self, piece: str, quality: str) -> None:
        """Finish a piece, perhaps more than once."""
        self.append("finished", {"quality": quality}, piece)

    @rule()
    def reopen(self) -> None:
        """Close the journal, and open it again."""
        self.journal.close()
        self.journal = Journal.open(self.path, write=True, clock=self.clock)

    @rule()
    def crash(self) -> None:
        """Go on with the files as they lie while the journal is open."""
        if self.journal.pending:
            return
        self.turns += 1
        copy = self.root / f"copy-{self.turns}"
        shutil.copytree(self.path.parent, copy)
        self.journal.close()
        self.path = copy / self.path.name
        self.journal = Journal.open(self.path, write=True, clock=self.clock)
        assert self.journal.reports == []

    @rule()
    def remove_the_folder(self) -> None:
        """Remove the data folder under the open journal; the next event brings it back."""
        shutil.rmtree(self.path.parent)
        self.append("paused", {}, "a")
        assert self.journal.pending == []

    @rule(piece=PIECES)
    def cross_without_a_folder(self, piece: str) -> None:
        """Make a cross while no folder can be made, then have one again."""
        shutil.rmtree(self.path.parent)
        self.path.parent.write_text("in the way")
        self.append("paused", {}, piece)
        assert self.journal.pending
        self.path.parent.unlink()
        self.journal.retry()
        assert self.journal.pending == []

    @rule()
    def import_its_own_export(self) -> None:
        """Take in what was given out: nothing is new."""
        stream = io.StringIO()
        export_jsonl(self.journal, stream)
        stream.seek(0)
        assert import_jsonl(self.journal, stream).added == 0

    @rule()
    def move_to_another_bench(self) -> None:
        """Go on in a new journal that took everything in, twice."""
        stream = io.StringIO()
        export_jsonl(self.journal, stream)
        self.journal.close()
        self.turns += 1
        self.path = self.root / f"bench-{self.turns}" / "journal.db"
        self.journal = Journal.open(self.path, write=True, clock=self.clock)
        for _ in range(2):
            stream.seek(0)
            import_jsonl(self.journal, stream)

    @invariant()
    def all_is_there(self) -> None:
        """The journal holds the events of the list, and the states that they add up to."""
        if not hasattr(self, "events"):
            return
        assert list(self.journal.events()) == self.events
        with Journal.open(self.path, write=False) as reader:
            assert list(reader.events()) == self.events
            for piece in {event.piece for event in self.events}:
                own = [event for event in self.events if event.piece == piece]
                expected = replay(piece, own)
                assert self.journal.state(piece) == reader.state(piece) == expected
                assert list(reader.events(piece)) == own
            assert {s.uuid for s in reader.pieces()} == {s.uuid for s in self.journal.pieces()}

    def teardown(self) -> None:
        """Remove the journal."""
        if hasattr(self, "journal"):
            self.journal.close()
            shutil.rmtree(self.root)


TestJournalAgainstAList = JournalAgainstAList.TestCase
TestJournalAgainstAList.settings = settings(max_examples=12, stateful_step_count=20)
