"""Measured pieces and weighed beads: what the journal tells the next predictions."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.craft.bead_weighings import WeighedBeads, masses_of
from bench.craft.measuring import MeasuredPiece, Shift, corrections, shift, take_up_of
from bench.craft.weight_plan import core_mass_g
from bench.craft.weight_proof import from_table
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.calibration import calibration_of, read_calibration, weighed_beads
from bench.making.expected_piece import ExpectedPiece
from bench.making.loading import loading_of
from bench.making.loading_sheet import sheet_of
from bench.making.point_nudge import point_nudge
from bench.making.weights_answer import weights_answer
from bench.making.worked_pattern import WorkedPattern
from bench.sheets.loading import sheet_lines
from bench.sheets.loading_html import sheet_html
from tests.support.events import record

LIBRARY = Library(Path("nowhere"))
SETTINGS = Settings()


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal."""
    with Journal.open(tmp_path / "journal.db", write=True) as opened:
        yield opened


def made_of(name: str = "silver-eaves", size: str | None = None) -> WorkedPattern:
    """A shipped pattern."""
    return WorkedPattern.from_library(LIBRARY, SETTINGS, name, size)


def measure(journal: Journal, made: WorkedPattern, **measures: object) -> None:
    """A piece of a pattern, measured."""
    record(Braid.start(journal, made), "measured", {"sample": False, **measures})


def test_without_measured_pieces_nothing_shifts() -> None:
    """No piece: the factor is one, and nothing is said."""
    assert shift([]) == Shift(1.0, 0)
    assert corrections([MeasuredPiece()]).says == ()


def test_one_piece_moves_a_prediction_nine_tenths_of_the_way() -> None:
    """By the written rule: 10 % longer, one piece, k = 1/9: 1.1 to the power of 0.9."""
    assert shift([(66.0, 60.0)]).factor == pytest.approx(1.1**0.9)
    assert shift([(66.0, 60.0)] * 9).factor == pytest.approx(1.1 ** (81 / 82))


def test_slips_of_the_pen_are_left_out() -> None:
    """A length in centimetres, or none, moves nothing."""
    assert shift([(6.0, 60.0), (0.0, 60.0), (600.0, 60.0)]) == Shift()
    assert shift([(6.0, 60.0), (66.0, 60.0)]).pieces == 1


def test_take_up_is_what_was_worked_in() -> None:
    """A strand of 605 mm with 500 mm left in a 60 mm braid took 1.75 times the braid."""
    assert take_up_of(605, 500, 60) == pytest.approx(1.75)
    assert take_up_of(605, 590, 60) is None
    assert take_up_of(605, 500, 0) is None


def test_the_next_piece_is_predicted_longer_and_says_so(journal: Journal) -> None:
    """Two pieces of 66 mm instead of 59.6 shift length, marks' growth and the sheet's words."""
    made = made_of()
    for _ in range(2):
        measure(journal, made, length_mm=66.0, thickness_mm=12.0)
    past = calibration_of(journal, SETTINGS, "silver-eaves")
    again = WorkedPattern.from_library(LIBRARY, SETTINGS, "silver-eaves", calibration=past)
    assert made.growth.length_mm < again.growth.length_mm < 66.0
    assert again.growth.length_mm == pytest.approx(66, abs=1)
    assert "from 2 pieces measured" in sheet_of(again, SETTINGS).predicted.rests_on
    assert sheet_of(made, SETTINGS).predicted.rests_on == "columns, 1:2 rule, beads per inch"


def test_the_first_measure_shifts_and_narrows_the_range(journal: Journal) -> None:
    """A rope of 1.20 m, longer than all rules: both ends move towards it and lie closer."""
    made = made_of("stair-rope")
    measure(journal, made, length_mm=1200.0)
    past = calibration_of(journal, SETTINGS, "stair-rope")
    again = WorkedPattern.from_library(LIBRARY, SETTINGS, "stair-rope", calibration=past)
    before, after = made.growth, again.growth
    assert before.low_mm < after.low_mm < after.length_mm < after.high_mm < 1200
    assert after.high_mm > before.high_mm
    assert after.high_mm / after.low_mm < (before.high_mm / before.low_mm) ** 0.2
    assert "Predicted 1.18 to 1.20 m (length +9 % from one piece measured)" in " ".join(
        sheet_lines(sheet_of(again, SETTINGS))
    )


def test_a_measured_thickness_is_no_bound_any_more(journal: Journal, tmp_path: Path) -> None:
    """Where the columns are not known, the first measure makes a figure of the bound."""
    folder = tmp_path / "patterns"
    folder.mkdir()
    text = LIBRARY.pattern_path("stair-rope").read_text().replace("kongo-8", "square-8")
    (folder / "square.toml").write_text(text)
    library = Library(tmp_path)
    made = WorkedPattern.from_library(library, SETTINGS, "square")
    assert made.growth.diameter_at_most
    measure(journal, made, thickness_mm=8.0)
    past = calibration_of(journal, SETTINGS, "square")
    again = WorkedPattern.from_library(library, SETTINGS, "square", calibration=past)
    assert not again.growth.diameter_at_most
    assert again.growth.diameter_mm == pytest.approx(8.0, abs=0.4)


