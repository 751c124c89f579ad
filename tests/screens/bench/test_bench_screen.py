from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from textual import events

from bench.documents.library import Library
from bench.journal.events import new_id
from bench.journal.payloads import Crossed, Note, StageStarted
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.screens.bench.braiding import Braiding
from bench.screens.bench.braiding_page import draw_bench
from bench.screens.bench.finding_place import FindingPlace
from bench.screens.bench.screen import BenchScreen
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.rim import draw_rim
from tests.support.clock import ManualClock

from ..conftest import Sit, Sitting


def braid_of(sitting: Sitting) -> Braid:
    """The braid on the bench."""
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    return screen.braid


async def test_enter_twice_and_one_is_braiding(sit: Sit) -> None:
    """Two presses of Enter from the list begin a piece, and the first cross is on the screen."""
    async with sit() as sitting:
        await sitting.press("enter", "enter")
        assert "cross 1 of" in sitting.shown
        assert "SPACE" in sitting.shown


async def test_a_whole_drop_with_the_keys_of_a_maker(sit: Sit, home: Path) -> None:
    """A drop is braided, its marks done, dried and finished by space and the mark key alone."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        calls: list[str] = []
        while braid.state.stage == "braid":
            due = braid.mark_due
            if due is not None:
                assert f"after cross {due.after_cross} of 72" in sitting.shown
                calls.append(due.id)
            await sitting.press("space" if due is None and braid.next_step else "m")
        assert calls == ["core-down", "upper-clip-off", "wire-out"]
        assert "dry until" in sitting.shown
        assert "stand is taken" in sitting.shown
        await sitting.press("m", seconds=3600.0)
        await sitting.press("m")
        assert "How did it come out?" in sitting.shown
        await sitting.press("1")
        piece = braid.piece
    with Journal.open(home / "journal.db", write=False) as journal:
        state = journal.state(piece)
        crosses = [e.values["to"] for e in journal.events(piece, "crossed")]
    assert state.status == "good"
    assert state.stages_done == ("braid", "dry", "finish")
    assert crosses == list(range(1, 73))


async def test_a_second_press_is_ignored_and_said(sit: Sit) -> None:
    """A press within half a second of the last counts nothing, and the screen says so."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space")
        await sitting.press("space", seconds=0.3)
        assert braid_of(sitting).made == 1
        assert "second press ignored" in sitting.shown
        await sitting.press("space", seconds=0.6)
        assert braid_of(sitting).made == 2


async def test_a_held_key_takes_back_once(sit: Sit) -> None:
    """Taking back and doing a mark are guarded like the cross key: a bouncing key acts once."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(12)
        await sitting.press(*["backspace"] * 5, seconds=0.05)
        assert braid.made == 11
        braid.set_place(braid.plan.crosses)
        await sitting.press(*["m"] * 6, seconds=0.05)
        assert len(braid.state.marks_done) == 1


async def test_finding_the_place_ends_taking_back(sit: Sit) -> None:
    """Once the count is set, the screen no longer shows a cross that is being taken back."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(12)
        await sitting.press("backspace")
        assert "comes out" in sitting.shown
        braid.set_place(12)
        sitting.app.screen.look_again()  # type: ignore[attr-defined]
        assert not braid.state.back
        assert "cross 13 of" in sitting.shown


