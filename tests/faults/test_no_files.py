from __future__ import annotations

import contextlib
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.documents.errors import DocumentError
from bench.documents.reading import read_document, read_toml
from bench.documents.stock import Stock
from bench.documents.writing import write_file
from tests.support.command_line import MOST_S, say
from tests.support.homes import furnished
from tests.support.terminal import Program

NOBODY_ABOVE = ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
WITHOUT_RIGHTS = NOBODY_ABOVE if os.geteuid() == 0 else ()
"""Takes from root what lets it read where permissions forbid it."""
KINDS = {
    "pipe": "this is a pipe",
    "socket": "this is a socket",
    "device": "this is a device",
    "link to a pipe": "this is a pipe",
    "link in a circle": "this is a link that leads nowhere",
    "folder": "this is a folder",
}
SINGLE = ("settings.toml", "stock.toml", "index.json", "pace.cache", "times.cache")


def lay(path: Path, kind: str) -> None:
    """Lay something at a path that is no file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.unlink(missing_ok=True)
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "socket":
        with contextlib.chdir(path.parent), socket.socket(socket.AF_UNIX) as bound:
            bound.bind(path.name)
    elif kind == "device":
        path.symlink_to("/dev/zero")
    elif kind == "link to a pipe":
        behind = path.with_name(f"{path.name}-behind")
        os.mkfifo(behind)
        path.symlink_to(behind.name)
    elif kind == "link in a circle":
        path.symlink_to(path.name)
    else:
        path.mkdir()


def say_without_rights(home: Path, *words: str) -> tuple[int, str, str]:
    """Run a command in a process of its own that may not read what permissions forbid."""
    command = [*WITHOUT_RIGHTS, sys.executable, "-m", "bench", *words, "--home", str(home)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=MOST_S)
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout, done.stderr


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with four pieces in the making."""
    return furnished(tmp_path)


@pytest.mark.parametrize("folder", ["patterns", "patterns/structures", "commissions"])
def test_what_is_no_file_among_documents_is_told_and_the_rest_goes_on(
    home: Path, folder: str
) -> None:
    """A pipe, socket, device, folder or link to one among documents is named, and nothing waits."""
    names = {kind: f"odd-{number}" for number, kind in enumerate(KINDS)}
    for kind, name in names.items():
        lay(home / folder / f"{name}.toml", kind)
    status, listed, wrong = say(home, "list")
    assert status == 0
    for kind, name in names.items():
        assert name in listed + wrong
        told = say(home, "check", str(home / folder / f"{name}.toml"))
        assert f"{name}.toml" in "".join(told[1:])
        assert KINDS[kind] in " ".join("".join(told[1:]).split())
    assert "silver-eaves" in listed
    with Program(home) as program:
        program.wait_for("IN THE MAKING")
        program.wait_for("Silver Eaves")
        program.type(b"\x1b[H\r")
        program.wait_for("cross 31 of 72")
        assert b"Traceback" not in program.raw


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("name", SINGLE)
def test_what_is_no_file_in_the_data_folder_is_told_and_the_rest_goes_on(
    home: Path, name: str, kind: str
) -> None:
    """Where settings, stock or a file of figures should lie and none does, its name is told."""
    lay(home / name, kind)
    status, listed, wrong = say(home, "list")
    assert status == 0
    assert "silver-eaves" in listed
    if name == "stock.toml":
        status, _, wrong = say(home, "needs", "silver-eaves")
        assert status == 1
    assert name in wrong
    assert KINDS[kind] in wrong


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("name", ["journal.db", "journal.db-wal"])
def test_what_is_no_file_in_place_of_the_journal_is_left_alone(
    home: Path, name: str, kind: str
) -> None:
    """A pipe or the like in the journal's place is named; nothing is made in its place."""
    for file in home.glob("journal.db*"):
        if name == "journal.db" or file.name == name:
            file.unlink()
    lay(home / name, kind)
    status, listed, wrong = say(home, "list")
    assert status == 0
    assert "silver-eaves" in listed
    assert f"{name} is a" in wrong
    with Program(home) as program:
        program.wait_for(", not a ")
        program.wait_for("PATTERNS")
        assert b"Traceback" not in program.raw
    assert not (home / name).is_file()


