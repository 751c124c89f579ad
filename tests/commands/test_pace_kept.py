"""What is kept of the pace beside the journal never answers for what has changed since."""

from __future__ import annotations

import random
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bench.documents.folders import shipped_folder
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.timing.finished_pieces import FinishedPieces
from bench.timing.fitted_pace import FittedPace
from bench.timing.kept_figures import FILE
from bench.timing.pace_service import PaceService
from tests.support.clock import ManualClock
from tests.support.events import said

PATTERNS = ("silver-eaves", "cistern", "own")
CLOCK = ManualClock(wall=time.time() - 40 * 86_400)


@pytest.fixture
def home(call: Any) -> Path:
    """A data folder with a pattern of the maker's own."""
    (call.home / "patterns").mkdir(parents=True)
    write_own(call.home, 12)
    return Path(call.home)


def write_own(home: Path, rows: int) -> None:
    """Write the maker's own pattern, so long."""
    text = (shipped_folder() / "silver-eaves.toml").read_text(encoding="utf-8")
    text = text.replace("plain_end = 4", f"plain_end = {rows}")
    (home / "patterns" / "own.toml").write_text(text, encoding="utf-8")


def journal_of(home: Path) -> Journal:
    """Open the journal to write, with a clock that goes on from day to day."""
    CLOCK.advance(7200)
    return Journal.open(home / "journal.db", write=True, clock=CLOCK)


def make(home: Path, chance: random.Random) -> None:
    """Begin a piece and make some of it; end it in some way, or not."""
    made = WorkedPattern.from_library(Library(home), Settings(), chance.choice(PATTERNS))
    with journal_of(home) as journal:
        commission = chance.choice([None, "two"])
        braid = Braid.start(journal, made, commission=commission, lot=commission and "eaves")
        for _ in range(chance.randint(3, 30)):
            CLOCK.advance(chance.uniform(10, 40))
            if braid.mark_due is None:
                braid.cross()
            else:
                braid.mark_done()
        how = chance.choice(["good", "given up", "not"])
        if how == "given up":
            braid.give_up("frayed")
        elif how == "good":
            while braid.end_stage() is not None:
                CLOCK.advance(300)
            braid.finish("good")


def change(home: Path, chance: random.Random, kind: str) -> None:
    """Do something to a piece that is not in the making, if there is one."""
    with journal_of(home) as journal:
        ended = list(journal.ended())
        if ended:
            piece = chance.choice(ended)
            payload: dict[str, object] = {}
            if kind == "break_corrected":
                events = list(journal.events(piece))
                payload = {"event": chance.choice(events).uuid, "is_break": chance.random() < 0.5}
            journal.append(said(kind, payload), pieces=piece)


def typed(call: Any, chance: random.Random) -> None:
    """Write down a piece that was made without the program."""
    minutes = str(chance.randint(50, 90))
    assert call("record", chance.choice(PATTERNS), "--minutes", minutes).status == 0


def kept(home: Path) -> str:
    """What the finished pieces say, as a command learns it."""
    with Journal.open(home / "journal.db", write=False) as journal:
        return text_of(service_of(home).fitted(journal, time.time()))


def service_of(home: Path) -> PaceService:
    """The pace service of a data folder, as a command asks it."""
    return PaceService(home / "journal.db", Library(home), keep=True)


def text_of(found: FittedPace) -> str:
    """All of it, to the last digit."""
    return found.figures.to_text() + found.to_text()


def afresh(home: Path) -> str:
    """The same from the journal alone."""
    with Journal.open(home / "journal.db", write=False) as journal:
        book = FinishedPieces(home / "nothing-kept" / "journal.db", Library(home), keep=False)
        book.read_all(journal)
        return text_of(FittedPace.of(book, journal.mark_of_ended(), time.time()))


