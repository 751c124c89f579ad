"""What mends do to a braid, against a stand of queues that is walked cross by cross."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import pytest

from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal import slip_payloads as payloads
from bench.journal.events import Entry, Event
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.mending import carry_out
from bench.making.worked_pattern import WorkedPattern
from bench.slips.mend import mend_of
from bench.slips.mend_steps import MendStep, NewRemaining, SetCount, SewIn, TakeBack
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.read_off import read_off
from bench.slips.supposed_stand import GAP, PROUD, TWO, SupposedStand
from bench.slips.suspect import Slip, Suspect
from bench.slips.words import slips_words
from tests.support.clock import ManualClock
from tests.support.slips_makers import DROPS, KINDS, Hands, plant, shipped
from tests.support.slips_walker import hangs_as_planned, mend_by_hand


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal."""
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as opened:
        yield opened


@cache
def worked(name: str) -> WorkedPattern:
    """A shipped pattern, worked up once for all the pieces of it."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), name)


def begin(journal: Journal, name: str, made: int) -> Braid:
    """A piece of a shipped pattern with so many crosses counted."""
    braid = Braid.start(journal, worked(name))
    braid.set_place(made)
    return braid


def located(plan: Plan, slip: Suspect) -> Suspect:
    """A planted slip with what a suspect found by looks would say of it."""
    if slip.strand is None or slip.slip not in ("missing", "extra", "wrong", "not_brought_in",
                                                "two_brought_in", "not_tucked"):  # fmt: skip
        return slip
    index = slip.index
    if slip.at is not None:
        index = plan.used(slip.strand, slip.at - 1)
    bead = plan.loads[slip.strand - 1][index]
    return Suspect(
        slip.slip, slip.strand, slip.with_, bead, slip.actual, at=slip.at, index=slip.index
    )


@pytest.mark.parametrize("kind", KINDS)
def test_after_a_mend_the_plan_is_what_hangs(kind: Slip, journal: Journal) -> None:
    """For every kind of slip and every mend that takes nothing back, plan and strands agree."""
    rng, compared = random.Random(11), 0
    for _ in range(12):
        name = rng.choice(DROPS)
        plan = shipped(name)
        slip = plant(plan, kind, rng)
        if slip is None:
            continue
        made = rng.randint(min(slip.at or 0, plan.last_bead_cross), plan.last_bead_cross)
        counted = slip.shift if kind in ("count_off", "round_off") else None
        if counted and not 0 <= made - counted <= plan.crosses:
            continue
        if kind in ("extra", "wrong") and slip.actual == "?":
            continue
        slip = located(plan, slip)
        for mend in mends(PlannedStand(plan, made), (slip,)):
            if any(isinstance(e, TakeBack) for e in mend.effects) or mend.do == "Carry on.":
                continue
            braid, hands = begin(journal, name, made), Hands(plan, (slip,))
            hands.count(made)
            carry_out(braid, mend, (slip,), 0.99)
            mend_by_hand(hands, braid.plan, braid.made, mend.do)
            mended = (kind, mend.do, made, slip)
            assert hangs_as_planned(hands, braid.plan, braid.made, mend.do), mended
            compared += 1
    assert compared >= (0 if kind == "not_tucked" else 4)


@pytest.mark.parametrize("kind", ["not_brought_in", "two_brought_in", "not_tucked"])
def test_taking_back_leads_before_the_slip(kind: Slip, journal: Journal) -> None:
    """The crosses to take back are remembered, one key each, and end before the slip's cross."""
    rng = random.Random(4)
    for _ in range(10):
        plan = shipped("gutter-pearl")
        slip = plant(plan, kind, rng)
        assert slip is not None
        assert slip.at is not None
        made = min(plan.last_bead_cross, slip.at + rng.randint(0, 6))
        back = next(
            m
            for m in mends(PlannedStand(plan, made), (located(plan, slip),))
            if any(isinstance(e, TakeBack) for e in m.effects)
        )
        braid = begin(journal, "gutter-pearl", made)
        carry_out(braid, back, (slip,), 0.99)
        assert braid.made == made
        assert braid.state.mending is not None
        while braid.made > braid.state.mending.to:
            braid.take_back()
        assert braid.made == slip.at - 1
        assert braid.state.mending.do == back.do
        assert braid.state.seen == ()
        while braid.mark_due is not None:
            braid.mark_done()
        braid.cross()
        assert braid.state.mending is None
        while braid.mark_due is not None:
            braid.mark_done()


