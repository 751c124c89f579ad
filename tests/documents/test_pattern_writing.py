"""Writing a pattern: only what changed differs, comments stay, nothing is written over."""

from __future__ import annotations

import os
import tomllib
from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.pattern import Bead, BeadInSize, ColourChange, Core, Pattern, SizeChange
from bench.design.painting import paint
from bench.design.sheet import Cell, Sheet
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.pattern_writing import stamp_of, write_document, written_pattern
from bench.documents.reading import read_document
from bench.documents.toml_editing import with_value, without
from tests.support.boards import BEADED, board, library

COMMENTED = """# The lot of the stair window.
format = 1
title = "Try"   # as it hangs
structure = "kongo-8"

# The thread that was left.
[threads]
double_lengths = [[1, 6], [2, 5], [3, 8], [4, 7]]
name = 'spun "fine"'
diameter_mm = 0.13

# Narrow ones.
[beads.a]
size = "15/0"
# A grey like rain.
colour = "#9fb8c8"

# Wide ones.
[beads.b]
size = "11/0"

# What goes on.
[loads]
all = "2a  2b a"
# The fifth is longer.
5 = "2a 2b 2a"   # by one

# The small one.
[sizes.small]
beads = { a = "15/0", b = "13/0" }   # tiny

# In the evening.
[colourways.dusk]
a = { colour = "#6b4f63", name = "plum" }
"""


def lines_changed(before: str, after: str) -> list[str]:
    """The lines of the second text that the first does not have, each as often as it is new."""
    return list((Counter(after.splitlines()) - Counter(before.splitlines())).elements())


def above(text: str) -> dict[str, str]:
    """The line that stands directly below each comment."""
    lines = text.splitlines()
    return {line: below for line, below in pairwise(lines) if line[:1] == "#"}


def parsed(text: str) -> Pattern:
    """The pattern that a text means."""
    return Pattern.model_validate(tomllib.loads(text.removeprefix("\ufeff")))


def shipped(name: str) -> str:
    """The text of a shipped pattern."""
    return library().pattern_path(name).read_bytes().decode()


@pytest.mark.parametrize("name", BEADED)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("bom", ["", "\ufeff"])
@pytest.mark.parametrize("last", [True, False], ids=["newline", "no newline"])
def test_one_bead_changes_one_line_and_back_gives_the_same_bytes(
    name: str, line_end: str, bom: str, last: bool
) -> None:
    """With CRLF, a byte order mark or no last newline: one line differs, and then none."""
    text = bom + shipped(name).replace("\n", line_end)
    text = text if last else text.removesuffix(line_end)
    sheet = board(name)
    cell = Cell(7, 2)
    other = next(letter for letter in sheet.beads if letter != sheet.at(cell))
    painted = paint(sheet, [cell], other)
    changed = written_pattern(painted.to_pattern(), text)
    assert len(lines_changed(text, changed)) == 1
    assert changed.startswith(bom)
    assert ("\n" in changed.replace("\r\n", "")) == (line_end == "\n")
    assert changed.endswith(line_end) == last
    assert parsed(changed) == painted.to_pattern()
    again = Sheet.of(parsed(changed), sheet.structure)
    back = paint(again, [cell], sheet.at(cell)).to_pattern()
    assert written_pattern(back, changed) == text


def test_what_means_the_same_stays_as_it_is_written() -> None:
    """Nothing changed gives the same bytes, whatever spaces and quotes the maker used."""
    assert written_pattern(parsed(COMMENTED), COMMENTED) == COMMENTED


def test_comments_stay_above_their_lines_when_all_is_changed() -> None:
    """New keys and tables come in between; each comment stands above the line as before."""
    pattern = parsed(COMMENTED)
    changed = pattern.model_copy(
        update={
            "title": "Another",
            "plain_start": 8,
            "beads": {
                "a": pattern.beads["a"].model_copy(update={"finish": "matt", "colour": "#000000"}),
                "b": pattern.beads["b"],
                "c": Bead(size="8/0", colour="#ffffff", name='"white"'),
            },
            "loads": {"all": "2a 3c", "3": "2c", "5": "2a 2b 3a"},
            "core": Core(beads="3a", down_after_cross=8),
            "sizes": {
                "small": SizeChange(
                    beads={
                        "a": BeadInSize(size="odd", diameter_mm=1.4, hole_mm=0.5),
                        "b": BeadInSize(size="13/0"),
                    }
                ),
                "large": SizeChange(beads={"a": BeadInSize(size="8/0")}),
            },
            "colourways": {
                "dusk": {"a": ColourChange(colour="#111111", name="plum")},
                "dawn": {"b": ColourChange(colour="#eeeeee", name="milk")},
            },
        }
    )
    changed = Pattern.model_validate(changed.model_dump(exclude_none=True))
    text = written_pattern(changed, COMMENTED)
    assert parsed(text) == changed
    assert above(text) == above(COMMENTED) | {"# A grey like rain.": 'colour = "#000000"'} | {
        "# The fifth is longer.": '5 = "2a 2b 3a"   # by one'
    }
    assert 'title = "Another"   # as it hangs' in text
    assert "# tiny" in text
    assert "name = 'spun \"fine\"'" in text
    back = written_pattern(pattern, text)
    assert parsed(back) == pattern
    assert set(above(COMMENTED)) <= set(above(back))


