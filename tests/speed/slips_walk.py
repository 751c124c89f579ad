"""A slip of each kind, planted and mended in the real program: `python -m tests.speed.slips_walk`.

A maker who reads only the screen of the program, in a pseudo-terminal, braids a shipped pattern
with the slip in it, reports what does not look right, answers each look as it truly is, takes the
first mend and carries it out by hand. What hangs then is held against the journal's plan.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from pathlib import Path

from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.slips.suspect import Slip
from tests.support.homes import empty, start
from tests.support.slips_makers import KINDS, Hands
from tests.support.slips_walker import Walker, hangs_as_planned, mend_by_hand, planted
from tests.support.terminal import Program

ELSEWHERE = {"reversed": "silver-eaves", "end_for_end": "cistern"}
"""Where the usual pattern would not show a kind: its loads read the same both ways."""

MOST_LOOKS = 15
KEYS = {"question_mark": b"?", "enter": b"\r"}


@dataclass
class Walked:
    """What came of one slip: what was wrong, if anything, whether it was settled, the rest."""

    wrong: str = ""
    sure: bool = False
    looks: int = 0
    seconds: float = 0.0
    mend: str = ""


def walk(home: Path, kind: Slip, pattern: str, seed: int, width: int, height: int) -> Walked:
    """Plant, report, look, mend: one slip in one piece, by keys and what the screen shows."""
    with Journal.open(home / "journal.db", write=True) as journal:
        piece = start(journal, home, pattern).piece
    with (
        Journal.open(home / "journal.db", write=False) as journal,
        Program(home, width, height) as program,
    ):
        walked = Walked()
        begun = time.monotonic()
        try:
            walk_on(program, Braid(journal, piece), kind, seed, walked)
        except AssertionError as wrong:
            walked.wrong = f"{wrong}\n{program.screen.text}"
        walked.seconds = time.monotonic() - begun
        return walked


def walk_on(program: Program, braid: Braid, kind: Slip, seed: int, walked: Walked) -> None:
    """Walk with the program; braid reads the journal that it writes."""
    plan = braid.plan
    slip, hands, noticed = planted(plan, kind, seed)
    walker = Walker(plan, hands, noticed)
    program.wait_for("IN THE MAKING")
    program.press(b"\x1b[H", b"\r")
    braid_on(program, braid, noticed.made)

    def press(*names: str) -> str:
        program.press(*[KEYS.get(name) or name.encode() for name in names])
        return program.screen.text

    text = press("!")
    text = press(*walker.report_keys(text))
    while walker.asked(text):
        walked.looks += 1
        assert walked.looks <= MOST_LOOKS, "it never stops asking"
        text = press(*walker.answer_keys(text))
    walked.sure = "WHAT IT IS" in text or "ONE OF THESE: NO LOOK TELLS" in text
    press("1", "enter")
    mend = [event.values for event in braid.journal.events(braid.piece, "mend_chosen")][-1]
    walked.mend = str(mend["do"])
    back_to = mend.get("back_to")
    if isinstance(back_to, int):
        if slip.at is not None and "or as far as" in walked.mend:
            back_to = min(back_to, slip.at - 1)
        while braid.made > back_to:
            assert "comes out" in program.screen.text, "the way back is not shown"
            program.press(b"\x7f")
        assert slip.at is None or back_to < slip.at, f"{slip}: not taken back far enough"
        hands = Hands(plan, (replace(slip, at=10_000),) if slip.at else ())
        hands.count(back_to)
    mend_by_hand(hands, braid.plan, braid.made, walked.mend)
    right = hangs_as_planned(hands, braid.plan, braid.made, walked.mend)
    assert right, f"{slip}: the plan is not what hangs"
    braid_on(program, braid, plan.crosses)


def braid_on(program: Program, braid: Braid, to: int) -> None:
    """Press the cross key, and the mark key where one is due, up to a count."""
    while braid.made < to or (braid.mark_due is not None and to < braid.plan.crosses):
        if braid.mark_due is not None:
            program.press(b"m")
            continue
        marks = [mark.after_cross for mark in braid.marks if mark.after_cross > braid.made]
        goal = min([to, *marks])
        program.type(b" " * (goal - braid.made))
        until = time.monotonic() + 60
        while braid.made < goal:
            assert time.monotonic() < until, "crosses are not counted"
            program.read(0.1)
        program.settle()


def main() -> int:
    """Walk every kind of slip, print a line for each; 1 if any was not mended."""
    parser = argparse.ArgumentParser(description="Plant a slip of each kind in the real program.")
    parser.add_argument("--pattern", help="for all kinds (one that shows the kind)")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--width", type=int, default=80)
    parser.add_argument("--height", type=int, default=24)
    args = parser.parse_args()
    failed = 0
    for kind in KINDS:
        pattern = args.pattern or ELSEWHERE.get(kind, "gutter-pearl")
        with tempfile.TemporaryDirectory() as folder:
            walked = walk(empty(Path(folder)), kind, pattern, args.seed, args.width, args.height)
        failed += bool(walked.wrong)
        print(
            f"{kind:18} {pattern}: {'FAILED' if walked.wrong else 'mended'}, {walked.looks} looks,"
            f"{'' if walked.sure else ' not settled,'}"
            f" {walked.seconds:.0f} s: {walked.mend}\n{walked.wrong}".strip(),
            flush=True,
        )
    print(f"{len(KINDS) - failed} of {len(KINDS)} caught and mended at {args.width}x{args.height}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