async def test_a_piece_whose_plan_is_lost_is_told(sit: Sit, home: Path) -> None:
    """A piece that cannot be replayed stays on the list, and opening it says why."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        started = braid_of(sitting).started
        broken = replace(started, pattern={"title": "?"})
        piece = new_id()
        assert sitting.app.journal is not None
        sitting.app.journal.append(broken, pieces=piece)
        await sitting.press("l")
        sitting.app.take_up(piece)
        sitting.app.first.redraw()
        assert "The plan of this piece cannot be read from the journal." in sitting.shown


async def test_what_is_drawn_ahead_is_what_comes(sit: Sit, monkeypatch: pytest.MonkeyPatch) -> None:
    """At every cross of a drop with unlike loads the screen drawn ahead is the one drawn anew."""
    monkeypatch.setattr(
        "bench.screens.bench.screen.AHEAD_S", 3600.0
    )  # only when it is asked for here
    async with sit() as sitting:
        await sitting.begin("gutter-pearl")
        screen, braid = sitting.app.screen, braid_of(sitting)
        assert isinstance(screen, BenchScreen)
        taken = 0
        while braid.next_step is not None:
            screen.draw_ahead()
            ahead = screen.mode.ahead if isinstance(screen.mode, Braiding) else None
            await sitting.press("m" if braid.mark_due else "space", seconds=7.0)
            shown = screen.board.canvas
            taken += shown is ahead
            if braid.next_step and not braid.mark_due:
                view = replace(screen.view(shown.width, shown.height), foot=screen.mode.foot())
                drawn = draw_bench(braid, view, None, screen.offers, screen.growth)
                assert shown.rows == drawn.rows, braid.made
        assert taken > braid.plan.crosses / 2


async def test_taking_back_shows_the_reverse_move(sit: Sit) -> None:
    """After taking back, the screen shows BACK with the reverse move until a forward press."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(30)
        await sitting.press("backspace")
        assert braid.made == 29
        assert "cross 30 of 72 comes out" in sitting.shown
        assert "left, lower of the two → right, lower of" in sitting.shown
        assert "bead c out over the rim" in sitting.shown
        await sitting.press("space")
        assert braid.made == 30
        assert "comes out" not in sitting.shown


async def test_taking_back_over_a_mark_says_what_of_it_comes_first(sit: Sit) -> None:
    """A done mark is undone before its cross comes out, only if it was done, and asked for again.

    A wire that is out cannot go back: from then on the core's marks say so.
    """
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(16)
        sitting.app.screen.look_again()  # type: ignore[attr-defined]
        await sitting.press("m", "backspace")
        assert "FIRST core up: open the clip" in sitting.shown
        await sitting.press("space")
        assert "after cross 16 of 72" in sitting.shown
        await sitting.press("backspace")
        assert "cross 16 of 72 comes out" in sitting.shown
        assert "FIRST" not in sitting.shown
        await sitting.press("space", "m")
        for mark in braid.marks[1:]:
            braid.set_place(mark.after_cross)
            await sitting.press("m")
        await sitting.press("backspace")
        assert "FIRST the wire is out and cannot go back" in sitting.shown
        while braid.made >= braid.marks[1].after_cross:
            await sitting.press("backspace")
        assert "FIRST the wire is out, no clip holds the core" in sitting.shown


async def test_who_comes_back_to_a_taken_back_cross_is_told_that_it_is_out(sit: Sit) -> None:
    """After leaving, the cross counted as taken back is out, and the next key's cross is named."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid_of(sitting).set_place(30)
        await sitting.press("backspace", "l", "l", "home", "enter", "p")
        assert "cross 30 of 72 is out" in sitting.shown
        assert "BACKSPACE: cross 29 out next" in sitting.shown
        assert "comes out" not in sitting.shown
        await sitting.press("backspace")
        assert "cross 29 of 72 comes out" in sitting.shown


async def test_the_cross_key_does_not_clear_a_mark(sit: Sit) -> None:
    """A due mark stays until the mark key; presses of the cross key count nothing."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(16)
        await sitting.press("space", "space")
        assert braid.made == 16
        assert "after cross 16 of 72" in sitting.shown
        assert "CAUTION" in sitting.shown
        await sitting.press("m", "space")
        assert braid.made == 17


def asked_beads(sitting: Sitting, braid: Braid, really: int) -> str:
    """The beads left where the screen asks for them, if so many crosses are really made."""
    places = braid.structure.places
    place = next(n for n, p in enumerate(places) if f"{p}." in " ".join(sitting.shown.split()))
    plan = braid.plan
    return str(len(plan.remaining(plan.arrangement(really)[place], really)))


