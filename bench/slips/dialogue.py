"""The dialogue of `ask`: JSON lines in, JSON lines out, about one piece.

In, one object a line:

    {"cross": 23, "strand": 5, "saw": "b"}     report: the next bead of a carried strand before
                                               this cross; null: nothing left, "?": in no load
    {"cross": 23, "strand": 5, "braid": "gap"} report about the braid: "gap" or "proud"
    {"answer": 7}                              the answer to the last look
    {"answer": "skip"}                         the last look cannot be answered
    {"read_off": "ccddb", "cross": 23, "strand": 5}
                                               all beads left on a strand, the next one first

Out, one object a line: suspects with their chances, whether one is told apart (settled), whether
nothing more can be asked though none is (asked_out), the next look, and the mends of the
likeliest; or {"error": …}, after which the dialogue goes on.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from bench.craft.plan import Plan
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.line_reader import LineError, LineReader, parsed
from bench.slips.looks import Look
from bench.slips.maker import Maker
from bench.slips.mend import Mend
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.posterior import Hypothesis
from bench.slips.read_off import read_off
from bench.slips.suspect import Suspect
from bench.slips.words import question, slips_words

MOST_SHOWN = 8
"""Suspects listed; the rest is counted under `other`."""

LEAST_SHOWN = 0.0005
"""Suspects with a smaller chance are not listed."""


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
        self.likeness = Likeness(plan.pattern, self.maker.vision)
        self.inquiry: Inquiry | None = None
        self._reader = LineReader(plan, self.likeness.letters)

    def line(self, text: str) -> str:
        """Answer one line. Never raises for what the line holds."""
        try:
            said = self._said(parsed(text))
        except LineError as error:
            said = {"error": str(error)} | error.more
        warnings, self.warnings = self.warnings, []
        return json.dumps({"format": 1, "warnings": warnings} | said)

    def _said(self, given: Mapping[str, Any]) -> dict[str, Any]:
        if "read_off" in given:
            return self._read_off(given)
        inquiry = self._answered(given) if "answer" in given else self._reported(given)
        return _state(inquiry)

    def _reported(self, given: Mapping[str, Any]) -> Inquiry:
        """The inquiry once a report is taken in."""
        made, place = self._reader.report(given)
        if self.inquiry is None:
            self.inquiry = Inquiry(self.plan, made, self.likeness, self.maker)
        elif self.inquiry.planned.made != made:
            self.inquiry = self.inquiry.at(made)
        if "braid" in given:
            self.inquiry.report_braid(place, given["braid"])
        else:
            self.inquiry.report(place, given["saw"])
        return self.inquiry

    def _answered(self, given: Mapping[str, Any]) -> Inquiry:
        """The inquiry once its look is answered, or set aside."""
        if self.inquiry is None or self.inquiry.look is None:
            raise LineError("no look was asked for; nothing to answer")
        look = self.inquiry.look
        if given["answer"] == "skip":
            self.inquiry.skip(look)
        else:
            self.inquiry.answer(look, self._reader.answer(look, given["answer"]))
        return self.inquiry

    def _read_off(self, given: Mapping[str, Any]) -> dict[str, Any]:
        made, strand, letters = self._reader.read_off(given)
        found, _, ways = read_off(PlannedStand(self.plan, made), strand, letters, self.maker)
        return {"edits": [asdict(edit) for edit in found], "mends": [_mend(m) for m in ways]}


def _state(inquiry: Inquiry) -> dict[str, Any]:
    """What an inquiry says now."""
    listed = [each for each in inquiry.hypotheses if each.slips[0].slip != "other"][:MOST_SHOWN]
    suspects = [_hypothesis(each, inquiry) for each in listed if each.chance >= LEAST_SHOWN]
    rest = 1.0 - sum(suspect["chance"] for suspect in suspects)
    suspects.append(Suspect("other").known() | {"chance": max(0.0, round(rest, 6))})
    top = next(group.first for group in inquiry.classes if group.slip != "other")
    fits = not inquiry.nothing_fits
    ways = mends(inquiry.planned, top.slips, inquiry.maker) if fits else ()
    said: dict[str, Any] = {
        "suspects": suspects,
        "settled": inquiry.settled,
        "asked_out": inquiry.asked_out,
        "look": None if inquiry.look is None else _look(inquiry.look, inquiry),
        "mends": [_mend(way) for way in ways],
    }
    if not fits:
        said["says"] = (
            "Nothing on the list fits what was seen. Read off all beads left on that strand,"
            ' the next one first: {"read_off": …, "cross": …, "strand": …}'
        )
    return said


def _hypothesis(each: Hypothesis, inquiry: Inquiry) -> dict[str, Any]:
    slips = [slip.known() for slip in each.slips]
    says = slips_words(each.slips, inquiry.plan, inquiry.planned.made)
    what = slips[0] if len(slips) == 1 else {"slips": slips}
    return what | {"chance": round(each.chance, 6), "says": says}


def _look(look: Look, inquiry: Inquiry) -> dict[str, Any]:
    asked: dict[str, Any] = {
        "kind": look.kind,
        "strand": look.strand,
        "place": look.place,
        "seconds": round(look.seconds, 1),
        "says": question(look, inquiry.plan, again=inquiry.seen_before(look)),
    }
    return asked | ({"bead": look.bead} if look.bead is not None else {})


def _mend(mend: Mend) -> dict[str, Any]:
    return {
        "do": mend.do,
        "seconds": round(mend.seconds),
        "shows": mend.shows,
        "caution": mend.caution,
        "effects": [{"kind": type(e).__name__} | asdict(e) for e in mend.effects],
    }