def test_a_load_with_a_comment_stays_though_it_is_that_of_all() -> None:
    """A strand's own line goes when it says what all say, but not its comment."""
    pattern = parsed(COMMENTED)
    same = pattern.model_copy(update={"loads": {"all": pattern.loads["all"]}})
    assert "# The fifth is longer." in written_pattern(same, COMMENTED)


def test_a_new_file_reads_like_one_of_a_person() -> None:
    """From nothing: tables in their order, what is usual left out, what is meant read again."""
    pattern = library().plan(library().pattern_path("second-drop")).pattern
    text = written_pattern(pattern)
    assert parsed(text) == pattern
    heads = [line for line in text.splitlines() if line.startswith("[")]
    assert heads == [
        "[threads]", "[beads.a]", "[beads.b]", "[beads.c]", "[beads.d]", "[beads.f]", "[loads]",
        "[core]", "[finish]", "[colourways.dusk]",
    ]  # fmt: skip
    assert text.index("[threads]") == text.index("\n\n[threads]") + 2
    assert 'a = { colour = "#6b4f63", name = "plum" }' in text
    assert "3 = " not in text


_KEY = st.sampled_from("abcd")
_TREE = st.recursive(
    st.one_of(st.integers(0, 99), st.text("ab\"'\\# =[]{}\u00e9", max_size=6), st.booleans()),
    lambda inner: st.dictionaries(_KEY, inner, min_size=1, max_size=3),
    max_leaves=6,
)


@given(_TREE, st.lists(_KEY, min_size=1, max_size=3).map(tuple), st.integers(0, 9))
def test_a_value_that_is_set_is_read_and_no_other_changes(
    tree: object, path: tuple[str, ...], value: int
) -> None:
    """In any table, inline or not: the key has the value, and taken out all is as before."""
    import tomlkit

    values = tree if isinstance(tree, dict) else {"z": tree}
    text = "# head\n" + tomlkit.dumps(values)
    at: object = values
    for key in path:
        if not isinstance(at, dict):
            return
        at = at.get(key, {})
    if at != {}:
        return
    changed = with_value(text, path, value)
    found: object = tomllib.loads(changed)
    for key in path:
        assert isinstance(found, dict)
        found = found[key]
    assert found == value
    if len(path) == 1:
        assert tomllib.loads(without(changed, path)) == values
        assert changed.startswith("# head\n") or changed.endswith(text)


def test_a_file_that_changed_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    """Changed, gone, come to be: told in a sentence, and what lies there stays."""
    path = tmp_path / "patterns" / "try.toml"
    stamp = write_document(path, COMMENTED, None)
    assert stamp == stamp_of(path)
    with pytest.raises(DocumentError, match="there is such a file already"):
        write_document(path, "other", None)
    path.write_text("mine\n")
    with pytest.raises(DocumentError, match="was changed by another program since it was read"):
        write_document(path, COMMENTED, stamp)
    assert path.read_text() == "mine\n"
    path.unlink()
    with pytest.raises(DocumentError, match="the file has gone since it was read"):
        write_document(path, COMMENTED, stamp)
    assert not path.exists()


def test_a_kept_pattern_is_on_the_disk_before_it_takes_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its bytes are brought to the disk first, so that a power cut leaves the old or the new."""
    done: list[str] = []
    fsync, put = os.fsync, os.replace

    def synced(handle: int) -> None:
        done.append("synced")
        fsync(handle)

    def in_place(new: str, old: Path) -> None:
        done.append("in place")
        put(new, old)

    monkeypatch.setattr("os.fsync", synced)
    monkeypatch.setattr("os.replace", in_place)
    write_document(tmp_path / "try.toml", COMMENTED, None)
    assert done[:2] == ["synced", "in place"]


def test_a_size_carries_measures(tmp_path: Path) -> None:
    """A size's bead is its size alone or a table with measures, which the resolved bead has."""
    path = tmp_path / "try.toml"
    text = COMMENTED.replace(
        'b = "13/0"', 'b = { size = "odd", diameter_mm = 1.8, length_mm = 1.2, hole_mm = 0.6 }'
    )
    path.write_text(text)
    pattern = read_document(path, Pattern)
    small = pattern.resolve("small").beads
    assert (small["a"].size, small["a"].diameter_mm) == ("15/0", None)
    assert (small["b"].size, small["b"].diameter_mm, small["b"].hole_mm) == ("odd", 1.8, 0.6)
    path.write_text(COMMENTED.replace('b = "13/0"', "b = { diameter_mm = 1.8 }"))
    with pytest.raises(DocumentError, match=r"sizes\.small\.beads\.b\.size: this key is missing"):
        read_document(path, Pattern)
    path.write_text(COMMENTED.replace('b = "13/0"', "b = 13"))
    with pytest.raises(DocumentError, match=r"line 30, key sizes\.small\.beads\.b: a bead's size"):
        read_document(path, Pattern)
    assert Library(tmp_path).patterns()