def test_a_bead_to_sew_in_is_kept_until_it_is_done(journal: Journal) -> None:
    """A move without a bead leaves a reminder that outlives the program, until struck off."""
    plan = shipped("gutter-pearl")
    slip = located(plan, Suspect("missing", 1, index=6))
    made = plan.cross_of(1, 6) - 1
    braid = begin(journal, "gutter-pearl", made)
    best = mends(PlannedStand(plan, made), (slip,))[0]
    assert [type(e) for e in best.effects] == [NewRemaining, SewIn]
    carry_out(braid, best, (slip,), 0.99)
    assert braid.plan.bead_of(1, made + 1) is None
    assert braid.plan.bead_of(1, plan.cross_of(1, 7)) == plan.loads[0][7]
    again = Braid(journal, braid.piece)
    assert again.state.sew_ins == (payloads.SewIn(1, made + 1, "c"),)
    again.sewn_in(1, made + 1)
    struck = Braid(journal, braid.piece).state
    assert struck.sew_ins == ()
    assert struck.sewn == (payloads.SewIn(1, made + 1, "c"),)


def test_setting_the_count_touches_no_load(journal: Journal) -> None:
    """The count moves; loads, places and the frozen pattern stay."""
    plan = shipped("silver-eaves")
    slip = Suspect("count_off", shift=-3)
    braid = begin(journal, "silver-eaves", 30)
    (mend,) = mends(PlannedStand(plan, 30), (slip,))
    assert mend.effects == (SetCount(33),)
    carry_out(braid, mend, (slip,), 0.97)
    assert braid.made == 33
    assert braid.state.load_changes == ()
    assert braid.plan.loads == plan.loads


def test_a_mend_is_kept_whole_or_not_at_all(journal: Journal) -> None:
    """All that a mend does is written at once; one that does not fit leaves no trace."""
    slip = Suspect("count_off", shift=-3)
    braid = begin(journal, "silver-eaves", 30)
    before = braid.state
    effects = (SetCount(33), NewRemaining(1, "aa"), NewRemaining(2, "zz"))
    fits, does_not = (
        mend_of(MendStep("carry_on", effects=some)) for some in (effects[:2], effects)
    )
    with pytest.raises(NotNow, match="no bead 'z'"):
        carry_out(braid, does_not, (slip,), 0.97)
    assert braid.state == before
    with count_writes(journal) as writes:
        carry_out(braid, fits, (slip,), 0.97)
    assert writes == [["place_set", "mend_chosen", "load_changed"]]
    assert braid.plan.remaining(1, 33) == "aa"


@contextmanager
def count_writes(journal: Journal) -> Iterator[list[list[str]]]:
    """Note the kinds of events of each write to a journal."""
    written: list[list[str]] = []
    append = journal.append_many

    def noted(entries: Sequence[Entry]) -> list[Event]:
        written.append([entry.payload.KIND for entry in entries])
        return append(entries)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(journal, "append_many", noted)
        yield written


def test_what_stays_visible_is_known(journal: Journal) -> None:
    """A gap, two in one place, a proud bead and an early change are where the hands left them."""
    plan = shipped("gutter-pearl")
    scene = PlannedStand(plan, 60)
    cross = plan.cross_of(1, 8)
    shown: dict[Slip, str] = {"not_brought_in": GAP, "two_brought_in": TWO, "not_tucked": PROUD}
    for kind, what in shown.items():
        found = SupposedStand(scene, (Suspect(kind, 1, at=cross),)).irregularities()
        assert (found[0].strand, found[0].cross, found[0].what) == (1, cross, what)
    early = SupposedStand(scene, (Suspect("missing", 1, index=4),)).irregularities()
    assert [(s.cross, s.what) for s in early] == [
        (plan.cross_of(1, m), plan.loads[0][m + 1])
        for m in range(4, plan.used(1, 60))
        if plan.loads[0][m] != plan.loads[0][m + 1]
    ]


def test_an_empty_strand_takes_beads_from_here_on() -> None:
    """A strand that ran out and was carried empty brings a further bead in at its next carry."""
    plan = shipped("gutter-pearl")
    made = plan.crosses - 1
    longer = plan.with_load(3, made, "a")
    assert longer.remaining(3, made) == "a"
    assert longer.bead_of(3, longer.last_bead_cross) == "a"
    assert longer.last_bead_cross > made


