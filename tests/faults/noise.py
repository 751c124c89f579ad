"""Random keys, touches, pastes, bytes and sizes: what a cat, a child or a broken cable sends."""

from __future__ import annotations

import random
import re
import time
from dataclasses import dataclass, field
from pathlib import Path

from bench.journal.store import Journal
from tests.faults.kills import SCENES
from tests.support.terminal import Program

SLOW_S = 60.0
"""On a slow machine input goes on for so much longer."""
SIZES = ((80, 24), (80, 24), (80, 24), (60, 20), (120, 40), (1, 1), (7, 3), (200, 60))
KEYS = [key for _, keys in SCENES.values() for key in keys]
NAMED = [
    f"\x1b[{end}".encode()
    for end in ("A", "B", "C", "D", "H", "F", "5~", "6~", "2~", "3~", "Z", "15~", "1;5A", "1;2D")
]


@dataclass
class Noise:
    """What came of it: what was wrong, how much was sent, how often the program was left."""

    wrong: list[str] = field(default_factory=list)
    sent: int = 0
    starts: int = 0
    memory_kb: int = 0


def burst(random_: random.Random, program: Program) -> bytes:
    """Some input of a random kind."""
    kind = random_.randrange(12)
    if kind < 5:
        return b"".join(random_.choices(KEYS, k=random_.randint(1, 6)))
    if kind == 5:
        return random_.choice(NAMED)
    if kind in (6, 7):
        width, height = program.screen.width, program.screen.height
        x, y = random_.randint(1, width), random_.randint(1, height)
        button = random_.choice((0, 0, 0, 1, 2, 32, 35, 64, 65))
        return f"\x1b[<{button};{x};{y}M\x1b[<{button};{x};{y}m".encode()
    if kind == 8:
        return b"\x1b[200~" + _bytes(random_, 3000) + b"\x1b[201~"
    if kind == 9:
        return _bytes(random_, 60)
    if kind == 10:
        return "".join(chr(random_.randrange(32, 0x2FFF)) for _ in range(8)).encode()
    return b"\x1b" * random_.randint(1, 3)


def _bytes(random_: random.Random, most: int) -> bytes:
    """Any bytes but those that a terminal which is being given back turns into signals."""
    some = random_.randbytes(random_.randint(1, most))
    return some.translate(None, b"\x03\x1a\x1c")


def rattle(home: Path, *, seconds: float, seed: int, least: int = 0) -> Noise:
    """Send random input for so long; the program is opened again whenever it is left.

    On a slow machine until so many bursts at least were sent, up to a minute more.
    """
    random_, noise = random.Random(seed), Noise()
    until = time.monotonic() + seconds

    def goes_on() -> bool:
        late_s = time.monotonic() - until
        return late_s < 0 or (noise.sent < least and late_s < SLOW_S)

    while goes_on() and not noise.wrong:
        noise.starts += 1
        with Program(home, fresh=True) as program:
            program.wait_for("BRAID BENCH")
            program.settle()
            while goes_on() and program.ended() is None:
                if random_.random() < 0.03:
                    program.resize(*random_.choice(SIZES))
                program.type(burst(random_, program))
                program.read(random_.uniform(0.0, 0.08))
                noise.sent += 1
                if b"Traceback" in program.raw:
                    program.settle(1.0)
                    break
                program.raw = program.raw[-5000:]
            status = program.ended()
            if status is None:
                noise.memory_kb = max(noise.memory_kb, program.memory_kb())
            if status not in (None, 0) or b"Traceback" in program.raw:
                said = re.sub(
                    r"\x1b\[[0-9;?]*[ -/]*[@-~]", "", program.raw.decode(errors="replace")
                )
                noise.wrong.append(f"ended with {status}:\n{said[-6000:]}")
    with Journal.open(home / "journal.db", write=False) as journal:
        if not journal.check():
            noise.wrong.append("the journal is not sound")
    return noise
