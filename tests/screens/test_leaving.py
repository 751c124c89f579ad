"""Leaving a piece, giving one up, and where the list's cursor is afterwards."""

from __future__ import annotations

from pathlib import Path

from bench.documents.library import Library
from bench.journal.payloads import GivenUp
from bench.journal.store import Journal
from bench.making.reasons import FIRST
from bench.screens.bench.screen import BenchScreen
from bench.timing.finished_pieces import FinishedPieces
from tests.support.clock import ManualClock

from .conftest import Sit, Sitting


def picked(sitting: Sitting) -> tuple[str, str]:
    """The kind and the name of the list's picked line."""
    home = sitting.app.first.home
    return home.rows[home.picked].kind, home.rows[home.picked].ref


def piece_of(sitting: Sitting) -> str:
    """The piece that is on the bench."""
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    return screen.braid.piece


async def test_a_piece_only_looked_at_goes_off_the_list(sit: Sit, home: Path) -> None:
    """Leaving a piece before anything is counted leaves no line, no time and no spoilt piece."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        piece = piece_of(sitting)
        await sitting.press("l", seconds=300.0)
        assert "IN THE MAKING" not in sitting.shown
        assert "Cistern was not begun: nothing was counted of it yet." in sitting.shown
        assert picked(sitting) == ("pattern", "cistern")
    with Journal.open(home / "journal.db", write=False) as journal:
        assert journal.state(piece).status == "given up"
        book = FinishedPieces(journal.path, Library(home), keep=False)
        book.read_all(journal)
        assert not book.pieces


async def test_one_cross_is_enough_to_stay(sit: Sit) -> None:
    """A piece with a cross stays on the list when it is left, and its line is the picked one."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        first = piece_of(sitting)
        await sitting.press("space", "l", "l")
        assert picked(sitting) == ("piece", first)
        await sitting.begin("gutter-pearl")
        await sitting.press("space", "l", "l")
        assert picked(sitting) != ("piece", first)
        await sitting.press("down")
        assert picked(sitting) == ("piece", first)
        await sitting.press("enter", "p", "space", "l", "l")
        assert picked(sitting) == ("piece", first)


async def test_a_piece_is_given_up_for_a_reason(sit: Sit, home: Path) -> None:
    """G asks why and one key answers; a held G and Escape keep the piece.

    A reason that is typed stands on the list the next time; each keeps its key.
    """
    async with sit() as sitting:
        await sitting.begin("cistern")
        piece = piece_of(sitting)
        await sitting.press("space", "l", "l", "g", "g", "g")
        assert "Cistern is given up and leaves this list. Why?" in sitting.shown
        await sitting.press("escape")
        assert picked(sitting) == ("piece", piece)
        await sitting.press("g", "0", *"cut thread", "enter")
        assert "Cistern is given up." in sitting.shown
        assert "IN THE MAKING" not in sitting.shown
        await sitting.begin("cistern")
        await sitting.press("space", "l", "l", "g")
        assert "6  cut thread" in sitting.shown
        await sitting.press("1")
    with Journal.open(home / "journal.db", write=False) as journal:
        assert journal.state(piece).status == "given up"
        assert journal.state(piece).reason == "cut thread"
        ended = [said.reason for _, said in journal.each(GivenUp)]
        assert ended == ["cut thread", FIRST[0]]


async def test_who_looks_on_gives_nothing_up(sit: Sit, home: Path, clock: ManualClock) -> None:
    """A window that only looks on says so, and neither G nor leaving writes anything."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        piece = piece_of(sitting)
        async with sit() as other:
            await other.press("home", "g", "g")
            assert other.app.first.home.said == other.app.looking_on
            await other.press("enter", "l")
            assert picked(other) == ("piece", piece)


async def test_enter_ends_no_stage(sit: Sit) -> None:
    """Only the key that the foot names ends a stage or a piece; Enter changes nothing."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        for stage in ("load", "set_up", "dry", "finish"):
            screen.braid.go_to_stage(stage)
            before = screen.braid.state.events
            await sitting.press("enter", "enter")
            assert screen.braid.state.events == before
        assert "M stage done   BACKSPACE stage before" in sitting.shown
        await sitting.press("m", "enter")
        assert "How did it come out?" in sitting.shown
        assert screen.braid.state.open


async def test_a_piece_begins_as_the_last_one_did(sit: Sit) -> None:
    """Braiding at first; once loading was chosen the next card offers it, in a later sitting too.

    A pattern without beads has nothing to load.
    """
    async with sit() as sitting:
        await sitting.pick("cistern")
        await sitting.press("enter")
        assert "◀ braiding ▶" in sitting.shown
        await sitting.press("escape")
        await sitting.begin("cistern", "loading")
        await sitting.press("space", "l")
    async with sit() as sitting:
        for name, offered in (("cistern", "loading"), ("landing-cord", "setting up")):
            await sitting.pick(name)
            await sitting.press("enter")
            assert f"◀ {offered} ▶" in sitting.shown
            await sitting.press("escape")


async def test_trying_the_keys_out_teaches_no_pace(sit: Sit) -> None:
    """A few fast presses on a piece that is then given up leave the times a guess."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        await sitting.press(*["space"] * 5, seconds=1.5)
        await sitting.press("l", "l", "g", "enter")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "is given up" in sitting.shown
        assert "about 1 h 11 (guess)" in sitting.shown


async def test_a_line_is_not_opened_on_a_list_that_is_closing(sit: Sit) -> None:
    """A key that comes after the one that closes the program opens nothing, and breaks nothing."""
    async with sit() as sitting:
        sitting.app.exit()
        sitting.app.first.action_act("narrow")
        assert sitting.app.first.line is None
