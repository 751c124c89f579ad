"""The loading sheet: the beads of the crosses, on one page, for every shipped pattern."""

from __future__ import annotations

import dataclasses
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from bench.answers.loading_sheet import LoadingSheet
from bench.commands.steps import steps_of
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.soundness import findings
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.core_answer import core_answer, core_part
from bench.making.loading_sheet import sheet_of
from bench.making.worked_pattern import WorkedPattern
from bench.sheets.core import core_lines
from bench.sheets.loading import sheet_lines
from bench.sheets.loading_html import sheet_html
from bench.sheets.words import WIDTH

LIBRARY = Library(Path("nowhere"))
SETTINGS = Settings()
PAGE_LINES = 66
"""A4 and US letter at six lines to the inch, with margins, hold 66 lines or more."""

VARIANTS = [
    (entry.name, size)
    for entry in LIBRARY.patterns()
    for size in (None, *LIBRARY.plan(entry.path).pattern.sizes)
]


def made_of(pattern: str, size: str | None = None, **threads: object) -> WorkedPattern:
    """A shipped pattern worked up, with other words for its threads if given."""
    made = WorkedPattern.from_library(LIBRARY, SETTINGS, pattern, size)
    if not threads:
        return made
    data = made.pattern.model_dump()
    data["threads"] |= threads
    changed = Pattern.model_validate(data)
    return dataclasses.replace(made, plan=Plan(changed, made.structure), findings=())


def sheet(name: str, size: str | None = None, **threads: object) -> LoadingSheet:
    """Its sheet."""
    return sheet_of(made_of(name, size, **threads), SETTINGS)


@pytest.mark.parametrize(("name", "size"), VARIANTS)
@pytest.mark.parametrize(
    ("way", "back"),
    [
        ("each half from its own end", lambda half: False),
        ("both halves from one end", lambda half: half == "far"),
        ("from the braid end", lambda half: True),
    ],
)
def test_sheet_and_steps_have_the_same_beads(
    name: str, size: str | None, way: str, back: object
) -> None:
    """Turned round where the needle sits at the other end, each string is what steps bring in."""
    assert callable(back)
    made = made_of(name, size, strung=way)
    brought: dict[int, str] = {}
    for step in steps_of(made).steps:
        for move in step.moves:
            bead = getattr(move, "bead", None)
            if bead is not None:
                brought[move.strand] = brought.get(move.strand, "") + bead
    for strand in sheet_of(made, SETTINGS).strands:
        strung = "".join(group.bead * group.count for group in strand.string)
        assert (strung[::-1] if back(strand.half) else strung) == brought.get(strand.strand, "")
        assert strand.total == len(strung)
        assert [g.on for g in strand.string] == [
            sum(g.count for g in strand.string[: i + 1]) for i in range(len(strand.string))
        ]


@pytest.mark.parametrize(("name", "size"), VARIANTS)
def test_the_sheet_fits_one_page(name: str, size: str | None) -> None:
    """At most 66 lines of 80 columns, with every strand and a box to tick."""
    lines = sheet_lines(sheet(name, size))
    assert len(lines) <= PAGE_LINES
    assert max(map(len, lines)) <= WIDTH
    boxes = [line for line in lines if line.startswith("  [ ]")]
    assert len(boxes) == len(sheet(name, size).strands)


@pytest.mark.parametrize(("name", "size"), VARIANTS)
def test_shipped_sheets_have_no_warning(name: str, size: str | None) -> None:
    """What is shipped is sound to load."""
    assert sheet(name, size).warnings == ()


@pytest.mark.parametrize(
    ("stand", "warned", "hung"),
    [
        ({"fraction": 0.6}, "0.6 is heavy", "340 g ("),
        ({"weights_g": [1000]}, "your weights cannot make 265 g", "0 g (no weight)"),
    ],
)
def test_the_sheet_warns_of_the_weight_as_weights_does(
    stand: dict[str, object], warned: str, hung: str
) -> None:
    """A fraction out of the usual, or weights that cannot serve, are said with the sheet too."""
    settings = Settings.model_validate({"stand": stand})
    out = sheet_of(WorkedPattern.from_library(LIBRARY, settings, "silver-eaves"), settings)
    assert out.warnings[0].startswith(warned)
    assert out.counterweight.startswith(hung)


