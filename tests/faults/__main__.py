"""The long form of the faults, each by name: `python -m tests.faults [--kills N] ...`.

It ends with 1 if anything was lost, and if too few kills and copies were compared with a screen.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

from tests.faults.board_kills import board_kills
from tests.faults.folder_kills import folder_kills
from tests.faults.kills import COMPARED, import_kills, kills, too_few
from tests.faults.mutants import bear
from tests.faults.noise import rattle
from tests.faults.offer_kills import offer_kills
from tests.faults.sketch_kills import sketch_kills
from tests.faults.stops import stopped
from tests.faults.torn_copies import torn_copies
from tests.support.homes import furnished


def main() -> int:
    """Run what was asked for, print what came of it; 1 if it failed."""
    parser = argparse.ArgumentParser(description="Kill and shake the real program for long.")
    parser.add_argument("--kills", type=int, default=1000, help="over all scenes (1000)")
    parser.add_argument("--torn", type=int, default=1000, help="copies as of a power cut (1000)")
    parser.add_argument("--folders", type=int, default=100, help="killed, folder replaced (100)")
    parser.add_argument("--imports", type=int, default=100, help="killed imports (100)")
    parser.add_argument("--offers", type=int, default=50, help="killed acceptances (50)")
    parser.add_argument("--sketches", type=int, default=100, help="killed sketches (100)")
    parser.add_argument("--boards", type=int, default=100, help="killed at the board (100)")
    parser.add_argument("--noise", type=float, default=600, help="seconds of random input (600)")
    parser.add_argument("--stop", type=float, default=90, help="seconds stopped (90)")
    parser.add_argument("--files", type=int, default=3000, help="bad files of each kind (3000)")
    parser.add_argument("--seed", type=int, default=2)
    args = parser.parse_args()
    wrong: list[str] = []
    for name, run, times, counted in (
        ("torn copies", torn_copies, args.torn, COMPARED),
        ("imports", import_kills, args.imports, ""),
        ("kills", kills, args.kills, COMPARED),
        ("kills while an offer is frozen", offer_kills, args.offers, ""),
        ("kills while a folder is replaced", folder_kills, args.folders, COMPARED),
    ):
        if not times:
            continue
        begun = time.monotonic()
        found = run(times, args.seed)
        wrong += found.lost
        compared = ", ".join(f"{what} {count}" for what, count in sorted(found.compared.items()))
        print(f"{times} {name}: {len(found.lost)} lost ({compared}; {_since(begun)})", flush=True)
        if counted and too_few(found.compared[counted], times):
            wrong.append(f"{name}: only {found.compared[counted]} of {times} were compared")
            print(wrong[-1], flush=True)
    if args.sketches:
        begun = time.monotonic()
        with tempfile.TemporaryDirectory() as folder:
            lost = sketch_kills(Path(folder), args.sketches, args.seed)
        wrong += lost
        print(f"{args.sketches} killed sketches: {len(lost)} lost ({_since(begun)})", flush=True)
    if args.boards:
        begun = time.monotonic()
        lost = board_kills(args.boards, args.seed)
        wrong += lost
        print(f"{args.boards} kills at the board: {len(lost)} lost ({_since(begun)})", flush=True)
    if args.noise:
        begun = time.monotonic()
        with tempfile.TemporaryDirectory() as folder:
            noise = rattle(furnished(Path(folder)), seconds=args.noise, seed=args.seed)
        wrong += noise.wrong
        print(
            f"random input: {len(noise.wrong)} failures, {noise.sent:,} bursts, {noise.starts}"
            f" starts, {noise.memory_kb / 1024:.0f} MB at most ({_since(begun)})"
        )
    if args.stop:
        with tempfile.TemporaryDirectory() as folder:
            found_wrong = stopped(furnished(Path(folder)), args.stop)
        wrong += found_wrong
        print(f"stopped for {args.stop:.0f} s: {len(found_wrong)} failures", flush=True)
    if args.files:
        begun = time.monotonic()
        with tempfile.TemporaryDirectory() as folder:
            borne = bear(Path(folder), args.files, args.seed)
        wrong += borne.wrong
        taken = sum(n for what, n in borne.outcomes.items() if what.endswith("taken"))
        print(
            f"bad files: {len(borne.wrong)} failures, {taken:,} of {borne.outcomes.total():,}"
            f" taken, slowest {borne.slowest_s:.2f} s ({_since(begun)})"
        )
    print("\n\n".join(wrong[:20]))
    return 1 if wrong else 0


def _since(begun: float) -> str:
    return f"{time.monotonic() - begun:.0f} s"


if __name__ == "__main__":
    sys.exit(main())
