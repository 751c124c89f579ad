"""Bad files: shipped ones changed at random, and what the program makes of them."""

from __future__ import annotations

import io
import random
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from bench.craft.text import Fault, is_plain
from bench.documents.errors import DocumentError
from bench.documents.folders import shipped_folder
from bench.documents.library import Library
from bench.documents.settings import Settings, read_settings
from bench.documents.stock import read_stock
from bench.journal.csv_reading import read_csv
from bench.journal.errors import JournalError
from bench.journal.transfer import ImportRefused
from bench.making.worked_pattern import WorkedPattern

MOST_S = 1.0
MOST_BYTES = 100_000_000
NASTY = [
    "\x1b[2J", "\x1b]0;title\x07", "\x00", "\x7f", "\u202e", "\u200b", "\ufeff", "\r", "\n", "\t",
    "[/", "[red]", "[bold", "{{", "'", '"', '"""', "#", "=", "[[", "]]", ",", "-1", "0", "1e999",
    "nan", "inf", "-inf", "999999999999999999999", "9" * 400, "0.0000001", "true", "[]", "{}",
    "99999(a)", "50000a", "20(3a 2b)", "a" * 5000, "(" * 200, "[" * 200, "ﷺ" * 50, "🧵", "é",
    "2026-02-30", "25:61", ";", "1,5", "1.5", "z", "A",
]  # fmt: skip
CSV = (
    "piece,finished_at,pattern,size,colourway,stage,hands_on_s,waiting_s,crosses,rework_s,uuid\n"
    "One,2026-03-01T18:00:00+01:00,silver-eaves,,,,3600,1800,72,120,\n"
    "Two,2026-03-02,silver-eaves,small,dusk,braid,2400,,72,,\n"
    ",,cistern,,,,5400,,,,\n"
)
SETTINGS = (
    'format = 1\ntheme = "dark"\n[stand]\ntama_g = [70, 70, 70, 70, 70, 70, 70, 70]\n'
    'fraction = 0.45\nweights_g = [5, 10, 20]\n[press]\nguard_s = 0.5\nper = "row"\n'
    '[keys]\nnext = ["space", "j"]\n[work]\nhours_per_week = 8\n'
)
STOCK = (
    'format = 1\n[[beads]]\nsize = "15/0"\nname = "rain grey"\ngrams = 12.5\n'
    '[[beads]]\nsize = "11/0"\nshape = "round"\nname = "wet slate"\ngrams = 30\n'
)


@dataclass
class Borne:
    """What became of the files: what was wrong, how often which kind was taken or refused."""

    wrong: list[str] = field(default_factory=list)
    outcomes: Counter[str] = field(default_factory=Counter)
    slowest_s: float = 0.0
    largest_bytes: int = 0


def mutant(data: bytes, random_: random.Random) -> bytes:
    """A file changed in one to four places: bytes, lines, words, or something nasty put in."""
    for _ in range(random_.randint(1, 4)):
        at = random_.randrange(len(data) + 1)
        kind = random_.randrange(7)
        if kind == 0 and data:
            data = data[:at] + bytes([random_.randrange(256)]) + data[at + 1 :]
        elif kind == 1:
            data = data[:at] + data[at + random_.randint(1, 30) :]
        elif kind == 2:
            lines = data.splitlines(keepends=True) or [b""]
            lines.insert(random_.randrange(len(lines) + 1), random_.choice(lines))
            data = b"".join(lines)
        elif kind == 3:
            lines = data.splitlines(keepends=True) or [b""]
            del lines[random_.randrange(len(lines))]
            data = b"".join(lines)
        elif kind == 4:
            words = data.split(b" ")
            words[random_.randrange(len(words))] = random_.choice(NASTY).encode()
            data = b" ".join(words)
        elif kind == 5:
            parts = data.split(b"= ")
            which = random_.randrange(len(parts))
            first, end, rest = parts[which].partition(b"\n")
            value = random_.choice(
                [random_.choice(NASTY).encode(), b'"' + first.strip(b'"') + b'"']
            )
            parts[which] = (value if which else first) + end + rest
            data = b"= ".join(parts)
        else:
            data = data[:at] + random_.choice(NASTY).encode() + data[at:]
    return data


