from __future__ import annotations

import io
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.journal.csv_import import import_csv
from bench.journal.csv_reading import read_csv
from bench.journal.csv_rows import COLUMNS, PieceRow, export_csv
from bench.journal.store import Journal
from bench.journal.transfer import ImportRefused, Problem
from tests.support.clock import ManualClock
from tests.support.events import said

NOW = datetime(2026, 3, 1, 10, 0, tzinfo=UTC).timestamp()


@pytest.fixture(autouse=True)
def _two_hours_east(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The machine's zone in this file: two hours east of Greenwich (POSIX writes it as UTC-2)."""
    with monkeypatch.context() as east:
        east.setenv("TZ", "EAST-2")
        time.tzset()
        yield
    time.tzset()


def read(text: str | bytes) -> tuple[list[PieceRow], list[Problem]]:
    """Read a CSV file, east of Greenwich, on the morning of 1 March 2026."""
    data = text if isinstance(text, bytes) else text.encode()
    return read_csv(io.BytesIO(data), now=NOW)


def at(*numbers: int) -> float:
    """Return UTC seconds."""
    return datetime(*numbers, tzinfo=UTC).timestamp()  # type: ignore[arg-type,misc]


def test_a_pattern_and_a_time_are_enough() -> None:
    """Two columns make a row; all else is unknown, and the id follows from what was said."""
    rows, problems = read("pattern,hands_on_s\nSilver Eaves,5400\n")
    assert problems == []
    assert rows == [
        PieceRow(
            piece=None,
            finished_at=None,
            pattern="Silver Eaves",
            size=None,
            colourway=None,
            stage=None,
            hands_on_s=5400.0,
            waiting_s=None,
            crosses=None,
            rework_s=None,
            uuid=rows[0].uuid,
        )
    ]
    assert rows[0].uuid[14] == "5"


def test_every_column() -> None:
    """A full row is read as it is written, with a byte order mark and Windows line ends too."""
    text = (
        "\ufeff" + ",".join(COLUMNS) + "\r\n"
        '"Eaves, first",2026-02-27T14:30:00Z,silver-eaves,small,dusk,braid,4000.5,60,80,120,u-1\r\n'
    )
    rows, problems = read(text)
    assert problems == []
    assert rows == [
        PieceRow(
            "Eaves, first",
            at(2026, 2, 27, 14, 30),
            "silver-eaves",
            "small",
            "dusk",
            "braid",
            4000.5,
            60.0,
            80,
            120.0,
            "u-1",
        )
    ]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("2026-02-27", at(2026, 2, 27, 10)),
        ("2026-03-01", at(2026, 3, 1, 10)),
        ("2026-02-27 14:30", at(2026, 2, 27, 12, 30)),
        ("2026-02-27T14:30:15", at(2026, 2, 27, 12, 30, 15)),
        ("2026-02-27T14:30+05:30", at(2026, 2, 27, 9, 0)),
        ("", None),
    ],
)
def test_times(written: str, meant: float | None) -> None:
    """A time without offset is the machine's, a date alone is noon there, none stays undated."""
    rows, problems = read(f"pattern,hands_on_s,finished_at\nx,600,{written}\n")
    assert problems == []
    assert rows[0].finished_at == meant


