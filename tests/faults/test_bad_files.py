from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bench.cli import main
from bench.craft.text import is_plain
from tests.faults.mutants import NASTY, READERS, Borne, bear, mutant, read_one, seeds


def test_changed_files_are_taken_or_refused_in_a_sentence(tmp_path: Path) -> None:
    """Shipped files changed at random: a result or one sentence, within a second of work each."""
    borne = bear(tmp_path, 60, seed=1)
    assert borne.wrong == []
    for kind in READERS:
        assert borne.outcomes[f"{kind} refused"] > 0
        assert borne.outcomes[f"{kind} taken"] > 0


def test_a_bad_file_takes_little_memory(tmp_path: Path) -> None:
    """No changed file makes the program hold more than 100 MB."""
    borne = bear(tmp_path, 8, seed=2, weigh=True)
    assert borne.wrong == []
    assert borne.largest_bytes > 0


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    kind=st.sampled_from(sorted(READERS)),
    data=st.one_of(st.binary(max_size=500), st.text(max_size=300).map(lambda t: t.encode())),
)
def test_any_bytes_are_taken_or_refused_in_a_sentence(
    tmp_path: Path, kind: str, data: bytes
) -> None:
    """Whatever bytes a file holds, it is read or refused in one plain sentence."""
    borne = Borne()
    read_one(tmp_path, kind, data, borne)
    assert borne.wrong == []


@pytest.mark.parametrize("command", ["check", "sheet", "steps", "needs", "list"])
def test_text_from_files_is_only_text(
    tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """What a command prints of a changed file holds no control character but the line's end."""
    random_ = random.Random(command)
    folder = tmp_path / "patterns"
    folder.mkdir()
    file = folder / "file.toml"
    source = seeds()["pattern"][0]
    for number in range(25):
        nasty = NASTY[number % len(NASTY)].encode()
        titled = source.replace(b'title = "', b'title = "' + nasty, 1)
        file.write_bytes(titled if number % 2 else mutant(source, random_))
        words = [command] if command == "list" else [command, str(file)]
        status = main([*words, "--home", str(tmp_path)])
        said = capsys.readouterr()
        text = (said.out + said.err).replace("\n", "")
        assert status in (0, 1)
        assert all(is_plain(ch) or ch == " " for ch in text)