def test_a_slip_in_a_row_of_equal_beads_may_lie_further_back() -> None:
    """Where looks cannot tell which of equal beads it was, the hands are led as far as it lies."""
    plan = shipped("gutter-pearl")
    for index, further in ((4, False), (6, True)):
        at = plan.cross_of(1, index)
        slip = Suspect("not_brought_in", 1, None, "c", None, 5, 7, at=at)
        back = next(
            m
            for m in mends(PlannedStand(plan, at + 1), (slip,))
            if m.do.startswith("Take back 2 crosses")
        )
        assert ("or as far as the gap" in back.do) == further


@pytest.mark.parametrize(
    ("name", "slip", "made"),
    [
        ("gutter-pearl", Suspect("strands_exchanged", 1, 3), 20),
        ("stair-rope", Suspect("wrong_of_pair", 4, 3, at=22), 24),
    ],
    ids=["strands exchanged", "wrong of a pair"],
)
def test_what_is_left_of_two_strands_is_swapped(
    name: str, slip: Suspect, made: int, journal: Journal
) -> None:
    """Where two strands hold each other's beads, a swap is offered, cheaper than stringing anew."""
    plan = shipped(name)
    ways = mends(PlannedStand(plan, made), (slip,))
    swap = next(m for m in ways if m.do.startswith("Swap"))
    anew = next(m for m in ways if m.do.startswith("Strip"))
    assert swap.seconds < anew.seconds
    assert "weight off" in swap.caution
    braid, hands = begin(journal, name, made), Hands(plan, (slip,))
    hands.count(made)
    assert not hangs_as_planned(hands, braid.plan, braid.made)
    carry_out(braid, swap, (slip,), 0.99)
    mend_by_hand(hands, braid.plan, braid.made, swap.do)
    assert hangs_as_planned(hands, braid.plan, braid.made)


def test_a_gap_whose_line_went_on_to_another_bead_says_so() -> None:
    """Sewing closes the gap; that changes came late since is told, and weighed."""
    plan = shipped("gutter-pearl")
    at = plan.cross_of(1, 6)
    for more, seen in ((1, 0), (2 * plan.row_length, 1)):
        slip = Suspect("not_brought_in", 1, None, "c", None, 5, 7, at=at)
        sewn = next(m for m in mends(PlannedStand(plan, at + more), (slip,)) if "sew" in m.do)
        assert (sewn.seen, "late by a row" in sewn.shows) == (seen, bool(seen))


def test_a_mend_while_crosses_are_taken_back_leads_forward(journal: Journal) -> None:
    """What came out before the mend is not shown by the plan after it; the next cross is."""
    plan = shipped("gutter-pearl")
    at = plan.cross_of(1, 4)
    slip = Suspect("two_brought_in", 1, None, "c", None, 5, 7, at=at)
    skip = next(m for m in mends(PlannedStand(plan, at), (slip,)) if "without a bead" in m.do)
    braid = begin(journal, "gutter-pearl", at + 1)
    braid.take_back()
    carry_out(braid, skip, (slip,), 0.99)
    assert (braid.made, braid.state.back) == (at, False)


def test_a_mend_goes_on_after_a_talk_on_the_way_back(journal: Journal) -> None:
    """A misreading told, or a cross counted by mistake, on the way back forgets no mend.

    Braided on beyond where it was chosen, it is given up.
    """
    plan = shipped("gutter-pearl")
    slip = located(plan, Suspect("not_tucked", 1, at=plan.cross_of(1, 4)))
    made = plan.cross_of(1, 4) + 3
    back = next(m for m in mends(PlannedStand(plan, made), (slip,)) if "Take back" in m.do)
    braid = begin(journal, "gutter-pearl", made)
    carry_out(braid, back, (slip,), 0.99)
    braid.take_back()
    told = braid.state.mending
    assert told is not None
    misread = Suspect("misread")
    carry_out(braid, mends(PlannedStand(plan, braid.made), (misread,))[0], (misread,), 0.99)
    assert (braid.state.back, braid.state.mending) == (True, told)
    braid.cross()
    assert not braid.state.back
    braid.take_back()
    braid.take_back()
    assert braid.state.mending == told
    while braid.made <= made:
        while braid.mark_due is not None:
            braid.mark_done()
        braid.cross()
    assert braid.state.mending is None