async def test_wet_glue_is_asked_about_once(sit: Sit) -> None:
    """Before the drying time is over M asks for the glue's label, and goes on when pressed again.

    Once the time is over it asks nothing.
    """
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.go_to_stage("dry")
        await sitting.press("m")
        assert braid.state.stage == "dry"
        assert "Is it dry by the glue's label? M again goes on." in sitting.shown
        await sitting.press("m")
        assert str(braid.state.stage) == "finish"
        braid.go_to_stage("dry")
        await sitting.press("m", seconds=86_400.0)
        assert str(braid.state.stage) == "finish"


async def test_looks_set_the_count(sit: Sit) -> None:
    """Beads left on two strands and the pair that lies uppermost set it; nothing is undone."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(30)
        # The braid really stands at 33: one row and a cross were not counted.
        plan = braid.plan
        await sitting.press("f")
        await sitting.press(*asked_beads(sitting, braid, 33), "enter")
        await sitting.press("1" if plan.step(33).call == "top and bottom" else "2")
        # One row holds that pair twice: its 1st cross or its 3rd. Another strand tells.
        assert "LOOK 3" in sitting.shown
        await sitting.press(*asked_beads(sitting, braid, 33), "enter")
        assert "You are here:" in sitting.shown
        assert "row 8 of 16" in sitting.shown
        await sitting.press("enter")
        assert braid.made == 33
        kinds = [e.kind for e in braid.journal.events(braid.piece)]
        assert "place_set" in kinds
        assert "taken_back" not in kinds
        assert braid.braid_times().rework_s == 0


async def test_a_third_look_that_cannot_be_told_leaves_the_choice(sit: Sit) -> None:
    """Enter alone lists the places that are left; each step back opens the look before anew."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(30)
        await sitting.press("f")
        await sitting.press(*asked_beads(sitting, braid, 33), "enter", "1", "enter")
        assert "You are at one of these." in sitting.shown
        for look in ("LOOK 3", "LOOK 2", "LOOK 1"):
            await sitting.press("backspace")
            assert look in sitting.shown
        assert braid.made == 30


async def test_a_pause_asks_for_stick_and_weight_in_their_order(sit: Sit) -> None:
    """Pausing says stick in before weight off; a paused piece opens on weight on, then stick out.

    One key pauses and the same key goes on; the foot says so, and a held key does it once.
    """
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space", "p")
        assert "Push the stick through" in sitting.shown
        assert "Coming back: the weight on first, only then the stick out." in sitting.shown
        assert "P go on" in sitting.shown
        assert "P pause" not in sitting.shown
        await sitting.press("space")
        assert braid_of(sitting).made == 1
        assert "The piece is paused; P goes on." in sitting.shown
        await sitting.press("p", "space")
        assert braid_of(sitting).made == 2
        await sitting.press("p")
        await sitting.press("p", seconds=0.1)
        assert braid_of(sitting).state.paused
        await sitting.press("l", "enter")
        assert "Only then draw the stick out" in sitting.shown
        await sitting.press("p", "space")
        assert braid_of(sitting).made == 3


async def test_one_key_goes_back_everywhere(sit: Sit) -> None:
    """ESC goes back from the bench as from a list, and says stick and weight as L does."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space", "escape")
        assert "Only then take the counterweight off" in sitting.shown
        assert sitting.app.screen is not sitting.app.first
        await sitting.press("escape")
        assert sitting.app.screen is sitting.app.first


async def test_who_begins_with_braiding_is_told_of_the_core(sit: Sit) -> None:
    """The first cross asks for the wire; its mark has a way for who has none; after it no word."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        assert "bare wire down the centre first. No wire? Braid on; cross 16" in sitting.shown
        await sitting.press("space")
        assert "bare wire" not in sitting.shown
        braid_of(sitting).set_place(16)
        await sitting.press("x")
        assert "No wire in it? Leave the core out and go on" in sitting.shown
        await sitting.press("m")
        assert braid_of(sitting).mark_due is None