@pytest.fixture
def closed(home: Path) -> Iterator[Path]:
    """A data folder that its owner may not enter."""
    if os.geteuid() == 0 and not shutil.which("setpriv"):
        pytest.skip("root reads everywhere, and setpriv is not here to take that away")
    home.chmod(0)
    yield home
    home.chmod(0o755)


def test_a_data_folder_without_rights_is_told(closed: Path) -> None:
    """Where the data folder may not be entered a sentence says so, on the list and in commands."""
    for words in (["list"], ["where"], ["pace"], ["needs", "silver-eaves"]):
        _, said, wrong = say_without_rights(closed, *words)
        assert words[0] == "where" or "ermission denied" in wrong or "cannot be read" in wrong, said
    with Program(closed, before=WITHOUT_RIGHTS) as program:
        program.wait_for("PATTERNS")
        program.wait_for("ermission denied")
        assert b"Traceback" not in program.raw


BOMBS = {
    "dots": "a" + ".a" * 19_500 + " = 1\n",
    "dots in a table's head": "[a" + ".a" * 39_000 + "]\n",
    "dots in a key in quotes": '"a"' + '."a"' * 19_500 + " = 1\n",
    "many lines of dots": ("a" + ".a" * 300 + " = 1\n") * 1_600,
    "dots behind a string": 'x = {y = """\n"""' + ", a" + ".a" * 19_500 + ' = "z"}\n',
    "dots everywhere": "." * 900_000,
}


@pytest.mark.parametrize("bomb", list(BOMBS))
def test_a_key_of_many_parts_is_refused_soon(tmp_path: Path, bomb: str) -> None:
    """A key of thousands of parts, wherever it stands, is refused with its line within a second."""
    file = tmp_path / "bomb.toml"
    file.write_text(BOMBS[bomb])
    began = time.monotonic()
    with pytest.raises(DocumentError, match=r"bomb\.toml, line \d"):
        read_toml(file)
    with pytest.raises(DocumentError):
        read_document(file, Stock)
    assert time.monotonic() - began < 1.0


def test_a_bomb_among_patterns_does_not_hold_the_list(home: Path) -> None:
    """The first screen names a pattern whose file is a bomb, and opens as soon as without it."""
    (home / "patterns" / "bomb.toml").write_text(BOMBS["dots"])
    began = time.monotonic()
    _, listed, _ = say(home, "list")
    assert "bomb" in listed
    with Program(home) as program:
        program.wait_for("Silver Eaves")
    assert time.monotonic() - began < 12.0


@pytest.mark.parametrize("option", [["picture", "--svg"], ["sheet", "--html"]])
def test_a_page_written_onto_a_link_says_where(tmp_path: Path, option: list[str]) -> None:
    """`--svg` and `--html` onto a link say which file was written; onto a circle, that it is."""
    command, flag = option
    ending = flag[2:]
    home, link, behind = tmp_path / "home", tmp_path / f"l.{ending}", tmp_path / f"behind.{ending}"
    home.mkdir()
    link.symlink_to(behind)
    status, _, wrong = say(home, command, "gutter-pearl", flag, str(link))
    assert status == 0
    assert f"{link} is a link; {behind} was written" in wrong
    assert link.is_symlink()
    assert behind.read_text()
    circle, pipe = tmp_path / f"circle.{ending}", tmp_path / f"pipe.{ending}"
    circle.symlink_to(circle.name)
    os.mkfifo(pipe)
    for target in (circle, pipe):
        status, _, wrong = say(home, command, "gutter-pearl", flag, str(target))
        assert status == 1
        assert f"{target}: the file cannot be written" in wrong


def test_a_page_is_poured_into_a_pipe_that_is_read(tmp_path: Path) -> None:
    """A pipe with a reader takes the whole text, as one that a shell makes does."""
    pipe, poured = tmp_path / "pipe.svg", tmp_path / "poured"
    os.mkfifo(pipe)
    with poured.open("wb") as into, subprocess.Popen(["cat", str(pipe)], stdout=into) as reader:
        time.sleep(0.2)
        assert write_file(pipe, "x" * 300_000, ".svg") == ""
        assert reader.wait(timeout=10) == 0
    assert poured.stat().st_size == 300_000
