from __future__ import annotations

from pathlib import Path

from bench.commands import writing_down
from bench.documents.folders import shipped_folder
from bench.journal.events import Entry
from bench.journal.inbox import leave
from bench.screens.journal_watch import RETRY_S
from tests.support.events import said

from ...journal.test_inbox import TIMED
from ..conftest import Sit, Sitting
from ..tour import settled


async def come_back(sitting: Sitting) -> None:
    """Go to another screen and come back to the list."""
    await sitting.press("t", "l")
    await settled(sitting)


async def test_settings_are_read_again_on_the_list(sit: Sit, home: Path) -> None:
    """A key that is set meanwhile works at once; what is wrong with the file is told, then mended.

    No restart is needed, and no way through another screen.
    """
    async with sit() as sitting:
        await settled(sitting)
        file = home / "settings.toml"
        file.write_text('format = 1\n[keys]\ntimes = ["y"]\n')
        await come_back(sitting)
        assert "Y times" in sitting.shown
        file.write_text("format = 1\n[press]\nguard_s = []\n")
        sitting.app._look_at_files()
        assert "T times" in sitting.shown
        assert "guard_s" in sitting.shown
        file.write_text("format = 1\n[press]\nguard_s = 0.75\n")
        sitting.app._look_at_files()
        assert "guard_s" not in sitting.shown
        assert sitting.app.settings.press.guard_s == 0.75


async def test_documents_are_read_again_where_they_stand(sit: Sit, home: Path) -> None:
    """A pattern that is written meanwhile stands on the list; a mistake in it is told there."""
    async with sit() as sitting:
        await settled(sitting)
        (home / "patterns").mkdir(exist_ok=True)
        file = home / "patterns" / "aa-own.toml"
        text = (shipped_folder() / "cistern.toml").read_text()
        file.write_text(text.replace('title = "Cistern"', 'title = "Rain Butt"'))
        sitting.app._look_at_files()
        assert "Rain Butt" in sitting.shown
        file.write_text(text + "\nodd = 1\n")
        sitting.app._look_at_files()
        assert "Rain Butt" not in sitting.shown
        assert "aa-own.toml" in sitting.shown
        assert "odd" in sitting.shown


async def test_a_commission_is_read_again(sit: Sit, sixty: Path) -> None:
    """A count that is changed while the commission is up stands there at once; so do mistakes."""
    async with sit(120, 40) as sitting:
        await settled(sitting)
        await sitting.pick("stair-window")
        await sitting.press("enter")
        await settled(sitting)
        text = (shipped_folder() / "commissions" / "stair-window.toml").read_text()
        (sixty / "commissions").mkdir(exist_ok=True)
        file = sixty / "commissions" / "stair-window.toml"
        file.write_text(text.replace("title = ", 'title = "Anew" #', 1))
        sitting.app._look_at_files()
        await settled(sitting)
        assert "ANEW" in sitting.shown
        file.write_text(text.replace("pieces = ", 'pieces = "x" #', 1))
        sitting.app._look_at_files()
        assert "pieces" in sitting.shown


async def test_what_a_command_left_is_taken_in(sit: Sit, home: Path) -> None:
    """Times that a command has left while the program is open are taken in and told on the list."""
    async with sit() as sitting:
        await settled(sitting)
        leave(home, [Entry(said("recorded", TIMED), "p")])
        sitting.app._look_at_files()
        await settled(sitting)
        assert "Taken in from a command: 1 piece." in sitting.shown
        assert sitting.app.journal is not None
        assert sitting.app.journal.state("p").status == "good"
        (home / "inbox" / "1-x.json").write_text("{}")
        sitting.app._look_at_files()
        assert "refused" in sitting.shown


def test_the_command_gives_the_holder_a_moment() -> None:
    """The holder looks every few seconds, and the command waits longer than that."""
    assert writing_down.HOLDER_S > RETRY_S
