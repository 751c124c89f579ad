"""What all finished pieces say of the maker's pace, kept beside the journal.

Working it out reads every finished piece. It stands in a file next to the journal, with a mark of
the pieces that it rests on, of the day, of the library's patterns and of the program that worked it
out; while all of these are the same nothing need be read. The file may be lost, broken or thrown
away at any time.
"""

from __future__ import annotations

import contextlib
import json
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Any

from bench.documents.library import Library
from bench.documents.toml import DocumentError
from bench.documents.writing import write_file
from bench.journal.piece_times import Kind
from bench.journal.store import Journal
from bench.pace.cells import Variant
from bench.pace.model import Model
from bench.pace.own_times import OwnTimes, by_pattern, own_times
from bench.pace.pooling import Component, PatternPosterior, VariantPosterior
from bench.pace.prior import COMMON_PRACTICE
from bench.pace.records import Work
from bench.pace.rework import Rework
from bench.timing.finished_pieces import DAY_S, TimeBook
from bench.timing.piece_records import loose_of, named_work

FILE = "pace.cache"


@dataclass(frozen=True)
class PaceBook:
    """The fitted pace, and what is said of the pieces that it rests on.

    `own`: the maker's own times by pattern. `commissions`: each one's finished pieces, by id.
    `loose`: how many good pieces were started for none. `lost`: patterns that times were typed in
    for and that are not in the library. `left_out`: how many pieces have no time, and why.
    """

    model: Model
    own: Mapping[str, OwnTimes]
    commissions: Mapping[str, Sequence[str]]
    loose: Mapping[Kind, int]
    lost: Sequence[str]
    left_out: str

    @classmethod
    def of(cls, book: TimeBook, now_s: float) -> PaceBook:
        """Sum up the finished pieces of a book that was read, at UTC seconds."""
        pieces = book.pieces.values()
        commissions: dict[str, list[str]] = {}
        for times in pieces:
            if times.commission is not None:
                commissions.setdefault(times.commission, []).append(times.piece)
        return cls(
            model=book.fit(now_s),
            own={name: own_times(r, name) for name, r in by_pattern(book.records).items()},
            commissions=commissions,
            loose=loose_of(pieces),
            lost=book.lost,
            left_out=book.left_out,
        )


def pace_book(
    journal: Journal,
    library: Library,
    book: TimeBook,
    now_s: float,
    tell: Callable[[int], object] = lambda _: None,
) -> PaceBook:
    """Return what the finished pieces say at UTC seconds; `book` is read only if it must be."""
    file = journal.path.with_name(FILE)
    mark = [journal.mark_of_ended(), _program(), now_s // DAY_S]
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        crc, _, text = file.read_text(encoding="ascii").partition("\n")
        if int(crc) == zlib.crc32(text.encode()):
            said = json.loads(text)
            if said["mark"] == mark and said["works"] == _works(library, said["works"]):
                return _from_json(said)
    book.read_all(journal, tell=tell)
    found = PaceBook.of(book, now_s)
    typed = {times.pattern for times in book.pieces.values() if times.recorded}
    text = json.dumps({"mark": mark, "works": _works(library, typed), **_to_json(found)})
    with contextlib.suppress(DocumentError):
        if book.keep and mark[0]:
            write_file(file, f"{zlib.crc32(text.encode())}\n{text}", ".cache")
    return found


def _works(library: Library, patterns: Iterable[str]) -> dict[str, list[int] | None]:
    """The work in a piece of each pattern, None where there is no such pattern."""
    found: dict[str, Work | None] = {name: named_work(library, name) for name in patterns}
    return {n: None if w is None else [w.beads, w.strands, w.crosses] for n, w in found.items()}


@cache
def _program() -> int:
    """A mark of the source that the pace is worked out with."""
    here = Path(__file__).parents[1]
    files = [*sorted((here / "pace").glob("*.py")), Path(__file__)]
    files += sorted((here / "timing").glob("*.py"))
    files += [here / "journal" / "piece_clock.py"]
    crc = 0
    for file in files:
        crc = zlib.crc32(file.read_bytes(), crc)
    return crc


def _to_json(book: PaceBook) -> dict[str, Any]:
    model = book.model
    return {
        "noise": model.noise,
        "rework": asdict(model.rework),
        "freedom": model.freedom,
        "pieces": model.pieces,
        "pattern_pieces": model.pattern_pieces,
        "today": model.today,
        "good": model.good,
        "spoilt": model.spoilt,
        "components": [_component_to_json(part) for part in model.components],
        "own": {name: asdict(times) for name, times in book.own.items()},
        "commissions": book.commissions,
        "loose": [[kind, count] for kind, count in book.loose.items()],
        "lost": book.lost,
        "left_out": book.left_out,
    }


def _component_to_json(part: Component) -> dict[str, Any]:
    return {
        "chance": part.chance,
        "pattern_sd": part.pattern_sd,
        "drift_sd": part.drift_sd,
        "mean": part.mean,
        "cov": part.cov,
        "patterns": {name: asdict(found) for name, found in part.patterns.items()},
        "variants": [[variant, asdict(found)] for variant, found in part.variants.items()],
    }


def _from_json(said: dict[str, Any]) -> PaceBook:
    model = Model(
        prior=COMMON_PRACTICE,
        components=tuple(_component(part) for part in said["components"]),
        noise=said["noise"],
        rework=Rework(**said["rework"]),
        freedom=said["freedom"],
        pieces=said["pieces"],
        pattern_pieces=said["pattern_pieces"],
        today=said["today"],
        good=said["good"],
        spoilt=said["spoilt"],
    )
    return PaceBook(
        model=model,
        own={name: OwnTimes(**times) for name, times in said["own"].items()},
        commissions=said["commissions"],
        loose={(p, s, c): count for (p, s, c), count in said["loose"]},
        lost=said["lost"],
        left_out=said["left_out"],
    )


def _component(said: dict[str, Any]) -> Component:
    variants: dict[Variant, VariantPosterior] = {
        (p, s, c): VariantPosterior(**found) for (p, s, c), found in said.pop("variants")
    }
    patterns = {name: PatternPosterior(**found) for name, found in said.pop("patterns").items()}
    return Component(**said, patterns=patterns, variants=variants)
