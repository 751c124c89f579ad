"""A maker who reads the app's screen as text and answers it from a walked stand.

Nothing of the program's state is known here: only what is written on the screen, and what hangs.
"""

from __future__ import annotations

import random
import re
from dataclasses import dataclass

from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.slips.looks import Look
from bench.slips.suspect import Slip, Suspect
from tests.support.slips_makers import Hands, plant

RIM_COLUMNS = 24
"""Columns at the right that the small stand takes beside a question."""


@dataclass
class Notice:
    """What a maker notices before a cross: another bead at a carried place, or one in the braid."""

    made: int
    place: int
    saw: str | None = None
    in_braid: str | None = None


def notice(plan: Plan, hands: Hands) -> Notice | None:
    """Braid on until something is not as the plan says; None if nothing ever is."""
    for made in range(plan.crosses):
        hands.count(made)
        for move in plan.step(made + 1).carried:
            place = move.transfer.start
            saw = hands.ahead(place)[:1] or None
            planned = plan.remaining(move.strand, made).replace(SKIP, "")[:1] or None
            if saw != planned:
                return Notice(made, place, saw)
        if hands.marks and made % plan.row_length == 0:
            place = hands.at.index(hands.marks[-1].thread) + 1
            seen = hands.in_braid(place, made)
            if seen != "nothing":
                return Notice(made, place, in_braid=seen)
    return None


def planted(plan: Plan, kind: Slip, seed: int) -> tuple[Suspect, Hands, Notice]:
    """A random slip of a kind that comes to be noticed; AssertionError if none does."""
    rng = random.Random(seed)
    for _ in range(100):
        slip = plant(plan, kind, rng)
        if slip is None:
            continue
        hands = Hands(plan, (slip,))
        noticed = notice(plan, hands)
        if noticed is not None:
            return slip, hands, noticed
    raise AssertionError(f"no {kind} shows in this pattern")


class Walker:
    """Reads the screen and says which keys such a maker presses next."""

    def __init__(self, plan: Plan, hands: Hands, noticed: Notice) -> None:
        self.plan, self.hands, self.noticed = plan, hands, noticed
        self.places = plan.structure.places

    def report_keys(self, shown: str) -> list[str]:
        """The keys that report what was noticed, from the first page."""
        if self.noticed.in_braid is None:
            place = self.places[self.noticed.place - 1]
            return [self._choice(shown, place), self.noticed.saw or "0"]
        what = "the braid has a gap" if self.noticed.in_braid == "gap" else "a bead stands proud"
        return [self._choice(shown, what), "123456789abcdefg"[self.noticed.place - 1]]

    def _choice(self, shown: str, words: str) -> str:
        found = re.search(rf"^[ ▶]+(\S)  {re.escape(words)}", shown, re.MULTILINE)
        assert found is not None, f"{words!r} cannot be chosen"
        return found[1]

    def asked(self, shown: str) -> bool:
        """Whether a look is asked for."""
        return "ONE LOOK" in shown

    def answer_keys(self, shown: str) -> list[str]:
        """The keys that answer the look on the screen as it truly is."""
        width = max(len(line) for line in shown.splitlines())
        beside = RIM_COLUMNS if width >= 76 else 0
        text = " ".join(line[: width - beside] for line in shown.splitlines())
        text = re.sub(r"\s+", " ", text)
        question = text[text.index("ONE LOOK") :]
        made = self.noticed.made
        if found := re.search(r"other (\d+) show (\S) next\?", question):
            look = Look("glance", 0, self.noticed.place, 0.0, found[2])
            number = str(self.hands.right_answer(look, made))
            return [number] if int(found[1]) <= 9 else [*number, "enter"]
        if "Which piece lies on the stand" in question:
            return ["1"]
        named = [n for n, name in enumerate(self.places, 1) if name in question.split("? ")[0]]
        assert len(named) == 1, shown
        place = named[0]
        if "Which bead is next" in question:
            answer = self.hands.right_answer(Look("next", 0, place, 0.0), made)
            return ["question_mark" if answer == "?" else str(answer or "0")]
        if "next three" in question:
            after = "?" if "Leave out" in question else None
            beads = str(self.hands.right_answer(Look("next3", 0, place, 0.0, after), made))
            keys = ["question_mark" if bead == "?" else bead for bead in beads]
            return keys if len(keys) == 3 else [*keys, "0"]
        if "Read off all beads" in question:
            beads = self.hands.ahead(place)
            return [*("question_mark" if bead == "?" else bead for bead in beads), "0"]
        if "How many alike hang next" in question:
            many = self.hands.right_answer(Look("left", 0, place, 0.0), made)
            assert isinstance(many, int)
            return [str(many) if many < 10 else "t" if many == 10 else "m"]
        assert "Look at the braid" in question, question
        seen = self.hands.right_answer(Look("braid", 0, place, 0.0), made)
        return [{"gap": "1", "proud": "2", "nothing": "3"}[str(seen)]]


def mend_by_hand(hands: Hands, plan: Plan, made: int, do: str) -> None:
    """Do on the walked stand what a mend's sentence asks of the hands.

    plan is the one after the mend, made the crosses counted then.
    """
    hung = {
        strand: hands.beads[hands.at[place - 1]]
        for place, strand in enumerate(plan.arrangement(made), 1)
    }
    if do.startswith(("Strip", "Hang")) or "string it anew" in do or "hang the tama" in do:
        for strand, beads in hung.items():
            beads[:] = plan.remaining(strand, made).replace(SKIP, "")
    elif do.startswith("Swap"):
        one, two = (
            beads
            for strand, beads in hung.items()
            if "".join(beads) != plan.remaining(strand, made).replace(SKIP, "")
        )
        one[:], two[:] = two[:], one[:]
    elif "break" in do:
        for strand, beads in hung.items():
            left = plan.remaining(strand, made).replace(SKIP, "")
            if len(beads) == len(left) + 1:
                del beads[next((i for i, b in enumerate(beads) if left[i : i + 1] != b), -1)]


def hangs_as_planned(hands: Hands, plan: Plan, made: int, do: str = "") -> bool:
    """Whether every strand holds what the plan has on it, moves without a bead left out.

    One bead may be over at a free end where the mend's sentence says so.
    """
    over = int("stays over" in do)
    for place, strand in enumerate(plan.arrangement(made), 1):
        planned, ahead = plan.remaining(strand, made).replace(SKIP, ""), hands.ahead(place)
        if not ahead.startswith(planned) or len(ahead) > len(planned) + over:
            return False
    return True
