"""Titles that are read at once, and what is kept of files."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from bench.documents.folders import Folders
from bench.documents.index import FILE, Index
from bench.documents.library import Library
from bench.documents.titles import read_title

LONG_AGO_NS = 1_700_000_000_000_000_000


def written(path: Path, text: str, at_ns: int = LONG_AGO_NS) -> Path:
    """A file that was written at a time."""
    path.write_text(text, encoding="utf-8")
    os.utime(path, ns=(at_ns, at_ns))
    return path


def test_titles_are_those_that_the_library_reads(tmp_path: Path) -> None:
    """Every shipped document's title is found without reading all of it."""
    library = Library(tmp_path)
    for entry in library.patterns():
        assert read_title(entry.path) == library.plan(entry.path).pattern.title
    for entry in library.structures():
        assert read_title(entry.path) == library.structure(entry.name).title
    for entry in library.commissions():
        assert read_title(entry.path) == library.commission(entry.path).title


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ('title = "Slate"', "Slate"),
        ('format = 1\r\ntitle="Slate"  # ours\r\n[beads.a]\r\n', "Slate"),
        ('\ufefftitle = "Slate"', "Slate"),
        ("title = 'Slate \"roof\"'", 'Slate "roof"'),
        ('title = "Sl\\u00e4te"', "Släte"),
        ('note = """\ntitle = "Not this"\n"""\ntitle = "Slate"', "Slate"),
        ('source = "x"\n[threads]\ntitle = "Not this"\n', "x.toml"),
        ('"title" = "Slate"', "Slate"),
        ("title = 7", "x.toml"),
        ("no toml at all", "x.toml"),
        ('title = "a\x07b"', "a�b"),
        ("", "x.toml"),
    ],
)
def test_a_title_is_never_a_wrong_one(tmp_path: Path, text: str, title: str) -> None:
    """What is no plain title is read by a parser, and a file without one goes by its name."""
    file = tmp_path / "x.toml"
    file.write_bytes(text.encode())
    assert read_title(file) == title


def test_a_file_that_is_not_there_goes_by_its_name(tmp_path: Path) -> None:
    """Neither a lost file nor a folder stops the list."""
    assert read_title(tmp_path / "gone.toml") == "gone.toml"
    assert read_title(tmp_path) == tmp_path.name


def test_what_is_kept_is_given_while_its_files_are_the_same(tmp_path: Path) -> None:
    """Another time, size or file behind the name, or one that has come, and it is forgotten."""
    file, other = written(tmp_path / "a", "one"), tmp_path / "b"
    index = Index(tmp_path)
    index.put("key", {"n": [1, 2]}, [file, other], time.time_ns())
    index.save()
    assert Index(tmp_path).get("key") == {"n": [1, 2]}
    assert Index(tmp_path).get("another") is None

    written(file, "one", LONG_AGO_NS + 1)
    assert Index(tmp_path).get("key") is None
    written(file, "longer")
    assert Index(tmp_path).get("key") is None
    os.replace(written(tmp_path / "c", "two"), file)
    assert Index(tmp_path).get("key") is None
    index.put("key", 1, [file, other], time.time_ns())
    written(other, "here")
    assert index.get("key") is None


def test_a_file_that_changed_just_now_is_not_kept(tmp_path: Path) -> None:
    """It may change again within the same stamp."""
    file = tmp_path / "a"
    file.write_text("one")
    index = Index(tmp_path)
    index.put("key", 1, [file], time.time_ns())
    assert index.get("key") is None


@pytest.mark.parametrize("text", ["", "{", "[]", '{"version": 0}', '{"version": 1, "values": 3}'])
def test_a_broken_index_is_none(tmp_path: Path, text: str) -> None:
    """It is read as empty, and written anew."""
    (tmp_path / FILE).write_text(text)
    index = Index(tmp_path)
    assert index.get("key") is None
    index.put("key", 1, [])
    index.save()
    assert Index(tmp_path).get("key") == 1


@pytest.mark.parametrize("value", [3, [], [3, 4], [{"/": [1]}, 4], [{"/": 3}, 4]])
def test_a_broken_entry_is_none(tmp_path: Path, value: object) -> None:
    """Whatever stands in it, nothing is given and nothing is raised."""
    index = Index(tmp_path)
    index._values["key"] = value
    assert index.get("key") is None


def test_the_index_makes_no_data_folder(tmp_path: Path) -> None:
    """Whoever only looks leaves nothing behind."""
    home = tmp_path / "home"
    index = Index(home)
    index.put("key", 1, [])
    index.save()
    assert not home.exists()
    assert Folders(home).patterns()
