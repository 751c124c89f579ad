from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from bench.craft.load import parse_load, write_load
from bench.craft.plan import Plan
from bench.craft.stand import Stand
from bench.craft.structure import Cross, Structure
from bench.craft.text import Fault
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern, check_file

_LIBRARY = Library(Path("/nonexistent"))
PATTERNS = [entry.name for entry in _LIBRARY.patterns()]


@st.composite
def structures(draw: st.DrawFn) -> Structure:
    """Random structures: every cross is some permutation with one or more strands carried."""
    places = draw(st.integers(3, 10))
    rounds = []
    for _ in range(draw(st.integers(1, 3))):
        moved = draw(st.permutations(range(1, places + 1)))
        size = draw(st.integers(2, places))
        ring = moved[:size]
        pairs = [(ring[i], ring[(i + 1) % size]) for i in range(size)]
        kinds = draw(st.lists(st.sampled_from("cas"), min_size=size, max_size=size))
        kinds[0] = "c"
        rounds.append(
            Cross(
                call="all",
                clockwise=tuple(p for p, k in zip(pairs, kinds, strict=True) if k == "c"),
                anticlockwise=tuple(p for p, k in zip(pairs, kinds, strict=True) if k == "a"),
                slide=tuple(p for p, k in zip(pairs, kinds, strict=True) if k == "s"),
            )
        )
    return Structure(
        format=1, title="random", places=tuple(f"p{n}" for n in range(places)), round=tuple(rounds)
    )


@given(structures(), st.integers(0, 60))
@settings(max_examples=60)
def test_unbraiding_gives_the_start_again(structure: Structure, crosses: int) -> None:
    """Every cross that is taken back undoes exactly what it did, in any structure."""
    stand = Stand(structure)
    home, done = stand.at, [stand.push() for _ in range(crosses)]
    for transfers in reversed(done):
        assert set(stand.pop()) == set(transfers)
    assert (stand.at, stand.made) == (home, 0)


def test_unbraiding_nothing_is_an_error() -> None:
    """There is no cross before the first."""
    with pytest.raises(IndexError):
        Stand(_LIBRARY.structure("kongo-8")).pop()


@pytest.mark.parametrize("name", PATTERNS)
def test_the_plan_is_what_a_walk_round_the_stand_gives(name: str) -> None:
    """Every step's moves, beads and arrangement agree with a stand that is really braided."""
    made = WorkedPattern.from_library(_LIBRARY, Settings(), name)
    plan, stand = made.plan, Stand(made.structure)
    loads = [list(load) for load in plan.loads]
    for step in plan:
        assert plan.arrangement(step.cross - 1) == stand.at
        assert tuple(move.transfer for move in step.moves) == stand.push()
        for move in step.moves:
            load = loads[move.strand - 1]
            beads = move.transfer.kind == "carry" and step.cross > plan.plain_start
            assert move.bead == (load.pop(0) if beads and load else None)
    assert not any(loads)
    assert plan.crosses == (plan.last_bead_cross + made.pattern.plain_end) or not any(plan.loads)


def test_a_drop_counted_by_hand() -> None:
    """Silver Eaves: 16 rows of 4 crosses between 4 plain ones at each end, 128 beads."""
    plan = WorkedPattern.from_library(_LIBRARY, Settings(), "silver-eaves").plan
    assert (plan.crosses, plan.rows, plan.row_length) == (72, 16, 4)
    assert sum(len(load) for load in plan.loads) == 128
    assert plan.row_at(33) == (8, 1)
    assert plan.row_at(4) == (None, 4)
    assert plan.row_at(69) == (None, 1)
    assert plan.row_end(33) == 36


def test_the_order_of_stripes_round_the_braid() -> None:
    """Round a clockwise kongo of eight lie the strands 2, 3, 1, 8, 6, 7, 5, 4.

    Read from left to right as the braid is seen from outside, which is anticlockwise from above.
    """
    made = WorkedPattern.from_library(_LIBRARY, Settings(), "silver-eaves")
    lattice = made.growth.lattice
    assert lattice is not None
    # A strand climbs one column with each of its beads, so a stripe is an angle less its height.
    rows = {spot.strand: spot for spot in lattice.spots[8:16]}
    zero = rows[2].height_mm
    rise = lattice.spots[2].height_mm - lattice.spots[0].height_mm
    turned = {
        strand: (spot.angle_deg - 60 * (spot.height_mm - zero) / (4 * rise)) % 360
        for strand, spot in rows.items()
    }
    start = turned[2]
    ring = sorted(turned, key=lambda strand: round((start - turned[strand]) % 360, 6))
    assert ring == [2, 3, 1, 8, 6, 7, 5, 4]


@pytest.mark.parametrize("name", PATTERNS)
def test_every_shipped_pattern_is_sound(name: str) -> None:
    """No shipped pattern has a finding, in any of its sizes."""
    assert check_file(_LIBRARY, Settings(), _LIBRARY.pattern_path(name)) == []


