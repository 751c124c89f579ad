"""What was last worked out of the maker's pace, as it was kept beside the journal.

Reading it takes no fit and no piece's events. The file is written by the pace service alone.
"""

from __future__ import annotations

import contextlib
import json
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from bench.journal.regular_file import open_regular
from bench.pace.own_times import NONE_MADE, OwnTimes
from bench.pace.records import Variant
from bench.pace.stage_predictive import StagePredictive, guess_predictive

FILE = "pace.cache"
MOST_BYTES = 50_000_000
"""More is read of no file of figures."""
VERSION = 14
"""Raised with every change to what the journal's pieces add up to; a test holds it."""

JournalMark = Sequence[str | int]
"""The journal's mark of the finished pieces that figures rest on; empty while there are none."""


@dataclass(frozen=True)
class KeptFigures:
    """The maker's own times by pattern, and what is predicted of the next piece of each.

    Attributes:
        mark: of the journal's finished pieces when they were worked out.
        pieces: how many timed pieces they rest on; 0: common practice alone.
        own: the maker's own times of each pattern that was made.
        predicted: of the next piece by variant that was made; by (pattern,) for its other
            variants, by () for all other patterns.

    """

    mark: JournalMark = ()
    pieces: int = 0
    own: Mapping[str, OwnTimes] = field(default_factory=dict)
    predicted: Mapping[tuple[str | None, ...], StagePredictive] = field(default_factory=dict)

    def is_stale(self, mark: JournalMark) -> bool:
        """Whether the journal's finished pieces, by `Journal.mark_of_ended`, are others by now."""
        return list(self.mark) != list(mark)

    def own_times(self, pattern: str) -> OwnTimes:
        """The maker's own times of a pattern."""
        return self.own.get(pattern, NONE_MADE)

    def next_piece(self, variant: Variant) -> StagePredictive:
        """What is predicted of the next piece, as of the nearest kind that was made."""
        kinds: tuple[tuple[str | None, ...], ...] = (variant, (variant.pattern,), ())
        for kind in kinds:
            if kind in self.predicted:
                return self.predicted[kind]
        return guess_predictive()

    def to_text(self) -> str:
        """All of it as one line of JSON."""
        said = {
            "mark": self.mark,
            "pieces": self.pieces,
            "own": {pattern: asdict(times) for pattern, times in self.own.items()},
            "predicted": [[kind, asdict(found)] for kind, found in self.predicted.items()],
        }
        return json.dumps(said)


def read_kept_figures(journal: Path) -> KeptFigures:
    """Read what was worked out last of a journal, by its path; none if that is lost or broken."""
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError, RecursionError):
        with open_regular(journal.with_name(FILE)) as file:
            said = json.loads(checked(file.readline(MOST_BYTES)))
        return KeptFigures(
            mark=said["mark"],
            pieces=said["pieces"],
            own={pattern: OwnTimes(**times) for pattern, times in said["own"].items()},
            predicted={tuple(kind): StagePredictive(**found) for kind, found in said["predicted"]},
        )
    return KeptFigures()


def with_check(text: str) -> str:
    """Return a line of the file: a checksum, which goes with this version, and ASCII text."""
    return f"{zlib.crc32(text.encode('ascii'), VERSION)}\t{text}\n"


def checked(line: bytes) -> bytes:
    """Return a line's text; raises ValueError if it is not whole, or another version's."""
    check, text = line.rstrip(b"\n").split(b"\t", 1)
    if int(check) != zlib.crc32(text, VERSION):
        raise ValueError("the line is not whole")
    return text
