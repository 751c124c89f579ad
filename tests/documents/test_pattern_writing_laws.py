"""Laws of writing a pattern, whatever was painted: small changes, the way back, the same sheet."""

from __future__ import annotations

import tomllib
from collections import Counter
from contextlib import suppress

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bench.craft.pattern import Pattern
from bench.craft.text import Fault
from bench.design.operation import Desk, Operation
from bench.design.operations import (
    Entitle,
    PaintColour,
    PaintSize,
    Recolour,
    Resize,
    Rows,
    TypeLoad,
)
from bench.design.painting import paint
from bench.design.sheet import Cell, Sheet
from bench.documents.pattern_writing import written_pattern
from tests.support.boards import BEADED, board, library, structure

TEXTS = {name: library().pattern_path(name).read_bytes().decode() for name in BEADED}


@st.composite
def texts(draw: st.DrawFn) -> tuple[str, str, str]:
    """A shipped pattern, its text with any line ends, mark or last newline, and the line end."""
    name = draw(st.sampled_from(BEADED))
    end = draw(st.sampled_from(["\n", "\r\n"]))
    text = draw(st.sampled_from(["", "\ufeff"])) + TEXTS[name].replace("\n", end)
    return name, text if draw(st.booleans()) else text.removesuffix(end), end


def opened(text: str, of: Sheet) -> Sheet:
    """The sheet of a text, on the structure of another."""
    pattern = Pattern.model_validate(tomllib.loads(text.removeprefix("\ufeff")))
    return Sheet.of(pattern, of.structure)


@given(texts(), st.integers(1, 8), st.floats(0, 1), st.sampled_from("abcdefgh-"))
def test_one_bead_changes_that_loads_line_alone_and_back_gives_the_same_bytes(
    given_text: tuple[str, str, str], strand: int, along: float, letter: str
) -> None:
    """At most one line is new and one gone, both of loads; painted back, not a byte differs."""
    name, text, end = given_text
    sheet = board(name)
    cell = Cell(strand, 1 + round(along * (len(sheet.loads[strand - 1]) - 1)))
    assume(letter == "-" or letter in sheet.beads)
    painted = paint(sheet, [cell], letter)
    assume(any(painted.loads))
    changed = written_pattern(painted.to_pattern(), text)
    before, after = (Counter(one.split(end)) for one in (text, changed))
    new, gone = list((after - before).elements()), list((before - after).elements())
    assert len(new) <= 1
    assert len(gone) <= 1
    assert all(line.split("=")[0].strip() in {"all", str(strand)} for line in (*new, *gone))
    again = opened(changed, sheet)
    assert again.loads == painted.loads
    assert written_pattern(sheet.to_pattern(), changed) == text


CELLS = {"strands": [2], "first": 3, "spread": "opposite"}
DONE = st.one_of(
    st.builds(
        lambda colour, shown: PaintColour.model_validate(
            CELLS | {"colour": f"#{colour:06x}", "name": 'a "b" # c', "shown": shown}
        ),
        st.integers(0, 0xFFFFFF),
        st.sampled_from([None, "dusk"]),
    ),
    st.builds(
        lambda size: PaintSize.model_validate(CELLS | {"size": size}),
        st.sampled_from(["15/0", "11/0", "8/0"]),
    ),
    st.builds(
        lambda first, do: Rows(do=do, first=first, last=first + 1, count=2),
        st.integers(1, 9),
        st.sampled_from(["copy", "take out", "mirror", "repeat"]),
    ),
    st.just(Recolour(colourway="dawn", turn_deg=40)),
    st.just(Resize(steps=-1, size="tiny")),
    st.just(TypeLoad(strand=4, beads="2(a b) - 3a")),
    st.just(Entitle(title='Eaves \\ "two"')),
)
"""Operations that reach every part of a pattern's file."""


@settings(max_examples=60)
@given(texts(), st.lists(DONE, min_size=1, max_size=6))
def test_whatever_is_done_keep_and_open_give_the_same_sheet(
    given_text: tuple[str, str, str], done: list[Operation]
) -> None:
    """Written into the file that it comes from and read again: loads, sizes, colours and marks."""
    name, text, end = given_text
    sheet = board(name)
    for operation in done:
        with suppress(Fault):
            sheet = operation.on(sheet, Desk(structure))
    pattern = sheet.to_pattern()
    written = written_pattern(pattern, text)
    found = opened(written, sheet)
    assert found.loads == sheet.loads
    bare: dict[str, object] = {"loads": {}, "crosses": None}
    assert found.pattern.model_copy(update=bare) == sheet.pattern.model_copy(update=bare)
    assert ("\n" in written.replace("\r\n", "")) == (end == "\n")
    assert written_pattern(pattern, written) == written