@pytest.mark.parametrize(
    ("cells", "complaint"),
    [
        ("x,-600,,,", "hands_on_s is '-600'"),
        ("x,0,,,", "hands_on_s is 0: a piece takes at least 60 s"),
        ("x,2,,,", "hands_on_s is 2: a piece takes at least 60 s"),
        ("x,nan,,,", "hands_on_s is 'nan'"),
        ("x,1e3,,,", "hands_on_s is '1e3'"),
        ("x,٣٠٠,,,", "hands_on_s is"),
        ("x,,,,", "hands_on_s is missing"),
        (",600,,,", "pattern is missing"),
        ("x,39600,1,,", "39,600.0 s for each cross"),
        ("x,600,9000,,", "0.1 s for each cross"),
        ("x,600,0,,", "crosses is not a whole number"),
        ("x,600,1.5,,", "crosses is not a whole number"),
        ("x,99999999,,,", "more than"),
        ('x,"600,5",,,', "use a decimal point"),
        ("x,600,5,,,", "6 cells under 5 columns (a decimal comma? use a point)"),
        ("x,600", "2 cells under 5 columns"),
        ("x,600,,glue,", "stage 'glue' is none of load,"),
        ("x,600,,,2026-03-02", "yet to come"),
        ("x,600,,,2026-03-01T12:06", "yet to come"),
        ("x,600,,,1066-10-14", "too long ago"),
        ("x,600,,,0001-01-01", "too long ago"),
        ("x,600,,,9999-12-31", "yet to come"),
        ("x,600,,,27.02.2026", "write 2026-03-01"),
        ("x,600,,,2026-02-30", "write 2026-03-01"),
        ("\x1b[31mx,600,,,", "pattern is not a name: '?[31mx'"),
    ],
)
def test_a_wrong_row_is_refused_by_its_line(cells: str, complaint: str) -> None:
    """A row that cannot be is named by its line, in a sentence fit to be shown."""
    rows, problems = read(
        f"pattern,hands_on_s,crosses,stage,finished_at\ngood,600,,,\n\n{cells}\nalso good,700,,,\n"
    )
    assert [row.pattern for row in rows] == ["good", "also good"]
    assert [problem.line for problem in problems] == [4]
    assert complaint in problems[0].text
    assert problems[0].text.isprintable()


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("", "column pattern is missing"),
        ("Silver Eaves,5400\n", "must name the columns"),
        ("pattern\nx\n", "column hands_on_s is missing"),
        ("pattern;hands_on_s\nx;600\n", "set apart by semicolons"),
        ("pattern\thands_on_s\nx\t600\n", "set apart by tabs"),
        ("pattern,pattern,hands_on_s\n", "stands twice"),
        ("pattern,hands_on_s\nCaf\u00e9,600\n".encode("latin-1"), "not UTF-8 (see line 2)"),
        ("pattern,hands_on_s\nx,600\n".encode("utf-16"), "not UTF-8"),
        ("pattern,hands_on_s\nx\0,600\n", "not text"),
        (b" " * (9 << 20), "larger than 8 MB"),
    ],
)
def test_a_wrong_file_is_refused_as_a_whole(text: str | bytes, complaint: str) -> None:
    """A file that is no such table says so once."""
    rows, problems = read(text)
    assert rows == []
    assert len(problems) == 1
    assert complaint in problems[0].text


def test_an_open_quote_is_told_where_it_begins() -> None:
    """A quote that is never closed is a problem of the line in which it opens."""
    rows, problems = read('pattern,hands_on_s\nx,600\n"y,600\nz,600\n')
    assert [row.pattern for row in rows] == ["x"]
    assert [problem.line for problem in problems] == [3]


def test_lines_are_counted_through_quoted_line_ends() -> None:
    """A line end inside quotes does not shift the line numbers that follow."""
    _, problems = read('pattern,hands_on_s\n"a\nb",600\nx,oops\n')
    assert [problem.line for problem in problems] == [2, 4]


def test_equal_rows_are_told_apart_and_come_out_the_same_each_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two equal rows are two pieces; the same file gives the same ids wherever it is read."""
    text = "pattern,hands_on_s,finished_at\nx,600,2026-02-01\nx,600,2026-02-01\ny,600,\n"
    rows, _ = read(text)
    assert len({row.uuid for row in rows}) == 3
    assert rows == read(text)[0]
    spaced, _ = read(text.replace("x,600,", " x , 600.0 ,"))
    assert [row.uuid for row in spaced] == [row.uuid for row in rows]
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    west, _ = read(text)
    assert [row.uuid for row in west] == [row.uuid for row in rows]


def test_one_id_twice_in_a_file_is_refused() -> None:
    """An id may stand twice only for two stages of one piece."""
    _, problems = read("pattern,hands_on_s,stage,uuid\nx,600,load,u\nx,600,braid,u\nx,9,load,u\n")
    assert [(problem.line, problem.text) for problem in problems] == [
        (4, "The uuid is that of line 2.")
    ]


NAMES = st.none() | st.text(
    st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=12
).map(str.strip).filter(bool)
SECONDS = st.none() | st.floats(0, 1e5).map(lambda value: round(value, 3))
ROWS = st.builds(
    PieceRow,
    piece=NAMES,
    finished_at=st.none() | st.integers(0, int(NOW)).map(float),
    pattern=NAMES.filter(bool).map(str),
    size=NAMES,
    colourway=NAMES,
    stage=st.none() | st.sampled_from(["load", "braid", "finish"]),
    hands_on_s=st.floats(60, 1e5).map(lambda value: round(value, 3)),
    waiting_s=SECONDS,
    crosses=st.none(),
    rework_s=st.none() | st.floats(0, 600).map(lambda value: round(value, 3)),
    uuid=st.uuids().map(str),
)


def test_rework_far_beyond_the_work_is_refused() -> None:
    """A day of rework on an hour's piece is a slip of the pen; ten hours are let be."""
    rows, problems = read("pattern,hands_on_s,rework_s\nx,3600,90000\nx,3600,36000\n")
    assert [row.rework_s for row in rows] == [36000.0]
    assert "rework_s is 90000: more than 10 times hands_on_s cannot be" in str(problems[0])