def test_a_changed_load_begins_where_it_is_changed() -> None:
    """With another load from a cross on, what was brought in before stays as it was."""
    plan = WorkedPattern.from_library(_LIBRARY, Settings(), "silver-eaves").plan
    changed = plan.with_load(3, 20, "-" + plan.remaining(3, 20))
    assert [plan.bead_of(3, n) for n in range(1, 21)] == [
        changed.bead_of(3, n) for n in range(1, 21)
    ]
    assert len(changed.loads[2]) == len(plan.loads[2]) + 1
    first = next(n for n in range(21, 30) if plan.bead_of(3, n))
    assert changed.bead_of(3, first) is None


@given(st.text("abc", max_size=60))
def test_a_load_is_read_as_it_is_written(beads: str) -> None:
    """Counts and letters give the same beads again."""
    assert parse_load(write_load(beads)) == beads


@pytest.mark.parametrize(
    ("text", "found"),
    [("3a 0b", "count of 0"), ("3a x4", "x4"), ("2(3(a))", "2(3(a))"), ("3A", "3A"), ("-a", "-a")],
)
def test_a_load_that_cannot_be_read_says_what_was_found(text: str, found: str) -> None:
    """A wrong group is named in the message."""
    with pytest.raises(Fault, match=found.replace("(", r"\(").replace(")", r"\)")):
        parse_load(text)


def test_repeats_and_a_limit() -> None:
    """A group in brackets repeats; a load of millions is refused before it is built."""
    assert parse_load("2(3a b) c") == "aaabaaabc"
    with pytest.raises(Fault, match="longer than"):
        parse_load("999999999a")


def test_a_strand_that_never_moves_may_hold_no_beads() -> None:
    """A structure that never carries a strand is refused when that strand holds beads."""
    structure = Structure(
        format=1,
        title="still",
        places=("a", "b", "c"),
        round=(Cross(call="swap", clockwise=((1, 2),), slide=((2, 1),)),),
    )
    pattern = WorkedPattern.from_library(_LIBRARY, Settings(), "landing-cord").pattern.model_copy(
        update={"loads": {"3": "1a"}, "crosses": None}
    )
    with pytest.raises(Fault, match="never carries"):
        Plan(pattern, structure)


@pytest.mark.parametrize(
    ("clockwise", "slide", "says"),
    [
        (((1, 2),), (), "left empty|second strand"),
        (((1, 9),), (), "no place 9"),
        (((1, 2), (3, 2)), (), "two moves end"),
        (((1, 1),), (), "both start and end"),
        ((), (), "no strand is carried"),
    ],
)
def test_a_cross_must_leave_each_place_with_one_strand(
    clockwise: tuple[tuple[int, int], ...], slide: tuple[tuple[int, int], ...], says: str
) -> None:
    """A structure whose cross loses or doubles a strand is refused with the reason."""
    with pytest.raises(ValidationError, match=says):
        Structure(
            format=1,
            title="bad",
            places=("a", "b", "c", "d"),
            round=(Cross(call="x", clockwise=clockwise, slide=slide),),
        )


def test_a_core_that_comes_down_late_keeps_its_order_and_is_told(tmp_path: Path) -> None:
    """The upper clip never comes off before the core is down; too late a core is a finding."""
    text = _LIBRARY.pattern_path("silver-eaves").read_text(encoding="utf-8")
    path = tmp_path / "late.toml"
    path.write_text(text.replace("down_after_cross = 16", "down_after_cross = 66"))
    made = WorkedPattern.from_library(_LIBRARY, Settings(), str(path))
    at = {mark.id: mark.after_cross for mark in made.marks}
    assert at["core-down"] <= at["upper-clip-off"] <= at["wire-out"]
    assert any("after cross 66: so late" in warning for warning in made.warnings)


def test_a_structure_that_comes_home_too_late_is_refused() -> None:
    """Cycles of 4, 3, 5, 7 and 11 places, 13 crosses a round, come home after 60,060 crosses."""
    ring, start = [], 1
    for length in (4, 3, 5, 7, 11):
        places = range(start, start + length)
        ring += [(p, p + 1 if p + 1 < start + length else start) for p in places]
        start += length
    cross = Cross(call="all", clockwise=tuple(ring), anticlockwise=(), slide=())
    wide = Structure(
        format=1, title="wide", places=tuple(f"p{n}" for n in range(start - 1)), round=(cross,) * 13
    )
    pattern = _LIBRARY.plan(_LIBRARY.pattern_path("landing-cord")).pattern
    threads = pattern.threads.model_copy(update={"double_lengths": ()})
    with pytest.raises(Fault, match="come home only after 60,060 crosses"):
        Plan(pattern.model_copy(update={"threads": threads}), wide)


def test_a_call_is_no_option() -> None:
    """A call that begins with "-" is refused: a program that speaks takes it for an option."""
    with pytest.raises(ValidationError, match="begins with a word"):
        Cross(call="-w both", clockwise=((1, 2),), slide=((2, 1),))