def test_thread_left_over_moves_the_take_up(journal: Journal) -> None:
    """More left than expected: less thread is cut for the next pieces."""
    made = made_of("stair-rope")
    measure(journal, made, length_mm=1000.0, thread_left_mm=900.0, thread_cut_mm=2250.0)
    past = calibration_of(journal, SETTINGS, "stair-rope")
    assert past.corrections.take_up.factor < 0.85
    again = WorkedPattern.from_library(LIBRARY, SETTINGS, "stair-rope", calibration=past)
    assert again.cutting(SETTINGS).take_up < made.cutting(SETTINGS).take_up
    assert again.cutting(SETTINGS).total_m < made.cutting(SETTINGS).total_m


@pytest.mark.parametrize("name", ["stair-rope", "landing-cord"])
def test_the_sheet_says_that_the_thread_was_corrected(journal: Journal, name: str) -> None:
    """What is cut has shifted with measured pieces: text and page of the sheet say so."""
    made = made_of(name)
    cut = ExpectedPiece.of(made, SETTINGS).thread_cut_mm
    length = made.growth.length_mm
    measure(journal, made, length_mm=length, thread_left_mm=cut - 1.4 * length)
    again = WorkedPattern.from_library(
        LIBRARY, SETTINGS, name, calibration=calibration_of(journal, SETTINGS, name)
    )
    before, after = (sheet_of(one, SETTINGS) for one in (made, again))
    for shown in (" ".join(sheet_lines(after)), sheet_html(after)):
        assert "thread worked in -1" in " ".join(shown.split())
    assert "thread worked in" not in " ".join(sheet_lines(before))


def test_the_take_up_settles_at_what_it_truly_is(journal: Journal) -> None:
    """Cut as told and measured each time, four ropes bring the take-up near its true value."""
    for _ in range(4):
        past = calibration_of(journal, SETTINGS, "stair-rope")
        made = WorkedPattern.from_library(LIBRARY, SETTINGS, "stair-rope", calibration=past)
        cut, length = ExpectedPiece.of(made, SETTINGS).thread_cut_mm, made.growth.length_mm
        left = cut - 1.3 * length
        measure(journal, made, length_mm=length, thread_left_mm=left, thread_cut_mm=cut)
    factor = calibration_of(journal, SETTINGS, "stair-rope").corrections.take_up.factor
    assert SETTINGS.thumb.take_up * factor == pytest.approx(1.3, abs=0.1)


def test_other_patterns_and_sizes_do_not_shift(journal: Journal) -> None:
    """Only pieces of the same pattern in the same size count; the colourway does not matter."""
    measure(journal, made_of("silver-eaves", "small"), length_mm=60.0)
    measure(journal, made_of("cistern"), length_mm=60.0)
    assert calibration_of(journal, SETTINGS, "silver-eaves").corrections.length.pieces == 0
    dusk = WorkedPattern.from_library(LIBRARY, SETTINGS, "silver-eaves", None, "dusk")
    measure(journal, dusk, length_mm=60.0)
    assert calibration_of(journal, SETTINGS, "silver-eaves").corrections.length.pieces == 1


def test_a_piece_measured_twice_counts_as_measured_last(journal: Journal) -> None:
    """A figure that is entered again replaces the first."""
    braid = Braid.start(journal, made_of())
    record(braid, "measured", {"sample": False, "length_mm": 90.0})
    record(braid, "measured", {"sample": False, "length_mm": braid_length()})
    found = calibration_of(journal, SETTINGS, "silver-eaves").corrections.length
    assert found.pieces == 1
    assert found.factor == pytest.approx(1)


def braid_length() -> float:
    """What is predicted for the drop."""
    return made_of().growth.length_mm


def test_the_sample_is_signed_off_by_colourway(journal: Journal) -> None:
    """The first piece that is signed off is the sample of its pattern, size and colourway."""
    record(Braid.start(journal, made_of(), number=1), "measured", {"sample": True})
    past = calibration_of(journal, SETTINGS, "silver-eaves")
    assert past.sample == "Silver Eaves 1"
    assert calibration_of(journal, SETTINGS, "silver-eaves", None, "dusk").sample is None
    again = WorkedPattern.from_library(LIBRARY, SETTINGS, "silver-eaves", calibration=past)
    assert sheet_of(again, SETTINGS).sample == "Silver Eaves 1"


