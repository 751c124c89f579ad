"""The help of each screen: its keys, and what they do there.

A key is an action of the bench by its id, or is written as a foot writes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bench.screens.kit.help_page import Lines
from bench.screens.preparing.loader import Loader

if TYPE_CHECKING:
    from bench.screens.bench.screen import BenchScreen

_NOTE = ("note", "keep a line of your own with the piece")
_LEAVE = ("leave", "back to the list; you come back to the same place")
_PAUSE_WORK = ("pause", "put it down: what is in hand and what comes next stays on the screen")


_BRAID: Lines = (
    ("next", "counts the cross that your hands have laid down"),
    ("back", "you took a cross back: shows the reverse move, and counts one less"),
    ("slip", "something is not as the screen says: find out what and how to mend it"),
    ("place", "a few looks set the count; nothing is unbraided"),
    ("mark", "the mark on the screen is done; after the last cross: go on"),
    ("point", "the point of braiding lies too high or too low: the answer in grams"),
    ("pause", "stick in, weight off; the same key goes on"),
    _NOTE,
    ("help", "these keys; each screen has its own help"),
    ("leave", "back to the list; you come back to the same cross"),
)
_MARK: Lines = (
    ("mark", "what the screen asks for is done: braiding goes on"),
    ("back", "you took the last cross back: it comes out first, the mark comes again"),
    ("pause", "stick in, weight off; the same key goes on"),
    _NOTE,
    _LEAVE,
)
_BRAIDED: Lines = (
    ("mark", "go on: the glue and its drying, or the finish"),
    ("back", "the last cross comes out again"),
    ("1 to 9", "a bead that was to be sewn in is in: strikes it off"),
    ("slip", "something is not as the screen says: find out what and how to mend it"),
    _NOTE,
    _LEAVE,
)
_PAUSED: Lines = (("pause", "go on"), _NOTE, _LEAVE)
_BEGIN: Lines = (
    ("next", "begin with the first thread"),
    ("LEFT RIGHT", "how many sets you load one after the other; or type the number"),
    ("TAB", "weigh some beads first: what to buy and to hang is reckoned with yours"),
    ("mark", "nothing is to be loaded: go on to the stand (twice)"),
    _PAUSE_WORK,
    _NOTE,
    _LEAVE,
)
_STRING: Lines = (
    ("next", "these beads are on: the next group comes"),
    ("back", "the last group comes off the thread again"),
    ("mark", "go on to the stand although not all is loaded (twice)"),
    _PAUSE_WORK,
    _NOTE,
    _LEAVE,
)
_PROVE: Lines = (
    ("next", "it is as the screen says: the thread is proved"),
    ("slip", "it is not: how to find the group that is wrong, and to mend it"),
    *_STRING[1:],
)
_MEND: Lines = (
    ("1 2", "you take groups off that end: the screen leads you in putting them on again"),
    ("next", "you have put it right by hand: the thread is proved"),
    ("back", "look again: back to the proving"),
    _PAUSE_WORK,
    _NOTE,
    _LEAVE,
)
_LOADED: Lines = (
    ("next", "load the batch's next set; after the last one, set it up"),
    ("mark", "set this one up now"),
    ("back", "the last group comes off the thread again"),
    _NOTE,
    ("leave", "back to the list; the set waits there under its tag"),
)
_LOADING = {
    "begin": _BEGIN,
    "string": _STRING,
    "prove": _PROVE,
    "mend": _MEND,
    "done": _LOADED,
}
_SET_UP: Lines = (
    ("next", "this step is done; after the last one comes the first cross"),
    ("back", "one step back; before the first one, back to loading"),
    ("mark", "all is set up: to the first cross at once"),
    ("point", "the point of braiding lies too high or too low: the answer in grams"),
    ("pause", "stick in, weight off; the same key goes on"),
    _NOTE,
    _LEAVE,
)
_STAGE: Lines = (
    ("mark", "this stage is done: the next one, and after the last how it came out"),
    ("back", "the stage before"),
    ("1 to 9", "a bead that was to be sewn in is in: strikes it off"),
    ("pause", "nothing is counted until the same key comes again"),
    _NOTE,
    _LEAVE,
)
_WAITS: Lines = (("next", "take it up: the next stage begins"), _NOTE, _LEAVE)
_PLACE: Lines = (
    ("digits", "how many beads are left, or which pair lies uppermost"),
    ("ENTER", "take the number; alone: I cannot tell; at the end: set the count"),
    ("UP DOWN", "where several places fit: choose yours"),
    ("BACKSPACE", "the last digit, or one look back"),
    ("ESC", "to braiding; the count stays as it was"),
)
_POINT: Lines = (
    ("1 2 3", "how the point of braiding lies; the answer comes in grams"),
    ("ESC", "back; nothing is kept"),
)
_ENDING: Lines = (
    ("1", "it is good: its commission has one more"),
    ("2", "it is finished but shows a fault: its commission still wants another one"),
    ("3", "it cannot be finished: its commission still wants another one"),
    ("ESC", "later: it stays on the list until you say"),
)
_TALK: Lines = (
    ("its sign", "answers, or chooses that line: a number, or a bead's letter"),
    ("UP DOWN", "go from line to line; ENTER takes the one that is marked"),
    ("ENTER", "with none marked: I cannot tell; the next look is asked for"),
    ("TAB", "between the look and what can be done"),
    ("LEFT RIGHT", "what can be done if it was another suspect"),
    ("R", "read off all beads left on that strand"),
    ("BACKSPACE", "one step back: a letter, a page, the last answer"),
    ("ESC", "to braiding; what was told counts if you come back within a row"),
)


def bench_help(bench: BenchScreen) -> Lines:
    """The help of the moment that the bench is in."""
    state, part = bench.braid.state, bench.preparing.part
    if bench.talk is not None:
        return _TALK
    if bench.finder is not None:
        return _PLACE
    if bench.ending is not None:
        return _ENDING
    if bench.point is not None:
        return () if bench.point.seen else _POINT
    if state.paused:
        return _PAUSED
    if state.stage == "load" and isinstance(part, Loader):
        return _LOADING[part.page]
    if state.stage == "set_up":
        return _SET_UP
    if state.stage is None and bench.braid.next_stage is not None:
        return _WAITS
    if state.stage != "braid":
        return _STAGE
    if bench.braid.mark_due is not None and not state.back:
        return _MARK
    return _BRAID if bench.braid.next_step is not None else _BRAIDED


def typed_at(bench: BenchScreen) -> Sequence[str]:
    """The letters that the talk reads, so that none of them can ask for help there."""
    talk = bench.talk
    return () if talk is None else (*talk.options, *talk.likeness.letters, "m", "r")
