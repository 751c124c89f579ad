from __future__ import annotations

import ast
import json
import stat
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from bench.screens.bench.speaker import Speaker

from ..conftest import Sit

WRITES = """#!{python} -S
import sys
text = sys.stdin.read() if "input" == "{how}" else sys.argv[-1]
with open("{heard}", "a") as file:
    file.write(repr((text, sys.argv[1:])) + "\\n")
"""
GOES_ON = """#!/bin/sh
echo $$ >> "{heard}"
sleep 60 &
echo $! >> "{heard}"
wait
"""


def until(holds: Callable[[], bool], seconds: float = 10.0) -> None:
    """Wait until something holds; AssertionError if it never does."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.01)


def runs(process: int) -> bool:
    """Whether a process is there and no zombie."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"


@pytest.fixture
def heard(tmp_path: Path) -> Path:
    """Where a command writes what it was given."""
    path = tmp_path / "heard"
    path.touch()
    return path


def script(path: Path, text: str) -> Path:
    """Write a program that can be run."""
    path.write_text(text)
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return path


def lines(path: Path) -> list[str]:
    """The lines that were written so far."""
    return path.read_text().splitlines()


async def test_a_line_for_every_cross(sit: Sit, home: Path, heard: Path, tmp_path: Path) -> None:
    """The maker's command hears each next cross, marks, refusals and the way back, and no shell.

    What would steer a shell arrives as it stands in the settings.
    """
    how = WRITES.format(python=sys.executable, how="input", heard=heard)
    command = [str(script(tmp_path / "speaks", how)), "$HOME; echo x"]
    home.mkdir()
    (home / "settings.toml").write_text(f"format = 1\n[spoken]\ncommand = {json.dumps(command)}\n")
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        for count, keys in enumerate([(), ("space",), ("space",), ("space",), ("space",)], 1):
            await sitting.press(*keys)
            until(lambda count=count: len(lines(heard)) == count)  # type: ignore[misc]
        await sitting.press("space", seconds=0.1)
        until(lambda: len(lines(heard)) == 6)
        await sitting.press("backspace")
        until(lambda: len(lines(heard)) == 7)
    said = [ast.literal_eval(line) for line in lines(heard)]
    assert [text for text, _ in said] == [
        "plain start. top and bottom: plain\n",
        "left and right: plain\n",
        "top and bottom: plain\n",
        "left and right: plain\n",
        "row 1 of 16. top and bottom: a\n",
        "second press ignored\n",
        "back: left and right, cross 4 comes out\n",
    ]
    assert all(words == ["$HOME; echo x"] for _, words in said)


async def test_a_command_that_fails_is_told_once(sit: Sit, home: Path) -> None:
    """A command that is not there is told once, at a key, and braiding goes on as ever."""
    home.mkdir()
    (home / "settings.toml").write_text('format = 1\n[spoken]\ncommand = ["/no/such/voice"]\n')
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        until(lambda: sitting.app.speaker._told)
        await sitting.press("space")
        assert "The spoken line's command cannot be run (No such file" in sitting.shown
        for _ in range(3):
            await sitting.press("space")
            assert "spoken line" not in sitting.shown
        assert "cross 5 of 72" in sitting.shown


def test_the_text_can_come_as_the_last_word(heard: Path, tmp_path: Path) -> None:
    """With `text = "argument"` the text is the command's last word."""
    how = WRITES.format(python=sys.executable, how="argument", heard=heard)
    speaker = Speaker([str(script(tmp_path / "speaks", how)), "-v"], "argument")
    speaker.say("left; $(right)")
    until(lambda: lines(heard) != [])
    speaker.close()
    assert ast.literal_eval(lines(heard)[0]) == ("left; $(right)", ["-v", "left; $(right)"])


def test_no_text_is_an_option(heard: Path, tmp_path: Path) -> None:
    """A text that begins with "-" comes as the last word behind a space, as no option."""
    how = WRITES.format(python=sys.executable, how="argument", heard=heard)
    speaker = Speaker([str(script(tmp_path / "speaks", how))], "argument")
    speaker.say("-w /tmp/x: a")
    until(lambda: lines(heard) != [])
    speaker.close()
    assert ast.literal_eval(lines(heard)[0]) == (" -w /tmp/x: a", [" -w /tmp/x: a"])


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are read from /proc")
def test_what_runs_on_is_cut_off(heard: Path, tmp_path: Path) -> None:
    """A command that still speaks is killed with all it started when the next line comes.

    Asking for a line does not wait for the command.
    """
    speaker = Speaker([str(script(tmp_path / "slow", GOES_ON.format(heard=heard)))], "input")
    for count in (2, 4):
        began = time.monotonic()
        speaker.say("x" * 300)
        assert time.monotonic() - began < 1.0  # the command runs for 60 s
        until(lambda count=count: len(lines(heard)) == count)  # type: ignore[misc]
    first, second = ([int(n) for n in lines(heard)[i : i + 2]] for i in (0, 2))
    until(lambda: not any(map(runs, first)))
    assert all(map(runs, second))
    speaker.close()
    until(lambda: not any(map(runs, second)))
    assert speaker.take_trouble() == ""


def test_a_command_that_ends_badly_is_told_once(tmp_path: Path) -> None:
    """A status other than 0 is told once, with where to mend it."""
    speaker = Speaker([str(script(tmp_path / "fails", "#!/bin/sh\nexit 3\n"))], "input")
    for _ in range(2):
        speaker.say("left and right")
        until(lambda: speaker._told)
        time.sleep(0.05)
    speaker.close()
    trouble = speaker.take_trouble()
    assert "ended with status 3; see [spoken] in settings.toml" in trouble
    assert speaker.take_trouble() == ""


def test_without_a_command_nothing_is_started() -> None:
    """The spoken line is off by default: no thread and no process is made."""
    speaker = Speaker((), "input")
    speaker.say("left and right")
    assert speaker._thread is None
    speaker.close()
