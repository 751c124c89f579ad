"""The dialogue of `ask`: JSON lines in, JSON lines out, about one piece.

In, one object a line:

    {"cross": 23, "strand": 5, "saw": "b"}     report: the next bead of a carried strand before
                                               this cross; null: nothing left, "?": in no load
    {"cross": 23, "strand": 5, "braid": "gap"} report about the braid: "gap" or "proud"
    {"answer": 7}                              the answer to the last look
    {"answer": "skip"}                         the last look cannot be answered
    {"read_off": "ccddb", "cross": 23, "strand": 5}
                                               all beads left on a strand, the next one first

Out, one object a line: suspects with their chances, whether one is settled, the next look, and
the mends of the likeliest; or {"error": …}, after which the dialogue goes on.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from bench.craft.growth import sizes_of
from bench.craft.plan import Plan
from bench.craft.text import cleaned
from bench.slips.belief import Belief
from bench.slips.effects import Mend
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import FOREIGN, Likeness
from bench.slips.looks import Answer, Look
from bench.slips.maker import Maker
from bench.slips.mends import mends
from bench.slips.readoff import read_off
from bench.slips.scene import Scene, Suspect
from bench.slips.words import place_words, question, slips_words

SHOWN = 8
"""Suspects listed; the rest is counted under `other`."""

LONGEST = 100_000
"""Characters of a line that are read."""

MOST_EXTRA = 20
"""So many beads more than twice the plan's are compared with it; more are a miscount."""


class _Mistake(Exception):  # noqa: N818
    """A line that cannot be used; more holds what can be said besides."""

    def __init__(self, message: str, **more: Any) -> None:
        super().__init__(message)
        self.more = more