@given(st.lists(ROWS, max_size=5, unique_by=lambda row: row.uuid))
def test_what_is_written_is_read_back(rows: list[PieceRow]) -> None:
    """Rows written as CSV read back as they were."""
    stream = io.StringIO(newline="")
    assert export_csv(rows, stream) == len(rows)
    assert read(stream.getvalue()) == (rows, [])


@pytest.mark.parametrize("text", ["=1+1", "+x", "-2", "@sum", "'=x", "''-x", "'quoted'", "a=b"])
def test_no_cell_is_run_by_a_spreadsheet(text: str) -> None:
    """No text is written as a formula (OWASP, "CSV Injection": = + - @), and each is read back."""
    row = PieceRow(text, None, text, text, text, None, 5400.0, None, None, None, "u-1")
    stream = io.StringIO(newline="")
    export_csv([row], stream)
    cells = stream.getvalue().split("\n")[1].split(",")
    assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in cells)
    assert read(stream.getvalue()) == ([row], [])


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_no_file_is_worse_than_refused(junk: bytes) -> None:
    """Whatever a file holds, its rows are read or its problems told, fit to be shown."""
    for data in (junk, b"pattern,hands_on_s\n" + junk, b"pattern,hands_on_s\nx,600\n" + junk):
        for problem in read(data)[1]:
            assert problem.text.isprintable()


def test_what_the_caller_finds_wrong_is_told_by_line() -> None:
    """A row that reads well is refused, by its line, if the caller says what is wrong with it."""
    text = "pattern,hands_on_s\nx,4000\ny,4000\n"
    rows, problems = read_csv(
        io.BytesIO(text.encode()), now=NOW, wrong=lambda row: "no y" * (row.pattern == "y")
    )
    assert [row.pattern for row in rows] == ["x"]
    assert problems == [Problem(3, "no y")]


@pytest.mark.parametrize(
    ("rows", "complaint"),
    [
        ("x,600,,load,u\nx,700,,load,u\n", "uuid is that of line 2."),
        ("x,600,,load,u\ny,700,,braid,u\n", "uuid is that of line 2, where pattern is 'x'"),
        ("x,600,big,load,u\nx,700,small,braid,u\n", "where size is 'big'"),
        ("x,900,,,u\nx,600,,load,u\nx,700,,braid,u\n", "take 1300 s, more than the whole: 900 s"),
    ],
)
def test_rows_of_one_piece_may_not_contradict_each_other(rows: str, complaint: str) -> None:
    """Under one id a stage comes once, of one kind of piece, and not longer than the whole."""
    _, problems = read("pattern,hands_on_s,size,stage,uuid\n" + rows)
    (problem,) = problems
    assert complaint in problem.text
    assert problem.line == rows.count("\n") + 1


def test_stages_of_a_title_are_one_piece_without_an_id() -> None:
    """Without ids, the n-th loading of a title goes with its n-th braiding; untitled rows alone."""
    text = (
        "piece,pattern,hands_on_s,stage\nA,x,600,load\nA,x,1600,braid\nA,x,610,load\n"
        "B,x,600,load\nA,x,1610,braid\n,x,600,load\n,x,1600,braid\n"
    )
    rows, problems = read(text)
    assert problems == []
    ids = [row.uuid for row in rows]
    assert ids[0] == ids[1]
    assert ids[2] == ids[4]
    assert len(set(ids)) == 5


def test_drying_is_no_work() -> None:
    """Hands-on seconds for drying are refused, and the maker is told where waiting goes."""
    _, problems = read("pattern,hands_on_s,stage\nx,1800,dry\n")
    assert "waiting_s" in problems[0].text


