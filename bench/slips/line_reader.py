"""What a line of the dialogue may hold: each part checked against the plan."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from bench.craft.plan import Plan
from bench.craft.text import cleaned
from bench.slips.likeness import FOREIGN
from bench.slips.looks import ANOTHER, THIS, Answer, Look
from bench.slips.suspect import Suspect
from bench.slips.suspects import FAR_ROWS
from bench.slips.words import place_words

LONGEST = 100_000
"""Characters of a line that are read."""

MOST_EXTRA = 20
"""So many beads more than twice the plan's are compared with it; more are a miscount."""

MOST_COUNTS = 4
"""So many other counts are named where the place seems lost."""


class LineError(Exception):
    """A line that cannot be used; more holds what can be said besides."""

    def __init__(self, message: str, **more: Any) -> None:
        super().__init__(message)
        self.more = more


class LineReader:
    """Reads lines about one plan, whose beads have these letters. Raises LineError."""

    def __init__(self, plan: Plan, letters: Sequence[str]) -> None:
        self.plan, self.letters = plan, letters

    def report(self, given: Mapping[str, Any]) -> tuple[int, int]:
        """The crosses made and the place of a report, what was seen having been checked."""
        made, strand = _crosses_and_strand(self.plan, given)
        if "braid" in given:
            if given["braid"] not in ("gap", "proud"):
                raise LineError('"braid" takes "gap" or "proud"')
        else:
            self._check_bead(given["saw"])
            self._check_carried(made, strand)
        return made, self.plan.place_of(strand, made)

    def answer(self, look: Look, answer: object) -> Answer:
        """The answer to a look."""
        if look.kind in ("glance", "left"):
            most = self.plan.strands - 1 if look.kind == "glance" else 10_000
            return _number(answer, 0, most, "this look is answered by")
        if look.kind == "braid":
            if answer not in ("gap", "proud", "nothing"):
                raise LineError('this look is answered by "gap", "proud" or "nothing"')
            return str(answer)
        if look.kind == "piece":
            if answer not in (THIS, ANOTHER):
                raise LineError('this look is answered by "this" or "another"')
            return str(answer)
        if look.kind == "next":
            self._check_bead(answer)
            return None if answer is None else str(answer)
        if look.kind == "read":
            if not isinstance(answer, str) or len(answer) > MOST_EXTRA + 2 * self._most_beads:
                raise LineError("this look is answered by the letters of all beads left")
            return self._letters(answer)
        if not isinstance(answer, str) or len(answer) > 3:
            raise LineError("this look is answered by 0 to 3 letters, the next bead first")
        return self._letters(answer)

    @property
    def _most_beads(self) -> int:
        return max(map(len, self.plan.loads))

    def read_off(self, given: Mapping[str, Any]) -> tuple[int, int, str]:
        """The crosses made, the strand that was read off, and its beads, the next one first."""
        made, strand = _crosses_and_strand(self.plan, given)
        letters = given["read_off"]
        if not isinstance(letters, str):
            raise LineError('"read_off" takes the letters of all beads left, the next one first')
        planned = len(self.plan.remaining(strand, made))
        if len(letters) > 2 * planned + MOST_EXTRA:
            raise LineError(
                f"{len(letters)} beads were read off where the plan has {planned}: count anew"
            )
        return made, strand, self._letters(letters)

    def _letters(self, letters: str) -> str:
        for letter in letters:
            self._check_bead(letter)
        return letters

    def _check_bead(self, saw: object) -> None:
        if saw is None or saw == FOREIGN or (isinstance(saw, str) and saw in self.letters):
            return
        known = ", ".join(self.letters) or "none"
        raise LineError(
            f"the pattern has no bead {cleaned(json.dumps(saw), 20)}; its letters: {known};"
            ' null means nothing left, "?" a bead that is in no load'
        )

    def _check_carried(self, made: int, strand: int) -> None:
        plan = self.plan
        carried = [move.strand for move in plan.step(made + 1).carried]
        if strand in carried:
            return
        most = FAR_ROWS * plan.row_length
        counts_off = [
            Suspect("count_off", shift=shift).known()
            for shift in sorted(range(-most, most + 1), key=abs)
            if shift
            and 0 <= made - shift < plan.crosses
            and any(m.strand == strand for m in plan.step(made - shift + 1).carried)
        ]
        places = " and ".join(place_words(plan, made, s) for s in carried)
        raise LineError(
            f"strand {strand} is not carried at cross {made + 1}; carried are strands"
            f" {', '.join(map(str, carried))} ({places}). If it is this strand's turn under your"
            " hands, the place is lost: find it, or set the count",
            carried=carried,
            lost_place=counts_off[:MOST_COUNTS],
        )


def parsed(text: str) -> dict[str, Any]:
    """The object that a line holds: a report, an answer or a strand that was read off.

    It has all keys that such a line has, and no others. Raises LineError.
    """
    if len(text) > LONGEST:
        raise LineError(f"the line is longer than {LONGEST} characters")
    try:
        given = json.loads(text)
    except (ValueError, RecursionError):
        raise LineError(f"this line is not JSON: {cleaned(text.strip(), 60)}") from None
    if not isinstance(given, dict):
        raise LineError('a line is one object, such as {"cross": 23, "strand": 5, "saw": "b"}')
    if "read_off" in given:
        keys = ["read_off", "cross", "strand"]
    elif "answer" in given:
        keys = ["answer"]
    else:
        keys = ["cross", "strand", "braid" if "braid" in given else "saw"]
    for key in given:
        if key not in keys:
            raise LineError(f'"{cleaned(key, 40)}" is not known here; known: {", ".join(keys)}')
    for key in keys:
        if key not in given:
            raise LineError(f'"{key}" is missing; a line has {", ".join(keys)}')
    return given


def _crosses_and_strand(plan: Plan, given: Mapping[str, Any]) -> tuple[int, int]:
    """The crosses made before the one that a line speaks of, and its strand."""
    cross = _number(given["cross"], 1, plan.crosses, '"cross" takes')
    return cross - 1, _number(given["strand"], 1, plan.strands, '"strand" takes')


def _number(value: object, least: int, most: int, what: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise LineError(f"{what} a number from {least} to {most}")
    return value