async def test_a_press_too_many_is_told_before_the_unpicking(sit: Sit) -> None:
    """BACKSPACE first says that a cord which was not laid is left alone, then how one comes out."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space", "space", "backspace")
        shown = " ".join(sitting.shown.split())
        assert "Count is back to 1." in shown
        assert "pressed too often?" in shown
        lines = sitting.shown.split("\n")
        told = next(y for y, line in enumerate(lines) if "Was it laid?" in line)
        assert any("→" in line for line in lines[told + 1 :])
        assert not any("→" in line for line in lines[:told])


async def test_a_look_names_both_answers(sit: Sit) -> None:
    """A glance that is offered is a question, with a key for yes and one for no."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        bench.braid.set_place(next(made for made in bench.offers if made not in (0, 16)))
        while bench.braid.mark_due is not None:
            bench.braid.mark_done()
        await sitting.press("x")
        line = next(line for line in sitting.shown.split("\n") if line.startswith(" LOOK"))
        assert line.index("?") < line.index("SPACE yes") < line.index("! no")


async def test_one_press_of_the_mark_key_passes_one_step(sit: Sit) -> None:
    """In setting up M is one step, and only after the last one comes the first cross."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves", "setting up")
        for step in range(1, 6):
            assert f"step {step} of 5" in sitting.shown
            await sitting.press("m")
        assert braid_of(sitting).state.stage == "braid"


async def test_away_for_long_says_what_is_not_yet_made(sit: Sit) -> None:
    """After two minutes without a key the place is said in words, and a press counts as ever."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space")
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        sitting.clock.advance(180)
        screen.look_at_clock()
        assert "left and right NOT yet made" in sitting.shown
        assert "uppermost on the braid should lie: top and bottom" in sitting.shown
        await sitting.press("space")
        assert braid_of(sitting).made == 2


async def test_leaving_comes_back_to_the_same_cross(sit: Sit) -> None:
    """A piece that was left is on top of the list, and Enter lands on the same cross."""
    async with sit() as sitting:
        await sitting.begin("downpipe")
        await sitting.press("space", "space", "space", "l")
        assert "Only then take the counterweight off" in sitting.shown
        assert "L  both are done: to the list" in sitting.shown
        await sitting.press("l")
        assert "IN THE MAKING" in sitting.shown
        await sitting.press("home", "enter")
        for said in ("Hang the counterweight on", "plain start, 4th of four", "uppermost: top and"):
            assert said in sitting.shown
        await sitting.press("p")
        assert "cross 4 of 76" in sitting.shown
        await sitting.press("l", "p")
        assert "cross 4 of 76" in sitting.shown, "who does not leave after all"
        await sitting.press("l", "l")
    async with sit() as sitting:
        await sitting.press("enter", "p")
        assert "cross 4 of 76" in sitting.shown


async def test_a_note_is_kept_as_it_was_typed(sit: Sit) -> None:
    """What is typed or pasted as a note is an event; markup in it stays text."""
    async with sit() as sitting:
        await sitting.begin("downpipe")
        await sitting.press("n", "left_square_bracket", "b", "right_square_bracket", "enter")
        braid = braid_of(sitting)
        await sitting.press("n")
        sitting.app.post_message(events.Paste("tight here,\nloose there"))
        await sitting.pilot.pause()
        await sitting.press("enter")
        notes = [e.values["text"] for e in braid.journal.events(braid.piece, "note")]
        assert notes == ["[b]", "tight here, loose there"]
        assert "note kept" in sitting.shown
        await sitting.press("p", "n", "x", "enter")
        assert "note kept" in sitting.shown, "on a page without what was counted too"