@given(st.lists(ROWS, max_size=6, unique_by=lambda row: row.uuid), st.integers(0, 6))
@settings(max_examples=25)
def test_two_benches_rows_merge(rows: list[PieceRow], cut: int) -> None:
    """Rows of two benches, some at both, taken in in either order and twice, are there once."""
    first, second = rows[:cut], rows[max(0, cut - 2) :]
    found = []
    for order in ((first, second, first), (second, first, second)):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "journal.db"
            with Journal.open(path, write=True, clock=ManualClock()) as journal:
                added = 0
                for part in order:
                    text = io.StringIO(newline="")
                    export_csv(part, text)
                    stream = io.BytesIO(text.getvalue().encode())
                    merged = import_csv(journal, stream, now=NOW)
                    assert merged.added + merged.known == len(part)
                    assert merged.warnings == ()
                    added += merged.added
                assert added == len(rows)
                found.append({s.uuid: (s.title, s.status) for s in journal.pieces(False)})
    assert found[0] == found[1]


GOOD = "piece,pattern,hands_on_s,crosses\nfirst,cistern,4000,80\nsecond,cistern,3800,80\n"


def load(journal: Journal, text: str, keep_good: bool = False) -> tuple[int, int, tuple[str, ...]]:
    """Import a CSV file into a journal."""
    stream = io.BytesIO(text.encode())
    merged = import_csv(journal, stream, now=NOW, keep_good=keep_good)
    return merged.added, merged.known, merged.warnings


def test_imported_twice_is_there_once(journal: Journal) -> None:
    """Rows become finished pieces, once, however often the file is imported."""
    assert load(journal, GOOD) == (2, 0, ())
    assert load(journal, GOOD) == (0, 2, ())
    assert load(journal, GOOD + "third,cistern,3700,80\n") == (1, 2, ())
    states = journal.pieces(open_only=False)
    assert [(s.title, s.status, s.made) for s in states] == [
        ("first", "good", 80),
        ("second", "good", 80),
        ("third", "good", 80),
    ]
    assert journal.pieces() == []


def test_all_or_nothing_unless_the_good_ones_are_wanted(journal: Journal) -> None:
    """One bad row keeps the file out; with keep_good it alone is left out, and told."""
    text = GOOD + "third,cistern,-1,80\n"
    with pytest.raises(ImportRefused, match="line 4: hands_on_s is '-1'"):
        load(journal, text)
    assert journal.counts()["events"] == 0
    added, known, warnings = load(journal, text, keep_good=True)
    assert (added, known) == (2, 0)
    assert warnings == ("Left out: line 4: hands_on_s is '-1', not a number from 0 on.",)


def test_a_piece_that_was_made_here_is_not_recorded_again(
    journal: Journal, start: dict[str, object]
) -> None:
    """A row with the id of a piece in the journal, or other figures for one, changes nothing."""
    journal.append(said("piece_started", start), pieces="u")
    row = "pattern,hands_on_s,uuid\nsilver-eaves,4000,{}\n"
    assert load(journal, row.format("u")) == (0, 1, ())
    assert load(journal, row.format("v")) == (1, 0, ())
    added, known, warnings = load(journal, row.format("v").replace("4000", "5000"))
    assert (added, known) == (0, 1)
    assert "recorded with other figures" in warnings[0]
    assert [event.values["hands_on_s"] for event in journal.events("v")] == [4000.0]


def test_a_row_of_another_kind_of_piece_is_refused(journal: Journal) -> None:
    """A stage for a piece that the journal has as another pattern is refused by its line."""
    load(journal, "pattern,hands_on_s,stage,uuid\nx,600,load,u\n")
    with pytest.raises(ImportRefused, match=r"line 2: .* in the journal, where pattern is 'x'"):
        load(journal, "pattern,hands_on_s,stage,uuid\ny,1600,braid,u\n")


def test_stages_of_one_piece_come_together(journal: Journal) -> None:
    """Rows with one id and several stages are one piece."""
    text = "pattern,hands_on_s,stage,uuid\nx,600,load,u\nx,1600,braid,u\n"
    assert load(journal, text) == (2, 0, ())
    assert load(journal, text) == (0, 2, ())
    assert len(journal.pieces(open_only=False)) == 1
    assert [event.values["stage"] for event in journal.events("u")] == ["load", "braid"]