def test_a_sample_that_is_measured_again_stays_the_sample(journal: Journal) -> None:
    """Measuring once more moves the figures; the sign-off is not lost."""
    braid = Braid.start(journal, made_of(), number=1)
    record(braid, "measured", {"sample": True})
    record(braid, "measured", {"sample": False, "length_mm": 66.0})
    past = calibration_of(journal, SETTINGS, "silver-eaves")
    assert past.sample == "Silver Eaves 1"
    assert past.corrections.length.pieces == 1


def test_a_nudge_does_not_outlast_a_change_of_weight(journal: Journal) -> None:
    """The planned change makes the weight up anew: the grams said before count no more."""
    braid = Braid.start(journal, made_of("stair-rope"))
    made = WorkedPattern.for_piece(braid, SETTINGS)
    assert made.weighing is not None
    change = made.weighing.steps[1].cross
    for cross, kept in ((change - 1, True), (change, False)):
        record(braid, "point_seen", {"at": "high"})
        again = Braid.start(journal, made_of("stair-rope"))
        braid.set_place(cross)
        again.set_place(cross)
        one, fresh = (point_nudge(b, made, "high") for b in (braid, again))
        assert one is not None
        assert fresh is not None
        assert (one.says != fresh.says) == kept


def test_weighed_beads_are_kept_and_improve_the_mass(journal: Journal) -> None:
    """Twenty beads on the scale halve the table's doubt at least, for that kind of bead only."""
    made = made_of()
    weighing = {"size": "8/0", "shape": "round", "name": "pale cloud"}
    record(
        Braid.start(journal, made),
        "bead_weighed",
        {**weighing, "beads": 20, "grams": 0.64, "resolution_g": 0.01},
    )
    masses = masses_of(made.pattern, made.sizes, weighed_beads(journal))
    table = from_table(made.sizes["c"])
    assert table.mean_g < masses["c"].mean_g < 0.032 + 1e-9
    assert masses["c"].doubt_g < table.doubt_g / 2
    assert masses["d"] == from_table(made.sizes["d"])


def test_beads_of_another_name_are_known_less_well_than_those_weighed() -> None:
    """A weighing moves the mass of every bead of its size, but a finish weighs a few per cent."""
    made = made_of()
    known, other = (
        masses_of(made.pattern, made.sizes, [WeighedBeads("8/0", "round", name, 500, 14.4, 0.01)])[
            "c"
        ]
        for name in ("pale cloud", "something else")
    )
    assert other.mean_g == known.mean_g
    assert other.doubt_g > 0.03 * other.mean_g > known.doubt_g
    assert other.rests_on.endswith("500 beads weighed, of another name")


def test_a_journal_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    """Predictions go on without it, with one sentence."""
    (tmp_path / "journal.db").write_bytes(b"no journal at all" * 100)
    past, trouble = read_calibration(tmp_path, SETTINGS, "silver-eaves")
    assert past.corrections.length.pieces == 0
    assert trouble is not None
    assert "measured pieces are left out" in trouble


def test_every_part_reads_the_same_weighed_beads(journal: Journal) -> None:
    """A weighing in the stock and one at the bench move needs, weights, proof and piece alike."""
    braid = Braid.start(journal, made_of())
    stock = 'format = 1\n[[beads]]\nsize = "6/0"\nname = "clear drop"\nweighed_beads = 20\n'
    (journal.folder / "stock.toml").write_text(f"{stock}weighed_g = 1.8\n")
    weighing = {"size": "8/0", "shape": "round", "name": "pale cloud"}
    record(braid, "bead_weighed", {**weighing, "beads": 20, "grams": 0.7, "resolution_g": 0.1})
    plain, made = made_of(), WorkedPattern.for_piece(braid, SETTINGS)
    masses = {letter: mass.mean_g for letter, mass in made.masses.items()}
    table = {letter: mass.mean_g for letter, mass in plain.masses.items()}
    assert masses["c"] > table["c"] * 1.1
    assert masses["d"] > table["d"] * 1.1
    assert (masses["a"], masses["b"]) == (table["a"], table["b"])
    assert made.weighing is not None
    assert plain.weighing is not None
    hang = sum(made.weighing.hang_g) - sum(plain.weighing.hang_g)
    strung = "".join(made.plan.loads)
    more = sum(masses[x] - table[x] for x in strung)
    assert hang == pytest.approx(more)
    proving = loading_of(made, braid, SETTINGS).proving[1]
    assert proving.weighed is not None
    load = made.plan.loads[0]
    assert proving.weighed.proof.expected.mean_g == pytest.approx(sum(masses[x] for x in load))
    heavier = ExpectedPiece.of(made, SETTINGS).weight_g
    lighter = ExpectedPiece.of(plain, SETTINGS).weight_g
    assert heavier is not None
    assert lighter is not None
    core = core_mass_g(made.plan, masses) - core_mass_g(made.plan, table)
    assert heavier - lighter == pytest.approx(more + core)
    assert weights_answer(made, SETTINGS).hang_g[0] == pytest.approx(
        made.weighing.hang_g[0], abs=0.01
    )