class Dialogue:
    """Reports and answers about one plan. `line` takes a line of JSON and returns one.

    warnings go out with the first line.
    """

    def __init__(
        self, plan: Plan, maker: Maker | None = None, warnings: Sequence[str] = ()
    ) -> None:
        self.plan = plan
        self.warnings = list(warnings)
        self.maker = maker or Maker()
        self.likeness = Likeness(plan.pattern.beads, sizes_of(plan.pattern), self.maker.vision)
        self.inquiry: Inquiry | None = None

    def line(self, text: str) -> str:
        """Answer one line. Never raises for what the line holds."""
        try:
            said = self._said(text)
        except _Mistake as mistake:
            said = {"error": str(mistake)} | mistake.more
        warnings, self.warnings = self.warnings, []
        return json.dumps({"format": 1, "warnings": warnings} | said)

    def _said(self, text: str) -> dict[str, Any]:
        given = _parsed(text)
        if "read_off" in given:
            return self._read_off(given)
        if "answer" in given:
            self._answer(given)
        else:
            self._report(given)
        return self._state()

    # Lines in

    def _report(self, given: Mapping[str, Any]) -> None:
        what = "braid" if "braid" in given else "saw"
        _only(given, "cross", "strand", what)
        made, strand = self._moment(given)
        saw = given[what]
        if what == "braid" and saw not in ("gap", "proud"):
            raise _Mistake('"braid" takes "gap" or "proud"')
        if what == "saw":
            self._check_bead(saw)
            self._check_carried(made, strand)
        if self.inquiry is None:
            maker = self.maker
            self.inquiry = Inquiry(
                self.plan, made, self.likeness, maker.priors, maker.costs, maker.habits
            )
        elif self.inquiry.scene.made != made:
            self.inquiry = self.inquiry.at(made)
        place = self.plan.place_of(strand, made)
        if what == "braid":
            self.inquiry.report_braid(place, saw)
        else:
            self.inquiry.report(place, saw)

    def _answer(self, given: Mapping[str, Any]) -> None:
        _only(given, "answer")
        look = self.inquiry.look if self.inquiry is not None else None
        if self.inquiry is None or look is None:
            raise _Mistake("no look was asked for; nothing to answer")
        if given["answer"] == "skip":
            self.inquiry.skip(look)
        else:
            self.inquiry.answer(look, self._checked(look, given["answer"]))

    def _checked(self, look: Look, answer: object) -> Answer:
        if look.kind in ("glance", "left"):
            most = self.plan.strands - 1 if look.kind == "glance" else 10_000
            if isinstance(answer, bool) or not isinstance(answer, int) or not 0 <= answer <= most:
                raise _Mistake(f"this look is answered by a number from 0 to {most}")
            return answer
        if look.kind == "braid":
            if answer not in ("gap", "proud", "nothing"):
                raise _Mistake('this look is answered by "gap", "proud" or "nothing"')
            return str(answer)
        if look.kind == "next":
            self._check_bead(answer)
            return None if answer is None else str(answer)
        if not isinstance(answer, str) or len(answer) > 3:
            raise _Mistake("this look is answered by 0 to 3 letters, the next bead first")
        for letter in answer:
            self._check_bead(letter)
        return answer

    def _read_off(self, given: Mapping[str, Any]) -> dict[str, Any]:
        _only(given, "read_off", "cross", "strand")
        made, strand = self._moment(given)
        letters = given["read_off"]
        if not isinstance(letters, str):
            raise _Mistake('"read_off" takes the letters of all beads left, the next one first')
        planned = len(self.plan.remaining(strand, made))
        if len(letters) > 2 * planned + MOST_EXTRA:
            raise _Mistake(
                f"{len(letters)} beads were read off where the plan has {planned}: count anew"
            )
        for letter in letters:
            self._check_bead(letter)
        maker, scene = self.maker, Scene(self.plan, made)
        found, _, ways = read_off(scene, strand, letters, maker.costs, maker.regret)
        return {"edits": [asdict(edit) for edit in found], "mends": [_mend(m) for m in ways]}

    def _moment(self, given: Mapping[str, Any]) -> tuple[int, int]:
        """The crosses made and the strand that a line speaks of."""
        cross, strand = given.get("cross"), given.get("strand")
        last = self.plan.crosses
        if isinstance(cross, bool) or not isinstance(cross, int) or not 1 <= cross <= last:
            raise _Mistake(f'"cross" takes a number from 1 to {last}')
        strands = self.plan.strands
        if isinstance(strand, bool) or not isinstance(strand, int) or not 1 <= strand <= strands:
            raise _Mistake(f'"strand" takes a number from 1 to {strands}')
        return cross - 1, strand

    def _check_bead(self, saw: object) -> None:
        if saw is None or saw == FOREIGN or (isinstance(saw, str) and saw in self.likeness.letters):
            return
        known = ", ".join(self.likeness.letters) or "none"
        raise _Mistake(
            f"the pattern has no bead {cleaned(json.dumps(saw), 20)}; its letters: {known};"
            ' null means nothing left, "?" a bead that is in no load'
        )

    def _check_carried(self, made: int, strand: int) -> None:
        carried = [move.strand for move in self.plan.step(made + 1).carried]
        if strand in carried:
            return
        near = [
            Suspect("count_off", shift=shift)
            for shift in sorted(range(-8, 9), key=abs)
            if shift
            and 0 <= made - shift < self.plan.crosses
            and any(m.strand == strand for m in self.plan.step(made - shift + 1).carried)
        ][:4]
        places = " and ".join(place_words(self.plan, made, s) for s in carried)
        raise _Mistake(
            f"strand {strand} is not carried at cross {made + 1}; carried are strands"
            f" {', '.join(map(str, carried))} ({places}). If it is this strand's turn under your"
            " hands, the place is lost: find it, or set the count",
            carried=carried,
            lost_place=[_suspect(s, None) for s in near],
        )

    # Lines out

    def _state(self) -> dict[str, Any]:
        assert self.inquiry is not None
        inquiry = self.inquiry
        listed = [b for b in inquiry.beliefs if b.slips[0].slip != "other"][:SHOWN]
        listed = [b for b in listed if b.chance >= 0.0005]
        suspects = [self._belief(b) for b in listed]
        rest = 1.0 - sum(s["chance"] for s in suspects)
        suspects.append(_suspect(Suspect("other"), max(0.0, round(rest, 6))))
        look = inquiry.look
        top = next(group.first for group in inquiry.classes if group.world is not None)
        maker = self.maker
        fits = not inquiry.nothing_fits
        ways = mends(inquiry.scene, top.slips, maker.costs, maker.regret) if fits else ()
        out: dict[str, Any] = {
            "suspects": suspects,
            "settled": inquiry.settled,
            "look": None if look is None else self._look(look),
            "mends": [_mend(m) for m in ways],
        }
        if not fits:
            out["says"] = (
                "Nothing on the list fits what was seen. Read off all beads left on that strand,"
                ' the next one first: {"read_off": …, "cross": …, "strand": …}'
            )
        return out

    def _belief(self, belief: Belief) -> dict[str, Any]:
        says = slips_words(belief.slips, self.plan, self.inquiry.scene.made if self.inquiry else 0)
        chance = round(belief.chance, 6)
        if len(belief.slips) == 1:
            return _suspect(belief.slips[0], chance) | {"says": says}
        return {"slips": [_suspect(s, None) for s in belief.slips], "chance": chance, "says": says}

    def _look(self, look: Look) -> dict[str, Any]:
        again = self.inquiry is not None and self.inquiry.seen_before(look)
        asked: dict[str, Any] = {
            "kind": look.kind,
            "strand": look.strand,
            "place": look.place,
            "seconds": round(look.seconds, 1),
            "says": question(look, self.plan, again=again),
        }
        return asked | ({"bead": look.bead} if look.bead is not None else {})


def _parsed(text: str) -> dict[str, Any]:
    if len(text) > LONGEST:
        raise _Mistake(f"the line is longer than {LONGEST} characters")
    try:
        given = json.loads(text)
    except (ValueError, RecursionError):
        raise _Mistake(f"this line is not JSON: {cleaned(text.strip(), 60)}") from None
    if not isinstance(given, dict):
        raise _Mistake('a line is one object, such as {"cross": 23, "strand": 5, "saw": "b"}')
    return given


def _only(given: Mapping[str, Any], *keys: str) -> None:
    for key in given:
        if key not in keys:
            raise _Mistake(f'"{cleaned(key, 40)}" is not known here; known: {", ".join(keys)}')
    for key in keys:
        if key not in given:
            raise _Mistake(f'"{key}" is missing; a line has {", ".join(keys)}')


def _suspect(suspect: Suspect, chance: float | None) -> dict[str, Any]:
    shown = {
        key.rstrip("_"): value
        for key, value in asdict(suspect).items()
        if value is not None and key != "index"
    }
    return shown if chance is None else shown | {"chance": chance}


def _mend(mend: Mend) -> dict[str, Any]:
    return {
        "do": mend.do,
        "seconds": round(mend.seconds),
        "shows": mend.shows,
        "caution": mend.caution,
        "effects": [{"kind": type(e).__name__} | asdict(e) for e in mend.effects],
    }