async def test_one_press_a_row_counts_to_its_end(sit: Sit, home: Path) -> None:
    """With the setting for rows, a press counts the rest of the row, never past a mark."""
    home.mkdir()
    (home / "settings.toml").write_text('format = 1\n[press]\nper = "row"\n')
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        made = []
        for _ in range(4):
            await sitting.press("space")
            made.append(braid_of(sitting).made)
        assert made == [4, 8, 12, 16]


async def test_a_row_is_shown_whole_where_a_press_counts_it(sit: Sit) -> None:
    """One key makes each press a row: all its crosses stand there with their beads; and back."""
    async with sit() as sitting:
        await sitting.begin("stair-rope")
        braid = braid_of(sitting)
        braid.set_place(4)
        await sitting.press("r")
        for step in braid.plan[4:8]:
            wanted = ", ".join(
                f"{side.name.upper()} {side.beads[0]}" for side in words.sides(braid.plan, step)
            )
            assert wanted in sitting.shown
        assert "BACKSPACE one cross back" in sitting.shown, "not the whole row"
        await sitting.pilot.resize_terminal(60, 20)
        await sitting.pilot.pause(0.05)
        assert "ROW 1 OF 254" in sitting.shown
        assert " 3 TOP+BOTTOM  4 LEFT+RIGHT " in sitting.shown, "whole on the smallest screen"
        await sitting.press("space")
        assert braid.made == 8
        await sitting.press("backspace")
        said = " ".join(sitting.shown.replace("║", " ").split())
        assert "This is one cross; M takes the whole row off" in said
        await sitting.press("m")
        assert braid.made == 4
        assert "back to 4" in sitting.shown
        await sitting.press("space", "r", "space")
        assert braid.made == 9
        assert "ROW 2 OF 254" not in sitting.shown
        await sitting.press("r", "l", "l", "enter", "p")
        assert "SPACE row" in sitting.shown, "this piece counts the same way later"
        assert "a press counts a row here; R: a cross" in sitting.shown
        await sitting.press("l", "l")
        await sitting.begin("cistern")
        assert "SPACE cross" in sitting.shown, "another one does not"


async def test_keys_from_the_settings_work_and_are_shown(sit: Sit, home: Path) -> None:
    """A key set in the settings acts and is named on the screen; the usual one no longer acts."""
    home.mkdir()
    (home / "settings.toml").write_text('format = 1\n[keys]\nnext = ["j"]\n')
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        assert "J cross laid down" in sitting.shown
        await sitting.press("space")
        assert "SPACE does nothing here; H lists the keys" in sitting.shown
        await sitting.press("j", "J")
        assert braid_of(sitting).made == 2


async def test_a_clash_of_keys_is_told_and_the_usual_keys_hold(sit: Sit, home: Path) -> None:
    """Two actions on one key are told at the start with file and line; braiding goes on."""
    home.mkdir()
    (home / "settings.toml").write_text('format = 1\n[keys]\nnext = ["p"]\n')
    async with sit() as sitting:
        assert "line 3" in sitting.shown
        assert "'p' is set for both" in sitting.shown.replace("\n", " ")
        await sitting.begin("silver-eaves")
        await sitting.press("space")
        assert braid_of(sitting).made == 1


async def test_a_broken_pattern_is_named_and_the_others_go_on(sit: Sit, home: Path) -> None:
    """A file with a mistake shows it beside its name; the other patterns can be braided."""
    (home / "patterns").mkdir(parents=True)
    (home / "patterns" / "aaa.toml").write_text('format = 1\ntitle = "[red]x"\ncolor = 1\n')
    async with sit() as sitting:
        assert "aaa" in sitting.shown
        assert "line 3, color: this key is not known" in sitting.shown
        await sitting.press("home", "enter")
        assert "PATTERNS" in sitting.shown
        await sitting.begin("silver-eaves")
        assert "cross 1 of 72" in sitting.shown