@pytest.mark.parametrize("seed", range(4))
def test_what_is_kept_says_what_the_pieces_say(call: Any, home: Path, seed: int) -> None:
    """After each of many changes the pace is what the journal alone makes it, to the last digit."""
    chance = random.Random(seed)
    copies: list[Path] = []
    path = home / "journal.db"

    def back_up() -> None:
        journal_of(home).close()
        copies.append(home.with_name(f"copy-{len(copies)}.db"))
        shutil.copy(path, copies[-1])

    def restore() -> None:
        if copies:
            for ending in ("-wal", "-shm"):
                path.with_name(path.name + ending).unlink(missing_ok=True)
            shutil.copy(chance.choice(copies), path)

    steps: list[Callable[[], object]] = [
        lambda: make(home, chance),
        lambda: make(home, chance),
        lambda: typed(call, chance),
        lambda: change(home, chance, "reopened"),
        lambda: change(home, chance, "break_corrected"),
        lambda: write_own(home, chance.randint(4, 40)),
        back_up,
        restore,
        restore,
    ]
    for _ in range(40):
        chance.choice(steps)()
        assert kept(home) == afresh(home)


def test_what_is_kept_comes_back_whole(call: Any, home: Path) -> None:
    """Read from its file, the fitted pace is equal in every figure, and no piece is read for it."""
    chance = random.Random(7)
    for _ in range(12):
        make(home, chance)
    typed(call, chance)
    (home / FILE).unlink()
    now = time.time()
    with Journal.open(home / "journal.db", write=False) as journal:
        reading = service_of(home)
        first = reading.fitted(journal, now)
        assert first.model.pieces > 3
        idle = service_of(home)
        assert text_of(idle.fitted(journal, now)) == text_of(first)
        assert not idle.finished.pieces
        assert text_of(idle.fitted(journal, now + 86_400)) != text_of(first)
        assert idle.finished.pieces == reading.finished.pieces


@pytest.mark.parametrize("harm", ["flip", "cut", "empty", "other", "folder"])
def test_a_broken_file_is_made_again(call: Any, home: Path, harm: str) -> None:
    """Flipped digits, half a file, nothing, another program's text: as if it were not there."""
    typed(call, random.Random(1))
    whole = call("pace", "--json").json
    file = home / FILE
    text = file.read_text(encoding="ascii")
    harmed = {
        "flip": text.replace('"pause_days": ', '"pause_days": 9'),
        "cut": text[: len(text) // 2],
        "empty": "",
        "other": "17\n[1, 2]",
    }
    if harm == "folder":
        file.unlink()
        file.mkdir()
    else:
        assert harmed[harm] != text
        file.write_text(harmed[harm], encoding="ascii")
    said = call("pace", "--json")
    answer = dict(said.json)
    told = answer.pop("warnings")
    assert (said.status, said.err, {**answer, "warnings": []}) == (0, "", whole)
    assert len(told) == (harm == "folder")
    assert file.is_dir() or file.read_text(encoding="ascii") == text


def test_the_mark_tells_a_lost_event(call: Any, home: Path) -> None:
    """A journal that lacks one event of a piece's middle is another, and so its piece."""
    make_ended(home)
    path = home / "journal.db"
    with Journal.open(path, write=False) as journal:
        before, ends = journal.mark_of_ended(), journal.ended()
        events = list(journal.events())
    again = home / "again.db"
    with Journal.open(again, write=True) as other:
        other.merge(event for event in events if event != events[len(events) // 2])
        assert other.mark_of_ended() != before
        assert other.ended() != ends
        assert other.ended().keys() == ends.keys()


def make_ended(home: Path) -> None:
    """Make a piece and end it."""
    with journal_of(home) as journal:
        braid = Braid.start(
            journal, WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
        )
        for _ in range(10):
            CLOCK.advance(20)
            braid.cross()
        braid.give_up("frayed")


def test_the_mark_tells_a_journal_that_went_on_from_its_copy(call: Any, home: Path) -> None:
    """A journal put back from a copy, and gone on from there as far, has its own pace."""
    typed(call, random.Random(1))
    shutil.copy(home / "journal.db", home / "copy.db")
    assert call("record", "cistern", "--minutes", "30").status == 0
    assert kept(home) == afresh(home)
    shutil.copy(home / "copy.db", home / "journal.db")
    assert call("record", "cistern", "--minutes", "60").status == 0
    assert kept(home) == afresh(home)