def test_the_scale_is_not_trusted_with_the_strands_that_it_cannot_tell(tmp_path: Path) -> None:
    """Where it tells one bead of one strand alone, text and page name the strands for each."""
    file = tmp_path / "uneven.toml"
    file.write_text(
        'format = 1\ntitle = "Uneven"\nstructure = "kongo-8"\nplain_start = 4\nplain_end = 4\n'
        '[threads]\ndouble_lengths = []\nstrung = "each half from its own end"\n'
        'name = "fine"\ndiameter_mm = 0.1\n'
        '[beads.a]\nsize = "6/0"\ncolour = "#123456"\nname = "large"\n'
        '[beads.b]\nsize = "11/0"\ncolour = "#123456"\nname = "small"\n'
        '[loads]\nall = "40b"\n1 = "2a"\n'
    )
    settings = Settings.model_validate({"stand": {"scale_g": 0.01}})
    out = sheet_of(WorkedPattern.from_library(LIBRARY, settings, str(file)), settings)
    text = " ".join(" ".join(sheet_lines(out)).split())
    for shown in (text, sheet_html(out)):
        assert "strand 1: a scale of 0.01 g notices one bead too few 99 times in 100" in shown
        assert "strands 2, 3, 4, 5, 6, 7, 8: a scale of 0.01 g cannot tell one bead" in shown


def test_counts_are_those_of_the_loads_and_the_core() -> None:
    """Silver Eaves by hand: eight strands of 3+1 a, 3+1 b, 3+2 c, 3 d; core 9 a, 13 b, 7 c."""
    rows = {row.bead: (row.count, row.core) for row in sheet("silver-eaves").beads}
    assert rows == {"a": (32, 9), "b": (32, 13), "c": (40, 7), "d": (24, 0)}


def test_places_are_said_in_words() -> None:
    """Each strand has the place where it starts."""
    strands = {s.strand: s.place for s in sheet("silver-eaves").strands}
    assert strands[1] == "top, left of the two"
    assert strands[6] == "bottom, left of the two"


def test_single_strands_have_their_own_clip() -> None:
    """A rope's strands are listed once, with clip and needle for their way of stringing."""
    text = "\n".join(sheet_lines(sheet("stair-rope")))
    assert "SINGLE STRANDS  clip at the free end, needle at the braid end" in text
    assert "as strand 2" in text
    away = sheet("stair-rope", strung="each half from its own end")
    assert away.single_strands[0].clip == "at the braid end"


def test_a_half_strung_backwards_is_marked_and_turned() -> None:
    """Over the middle, the far half is called so and begins with the last bead to go in."""
    found = sheet("downpipe", strung="both halves from one end")
    far = next(s for s in found.strands if s.strand == 1)
    near = next(s for s in found.strands if s.strand == 6)
    assert (far.half, near.half) == ("far", "near")
    assert [g.count for g in far.string] == [1, 1, 1, 2, 3, 4, 5]
    assert [g.count for g in near.string] == [5, 4, 3, 2, 1, 1, 1]
    assert far.strung_as < near.strung_as