async def test_a_second_window_looks_on(sit: Sit, home: Path, clock: ManualClock) -> None:
    """While another window writes, this one reads, says so, and counts nothing."""
    async with sit() as first:
        await first.begin("silver-eaves")
        await first.press("space")
        async with sit() as second:
            assert str(os.getpid()) in second.shown
            await second.press("home", "enter")
            assert "cross 2 of 72" in second.shown
            await second.press("space")
            assert "cross 2 of 72" in second.shown
            assert "LOOKING ON" in second.shown or "Looking on" in second.shown


async def test_a_journal_that_cannot_be_written_is_told_large(
    sit: Sit, home: Path, tmp_path: Path
) -> None:
    """When saving fails the screen says so at once; crosses go on as not saved and are kept."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space")
        braid = braid_of(sitting)
        (home / "journal.db").rename(tmp_path / "away.db")
        home.chmod(0o500)
        blocker = home.rename(tmp_path / "gone")
        home.write_text("a file where the folder was")
        await sitting.press("space")
        assert braid.unsaved > 0
        assert "go on braiding" in sitting.shown
        await sitting.press("space", "space")
        assert braid.made >= 3
        assert "NOT SAVED (" in sitting.shown
        await sitting.press("n", "x", "enter")
        assert "): the note" in sitting.shown
        assert "note kept" not in sitting.shown
        home.unlink()
        blocker.chmod(0o700)
        blocker.rename(home)
        await sitting.press("space")
        made = braid.made
        assert braid.unsaved == 0
        assert "NOT SAVED" not in sitting.shown
    with Journal.open(home / "journal.db", write=False) as journal:
        assert journal.state(braid.piece).made == made


async def test_own_times_replace_the_guess(sit: Sit) -> None:
    """After one finished piece the list shows the maker's own time instead of the guess."""
    async with sit() as sitting:
        await sitting.pick("landing-cord")
        assert "(guess), 640 crosses" in sitting.shown
        await sitting.press("enter", "right", "right", "enter")
        braid = braid_of(sitting)
        assert braid.state.stage == "set_up"
        while braid.state.stage == "set_up":
            await sitting.press("m", seconds=60)
        while braid.next_step is not None:
            sitting.clock.advance(15)
            if braid.mark_due is not None:
                braid.mark_done()
            else:
                braid.cross()
        await sitting.press("m", "m", "m", seconds=60)
        await sitting.press("m", seconds=600)
        await sitting.press("1")
        while sitting.app.screen is not sitting.app.first:
            await sitting.press("enter")
        await sitting.app.workers.wait_for_complete()
        await sitting.pick("landing-cord")
        line = next(row for row in sitting.app.first.home.rows if row.ref == "landing-cord")
        assert "(your 1 piece)" in line.detail
        assert "2 h 5" in line.detail


def test_the_carried_ways_on_the_rim_have_no_stray_dots(home: Path) -> None:
    """From left to right a way begins beside its place, and no dot lies alone, at every size."""
    library = Library(home)
    path = library.pattern_path("silver-eaves")
    plan = library.plan(path)
    assert plan.step(30).call == "left and right"
    for width, height in ((20, 6), (28, 9), (56, 18)):
        for back in (True, False):
            canvas = Canvas(width, height)
            draw_rim(canvas, 0, 0, width, height, plan, plan.step(30), back=back)
            rows = canvas.as_text().splitlines()
            assert all(sum(row.count(sign) for sign in "•▲▼") != 1 for row in rows)
            begins = [row for row in rows if row.lstrip().startswith("(")]
            assert begins
            assert width == 20 or all(") •" in row for row in begins)


