"""Key to last byte painted at the drawing board, against the bench in the same run.

`python -m tests.speed.drawing [presses]`: a drop, and a rope of eight strands by 5,000 beads, a
bead laid and the cursor moved by turns. Ratios only mean something within one run.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from itertools import cycle
from pathlib import Path

from bench.documents.pattern_writing import written_pattern
from tests.speed.bench import _BENCH, Terminal
from tests.support.boards import with_loads

ROWS = 5_000
KEYS = (b"1", b"\x1b[B", b"2", b"\x1b[C")
"""A bead laid, a row down, another bead laid, a stripe on."""


def measure(presses: int) -> None:
    """Measure and print, the three programs press by press in turn."""
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        rope = with_loads(f"{'h' * 5}g" * (ROWS // 6), name="stair-rope").to_pattern()
        text = written_pattern(rope.model_copy(update={"title": "A long rope"}))
        running: dict[str, Terminal] = {}
        for name in ("bench", "drop", "rope"):
            home = Path(folder) / name
            (home / "patterns").mkdir(parents=True)
            (home / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0\nbell = false\n")
            (home / "patterns" / "a-long-rope.toml").write_text(text)
            running[name] = Terminal([python, "-c", _BENCH, str(home)], b"guess")
        for name, ready in {"bench": b"\x1b[B\r\r", "drop": b"\x1b[Bc", "rope": b"c"}.items():
            running[name].settle(1.0)
            for sign in ready.replace(b"\x1b[B", b"j").decode():
                running[name].press(sign.encode())
            running[name].settle(3.0)
        times: dict[str, list[float]] = {name: [] for name in running}
        keys = cycle(KEYS)
        for _ in range(presses):
            key = next(keys)
            for name, terminal in running.items():
                took = terminal.first(b" " if name == "bench" else key)
                if took is not None:
                    times[name].append(took)
                elif name == "bench":
                    terminal.press(b"m")
        for terminal in running.values():
            terminal.close()
    floor = statistics.median(times["bench"])
    for name, found in times.items():
        ordered = sorted(found)
        middle, far = statistics.median(ordered), ordered[int(0.99 * (len(ordered) - 1))]
        print(
            f"{name:6} key to paint: {1000 * middle:6.2f} ms median, {1000 * far:6.2f} ms 99th"
            f"  ({len(found)} presses, x{middle / floor:.2f})"
        )


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