@pytest.mark.parametrize("index", [8, 30])
def test_a_foreign_bead_that_stays_is_counted(index: int, journal: Journal) -> None:
    """A bead too many that no plan can name still hangs there: another stands for it in the plan.

    Also where it hangs behind all planned ones.
    """
    plan = shipped("gutter-pearl")
    index = min(index, len(plan.loads[0]))
    slip = Suspect("extra", 1, actual="?", index=index)
    stay = next(m for m in mends(PlannedStand(plan, 12), (slip,)) if m.do.startswith("Carry on"))
    braid = begin(journal, "gutter-pearl", 12)
    carry_out(braid, stay, (slip,), 0.99)
    assert len(braid.plan.remaining(1, 12)) == len(plan.remaining(1, 12)) + 1


@pytest.mark.parametrize(
    ("slip", "asks", "left"),
    [
        (Suspect("extra", 1, actual="d", index=4), "leave the bead that stays over", None),
        (
            Suspect("wrong", 1, actual="b", index=3),
            "In 19 crosses (top and bottom), move",
            "ccd--d",
        ),
        (Suspect("missing", 1, index=1), "In 7 crosses (top and bottom), move", "c-d-dd"),
        (Suspect("two_brought_in", 1, at=4), "In 3 crosses (top and bottom), move", "-cd-dd"),
    ],
    ids=["extra", "wrong", "missing", "two brought in"],
)
def test_a_second_slip_on_a_strand_leaves_the_first_mend(
    slip: Suspect, asks: str, left: str | None
) -> None:
    """A move without a bead that an earlier mend asks for is no bead to count, and stays put."""
    plan = shipped("gutter-pearl").with_load(1, 4, "ccd-dd")
    mend = next(
        m
        for m in mends(PlannedStand(plan, 4), (slip,))
        if not m.do.startswith(("Carry on", "Strip", "Take back"))
    )
    assert asks in mend.do
    changed = [e.letters for e in mend.effects if isinstance(e, NewRemaining)]
    assert changed == ([] if left is None else [left])


def test_two_beads_at_the_last_cross_of_a_strand_need_no_empty_move() -> None:
    """Where no bead is planned any more, none is skipped: the braid is not made longer."""
    plan = shipped("gutter-pearl")
    at = plan.cross_of(1, len(plan.loads[0]) - 2)
    slip = Suspect("two_brought_in", 1, None, plan.loads[0][-2], at=at)
    ways = mends(PlannedStand(plan, plan.crosses), (slip,))
    assert not any("without a bead" in m.do for m in ways)


def test_a_strand_read_off_keeps_the_moves_without_a_bead() -> None:
    """Going on with what was read off leaves an earlier mend's move where it is."""
    plan = shipped("gutter-pearl").with_load(1, 4, "c-cdd")
    _, _, ways = read_off(PlannedStand(plan, 4), 1, "cddd")
    stay = next(way for way in ways if way.do.startswith("Carry on"))
    assert stay.effects == (NewRemaining(1, "c-ddd"),)


@pytest.mark.parametrize("shift", [-2, 3])
def test_with_the_count_off_strands_are_told_where_they_lie(shift: int, journal: Journal) -> None:
    """A second slip beside a wrong count is told and mended at the place where its strand hangs.

    Every mend of the two says that it sets the count, and leads to what hangs on the strands.
    """
    plan = shipped("gutter-pearl")
    slips = (
        Suspect("count_off", shift=shift, at=20),
        located(plan, Suspect("missing", 1, index=12)),
    )
    hands = Hands(plan, slips)
    for made in range(31):
        hands.count(made)
    place = plan.structure.places[hands.at.index(1)]
    assert place != plan.structure.places[plan.place_of(1, 30) - 1]
    assert f"{place}: one" in slips_words(slips, plan, 30)
    assert "the braid is right" not in slips_words(slips, plan, 30)
    for mend in mends(PlannedStand(plan, 30), slips):
        assert mend.do.startswith(f"Set the count to {hands.real} crosses made.")
        braid, here = begin(journal, "gutter-pearl", 30), Hands(plan, slips)
        for made in range(31):
            here.count(made)
        carry_out(braid, mend, slips, 0.99)
        assert braid.made == hands.real
        if mend.string:
            ((strand, beads),) = mend.string
            assert place in mend.do
            planned = braid.plan.remaining(strand, braid.made)
            here.beads[strand][len(planned) - len(beads) :] = beads
        assert hangs_as_planned(here, braid.plan, braid.made)