def _pattern(home: Path) -> None:
    WorkedPattern.from_library(Library(home), Settings(), str(home / "file.toml"), None, None)


def _structure(home: Path) -> None:
    structures = home / "patterns" / "structures"
    structures.mkdir(parents=True, exist_ok=True)
    (structures / "file.toml").write_bytes((home / "file.toml").read_bytes())
    Library(home).structure("file")


def _run(home: Path) -> None:
    Library(home).commission(home / "file.toml")


def _settings(home: Path) -> None:
    (home / "settings.toml").write_bytes((home / "file.toml").read_bytes())
    _, wrong = read_settings(home)
    if wrong is not None:
        raise Fault(wrong)


def _stock(home: Path) -> None:
    (home / "stock.toml").write_bytes((home / "file.toml").read_bytes())
    read_stock(home)


def _csv(home: Path) -> None:
    _, problems = read_csv(io.BytesIO((home / "file.toml").read_bytes()), now=1.8e9)
    if problems:
        raise ImportRefused(list(problems))


READERS: Mapping[str, Callable[[Path], object]] = {
    "pattern": _pattern,
    "structure": _structure,
    "commission": _run,
    "settings": _settings,
    "stock": _stock,
    "csv": _csv,
}


def seeds() -> dict[str, list[bytes]]:
    """Sound files by kind: the shipped ones, and one of each other kind."""
    shipped = shipped_folder()
    return {
        "pattern": [path.read_bytes() for path in sorted(shipped.glob("*.toml"))],
        "structure": [path.read_bytes() for path in sorted(shipped.glob("structures/*.toml"))],
        "commission": [path.read_bytes() for path in sorted(shipped.glob("commissions/*.toml"))],
        "settings": [SETTINGS.encode()],
        "stock": [STOCK.encode()],
        "csv": [CSV.encode()],
    }


def read_one(home: Path, kind: str, data: bytes, borne: Borne) -> None:
    """Read one file as a kind, and note whether it was taken, refused in a sentence, or neither."""
    (home / "file.toml").write_bytes(data)
    begun = time.process_time()
    try:
        READERS[kind](home)
        borne.outcomes[f"{kind} taken"] += 1
    except (Fault, DocumentError, JournalError, ImportRefused) as error:
        borne.outcomes[f"{kind} refused"] += 1
        said = str(error)
        if not said or len(said) > 4000 or not all(is_plain(ch) or ch == " " for ch in said):
            borne.wrong.append(f"{kind}: said {said[:300]!r} of {data[:2000]!r}")
    except Exception as error:
        borne.wrong.append(f"{kind}: {error!r} of {data[:2000]!r}")
    took = time.process_time() - begun
    borne.slowest_s = max(borne.slowest_s, took)
    if took > MOST_S:
        borne.wrong.append(f"{kind}: {took:.1f} s of work for {data[:2000]!r}")


def bear(home: Path, times: int, seed: int, *, weigh: bool = False) -> Borne:
    """Read so many mutants of each kind; with `weigh` also measure the memory that each takes."""
    random_, borne = random.Random(seed), Borne()
    for kind, files in seeds().items():
        for file in files:
            read_one(home, kind, file, borne)
        if borne.outcomes[f"{kind} taken"] != len(files):
            borne.wrong.append(f"{kind}: a sound file was refused")
        for _ in range(times):
            data = mutant(random_.choice(files), random_)
            if not weigh:
                read_one(home, kind, data, borne)
                continue
            tracemalloc.start()
            read_one(home, kind, data, borne)
            borne.largest_bytes = max(borne.largest_bytes, tracemalloc.get_traced_memory()[1])
            tracemalloc.stop()
    if borne.largest_bytes > MOST_BYTES:
        borne.wrong.append(f"{borne.largest_bytes:,} bytes for one file")
    return borne