class _Page(HTMLParser):
    """Collects tags, texts and what a page would load."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.words: list[str] = []
        self.outside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag not in {"meta", "br", "line", "rect", "circle", "path"}:
            self.open.append(tag)
        self.outside += [v or "" for k, v in attrs if k in {"src", "href", "xlink:href"}]

    def handle_endtag(self, tag: str) -> None:
        if tag in self.open:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.mark.parametrize(("name", "size"), VARIANTS)
def test_the_page_is_whole_and_needs_nothing(name: str, size: str | None) -> None:
    """Every element is closed, nothing is loaded from outside, letters stand in the shapes."""
    found = sheet(name, size)
    page = _Page()
    page.feed(sheet_html(found))
    assert page.open == []
    assert page.outside == []
    assert "script" not in page.tags
    text = " ".join(page.words)
    for strand in found.strands:
        assert strand.place in text
    for row in found.beads:
        assert row.name in text


def test_a_short_half_is_drawn_bead_by_bead() -> None:
    """Every bead of a thread is a letter in a shape: 32 for a double length of 16 and 16."""
    page = sheet_html(sheet("silver-eaves"))
    drawn = re.findall(r"<svg.*?</svg>", page[page.index('class="thread"') :], re.S)[0]
    letters = re.findall(r">([a-z])</text>", drawn)
    assert "".join(letters) == "abccdddcccbbbaaa" + "aaabbbcccdddccba"


def test_text_of_a_pattern_is_not_markup() -> None:
    """Names with angle brackets and ampersands stand on the page as they are."""
    made = made_of("silver-eaves", name="<script>alert(1)</script> & co")
    page = sheet_html(sheet_of(made, SETTINGS))
    assert "<script>" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in page


def test_a_core_without_known_columns_keeps_wire_words_and_clip(tmp_path: Path) -> None:
    """Where the columns are unknown a wired core still has its wire, its beads and its marks."""
    text = LIBRARY.pattern_path("silver-eaves").read_text(encoding="utf-8")
    path = tmp_path / "flat.toml"
    path.write_text(text.replace('"kongo-8"', '"square-8"'), encoding="utf-8")
    made = WorkedPattern.from_library(LIBRARY, SETTINGS, str(path))
    assert made.growth.lattice is None
    core = core_part(made)
    assert core.planned is not None
    assert core.planned.beads == "8a 8b 7c 5b 1a"
    assert core.planned.room_mm is None
    assert core.wire_mm == round(made.growth.high_mm + core.planned.length_mm + 150)
    assert core.down_after_cross == 16
    assert core.clip_off_after_cross is not None
    assert 16 < core.clip_off_after_cross <= (core.out_after_cross or 0)
    printed = "\n".join(sheet_lines(sheet_of(made, SETTINGS)))
    assert "8a 8b 7c 5b 1a, first in first" in printed
    assert "upper clip off" in printed
    assert "the columns of this braid are not known" in "\n".join(core_lines(core_answer(made)))


def test_a_core_cord_is_cut_off_and_a_wire_comes_out(tmp_path: Path) -> None:
    """A cord stays in the braid: its mark is the cut; of a wire it is told that it comes out."""
    text = LIBRARY.pattern_path("stair-rope").read_text(encoding="utf-8")
    path = tmp_path / "corded.toml"
    path.write_text(f'{text}\n[core]\non = "cord"\n', encoding="utf-8")
    corded = core_lines(core_answer(WorkedPattern.from_library(LIBRARY, SETTINGS, str(path))))
    assert any("core cord cut off after cross 1020" in line for line in corded)
    wired = " ".join(" ".join(core_lines(core_answer(made_of("silver-eaves")))).split())
    assert "wire out after cross 68" in wired
    assert "cord" not in wired


def test_a_core_bead_whose_edges_decide_is_named() -> None:
    """Where a ball would fit and a cylinder would not, sheet and JSON name the bead."""
    answer = core_answer(made_of("silver-eaves"))
    assert answer.core.planned is not None
    assert answer.core.planned.edges_decide == (23,)
    assert "core bead 23 fits as a ball or as a cylinder" in " ".join(core_lines(answer))


def test_double_lengths_cannot_be_strung_from_the_braid_end() -> None:
    """Their braid end is the middle of a thread: said in one sentence; single strands can."""
    made = made_of("silver-eaves", strung="from the braid end")
    (found,) = findings(made.plan, made.growth, made.sizes)
    assert "double lengths have no end at the braid" in found.says
    made = made_of("silver-eaves", strung="from the braid end", double_lengths=[])
    assert findings(made.plan, made.growth, made.sizes) == ()