@pytest.mark.parametrize("stands", [1, 2])
async def test_a_stand_that_is_taken_is_said(sit: Sit, home: Path, stands: int) -> None:
    """While a piece dries on the only stand, card and bench say so; nothing is refused."""
    home.mkdir()
    (home / "settings.toml").write_text(f"format = 1\n[stand]\nstands = {stands}\n")
    async with sit(60, 20) as sitting:
        await sitting.begin("silver-eaves")
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        bench.braid.set_place(40)
        bench.braid.go_to_stage("dry")
        await sitting.press("l")
        await sitting.pick("downpipe")
        await sitting.press("enter")
        assert ("Stand taken: a piece on it dries until" in sitting.shown) == (stands == 1)
        await sitting.press("enter")
        assert ("Stand taken: a piece on it dries until" in sitting.shown) == (stands == 1)
        await sitting.press("space")
        assert "Stand taken" not in sitting.shown
        other = sitting.app.screen
        assert isinstance(other, BenchScreen)
        assert other.braid.made == 1
        await sitting.press("l", "l")
        await sitting.begin("gutter-pearl", "loading")
        assert "Stand taken" not in sitting.shown


@pytest.mark.parametrize("height", [20, 24])
async def test_places_that_fit_are_told_apart(sit: Sit, height: int) -> None:
    """Where several places fit, the picked one is in sight over the foot, with how it differs."""
    async with sit(60, height) as sitting:
        await sitting.begin("silver-eaves")
        await sitting.press("space", "f", "enter", "0", "enter")
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        assert isinstance(bench.mode, FindingPlace)
        finder = bench.mode.looks
        assert len(finder.found) == 9
        assert "They differ in the beads left at:" in " ".join(
            sitting.shown.replace("│", "").split()
        )
        differ = set()
        for number in range(9):
            lines = sitting.shown.split("\n")
            assert "BACKSPACE step back" in lines[-2]
            assert "ENTER sets the count" in "\n".join(lines[:-2])
            (at,) = [y for y, line in enumerate(lines) if "▶" in line]
            assert at < height - 4
            differ.add(lines[at + 1].split(" there; ")[0].strip("│ "))
            assert finder.picked == number
            await sitting.press("down")
        assert len(differ) > 1


async def test_a_piece_that_went_on_elsewhere_is_told_until_the_place_is_set(sit: Sit) -> None:
    """The list and the bench say so, with both counts; setting the place takes it away."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        await sitting.press("space", "space")
        first = next(braid.journal.events(braid.piece, "crossed"))
        await sitting.press("l", "l")
        said = Crossed(1, 9)
        theirs = replace(
            first, uuid="there", bench="elsewhere", number=99, after=(first.uuid,), payload=said
        )
        braid.journal.merge([theirs])
        await sitting.press("down", "up")
        sitting.app.fill_home()
        await sitting.press("down", "up")
        assert "went on elsewhere too" in sitting.shown
        await sitting.press("enter")
        assert "WENT ON ELSEWHERE TOO: 2 CROSSES THERE, 9 HERE. F finds your place" in sitting.shown
        await sitting.press("p", "f", "enter", "0", "enter", "enter")
        assert "ELSEWHERE" not in sitting.shown
        assert braid.state.elsewhere == ()


async def test_a_piece_that_went_on_elsewhere_is_told_in_every_stage(sit: Sit) -> None:
    """While it is loaded, set up and finished too, until a key says that it goes on as it is."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        for stage in ("load", "set_up", "finish"):
            begun = braid.journal.append(StageStarted(stage), pieces=braid.piece)
            noted = braid.journal.append(Note("here"), pieces=braid.piece)
            theirs = replace(noted, uuid=stage, bench="elsewhere", number=99, after=(begun.uuid,))
            braid.journal.merge([theirs])
            await sitting.press("x")
            assert "TOO, BEFORE ITS FIRST CROSS. F goes on as it is here" in sitting.shown
            await sitting.press("f")
            assert "ELSEWHERE" not in sitting.shown
            assert (braid.state.elsewhere, braid.state.stage) == ((), stage)
