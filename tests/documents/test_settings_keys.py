from __future__ import annotations

import string
from pathlib import Path

import pytest
from textual.keys import Keys as TerminalKeys
from textual.keys import _character_to_key

from bench.documents.key_names import sign_of, why_not
from bench.documents.settings import Settings, read_settings
from bench.screens.kit.keys import Keys
from bench.screens.kit.list_screen import keymap


def told(tmp_path: Path, keys: str) -> str | None:
    """What is told of a settings file with these lines of keys."""
    (tmp_path / "settings.toml").write_text(f"format = 1\n[keys]\n{keys}\n", "utf-8")
    settings, wrong = read_settings(tmp_path)
    assert wrong is None or settings == Settings()
    return wrong


@pytest.mark.parametrize("ch", [*string.printable[:-6], "é", "ж", "ß"])
def test_every_key_that_types_something_can_be_set(ch: str) -> None:
    """Each printable character's key, as the terminal library names it, can be set."""
    assert why_not(_character_to_key(ch).lower()) is None


def test_every_named_key_can_be_set() -> None:
    """Each key that the terminal library names can be set, but for those that cannot arrive."""
    refused = {key.value for key in TerminalKeys if why_not(key.value) is not None}
    assert refused == {
        *("ctrl+i", "ctrl+m", "ctrl+h", "ctrl+q", "ctrl+c", "ctrl+z"),
        *("return", "ctrl+@", "ctrl-at"),  # second names of enter and of ctrl+space
        *("<any>", "<scroll-up>", "<scroll-down>", "<ignore>"),  # no keys
    }


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('next = ["spacebar"]', "did you mean 'space'"),
        ('next = ["exclamation"]', "did you mean 'exclamation_mark'"),
        ('next = ["ctrl+m"]', "the terminal sends it as enter"),
        ('next = ["J"]', "is written 'j'"),
        ('next = ["shift+j"]', "counts as 'j'"),
        ('next = ["f"]', "key 'f' is set for both next and place"),
        ('times = ["q"]', "key 'q' is set for both times and close"),
        ('times = ["5"]', "fixed on lists"),
        ('motif = ["k"]', "key 'k' is set for both motif and keep"),
        ('help = ["x"]', "key 'x' is set for both twin and help"),
        ('spread = ["up"]', "fixed at the board"),
        ("next = []", "at least one key"),
        ('forward = ["j"]', "there is no such action"),
    ],
)
def test_clashes_and_unknown_keys_are_told(tmp_path: Path, line: str, said: str) -> None:
    """A key that cannot work is told with file, line and key, and the usual keys hold."""
    wrong = told(tmp_path, line)
    assert wrong is not None
    assert said in wrong
    assert "line 3" in wrong
    assert "the usual settings hold" in wrong


def test_one_key_for_the_bench_and_another_use_of_it_on_lists(tmp_path: Path) -> None:
    """Keys clash only where they are at hand together: j is a cross here and a step down there."""
    assert (
        told(tmp_path, 'next = ["space", "j"]\nopen = ["enter", "f13"]\nleave = ["x", "é"]') is None
    )


def test_lists_have_the_keys_that_were_set() -> None:
    """Each binding of lists and pages gets the maker's keys, letters as capitals too."""
    settings = Settings.model_validate({"keys": {"leave": ("x",), "up": ("f14",)}})
    own = keymap(settings)
    assert own["lists.leave"] == "x,X"
    assert own["lists.up"] == "f14"
    assert own["lists.down"] == "down,j,J"
    keys = Keys(settings)
    assert keys.foot("UP DOWN") == "F14 DOWN"
    assert keys.foot("L") == "X"


def test_how_keys_are_written() -> None:
    """Keys are written on the screen as they stand on a keyboard."""
    assert [sign_of(k) for k in ("exclamation_mark", "space", "ctrl+slash", "f13", "é")] == [
        "!", "SPACE", "CTRL+/", "F13", "É",
    ]  # fmt: skip
