"""Not what I see: the report, one look after another, and the mend that is chosen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import InitVar, dataclass
from typing import Literal, get_args

from bench.documents.key_names import DIGITS
from bench.journal.slip_payloads import HandsWork, SewIn
from bench.making.braid import Braid
from bench.making.mending import carry_out
from bench.screens.slips.answers import BRAID_SAYS, PIECE_SAYS, SeenBead, answered, most_of
from bench.screens.slips.report_choices import Report, choices_of
from bench.slips.case import Case, Statement
from bench.slips.costs import HandWork
from bench.slips.edits import Edit
from bench.slips.likeness import FOREIGN
from bench.slips.looks import Answer, Look
from bench.slips.maker import Maker
from bench.slips.mend import Mend
from bench.slips.mend_steps import TakeBack
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.read_off import read_off
from bench.slips.suspect import Suspect

TalkPage = Literal["report", "bead", "line", "asking", "mends", "mend", "read", "sewn"]
Leads = Literal["", "leave", "place", "back", "done"]
"""Where a key leads out of the talk; '' stays in it."""

PLACE_KEYS = "123456789abcdefghijklmnopqrstuvwxyz"


@dataclass
class SlipTalk:
    """One talk about what went wrong, from its report on. `now` gives seconds that only grow.

    `left` is a case that was left without a mend; what was told in it, a row ago at most, counts.
    """

    braid: Braid
    maker: Maker
    now: Callable[[], float]
    left: InitVar[Case | None] = None

    def __post_init__(self, left: Case | None) -> None:
        self.page: TalkPage = "report"
        self.plan, self.made = self.braid.plan, self.braid.made
        self.scene = PlannedStand(self.plan, self.made)
        self.case = Case(self.plan, self.made, self.maker, left)
        self.likeness = self.case.likeness
        self.place = 0
        self.saw_what = ""
        self.typed = ""
        self.picked = 0
        self._at: tuple[TalkPage, int, int] = ("report", 0, 0)
        self.mend: Mend | None = None
        self.edits: tuple[Edit, ...] | None = None
        self.edit_slips: tuple[Suspect, ...] = ()
        self.edit_mends: tuple[Mend, ...] = ()
        self.said = self.done = ""
        self._asked = self._opened = self.now()

    # What there is to choose from

    @property
    def choices(self) -> list[Report]:
        """What can be reported, in order."""
        return choices_of(self.braid, self.scene)

    @property
    def sew_ins(self) -> tuple[SewIn, ...]:
        """The beads that are still to be sewn in."""
        return self.braid.state.sew_ins

    @property
    def ways(self) -> tuple[Mend, ...]:
        """The mends of the suspect that is picked, or of the strand that was read off."""
        if self.edits is not None:
            return self.edit_mends
        inquiry = self.case.inquiry
        if inquiry is None or self.case.nothing_fits:
            return ()
        return mends(inquiry.planned, self.case.suspects[self.picked].slips, self.maker)

    @property
    def options(self) -> list[str]:
        """The keys that the page lists one below the other."""
        look = self.case.look
        if self.page == "report":
            return list(PLACE_KEYS[: len(self.choices)])
        if self.page == "line":
            return list(PLACE_KEYS[: self.plan.strands])
        if self.page == "bead" or (self.page == "asking" and look and look.kind == "next"):
            return [*self.likeness.letters, "0", FOREIGN]
        if self.page == "asking" and look is not None and look.kind == "braid":
            return list(BRAID_SAYS)
        if self.page == "asking" and look is not None and look.kind == "piece":
            return list(PIECE_SAYS)
        many = {"mends": len(self.ways), "sewn": len(self.sew_ins)}.get(self.page, 0)
        return list("123456789"[:many])

    @property
    def at(self) -> int | None:
        """Which of the options Enter takes; None for none, as among beads until one is gone to."""
        page, told, at = self._at
        if (page, told) == (self.page, len(self.case.statements)) and at < len(self.options):
            return at
        return None if self.page in ("asking", "bead") or not self.options else 0

    def _go(self, step: int) -> None:
        at, many = self.at, len(self.options)
        if at is None:
            at = -1 if step > 0 else many
        self._at = self.page, len(self.case.statements), (at + step) % many

    # Keys

    def meant_once(self, key: str) -> bool:
        """Whether a second press at once is one that bounces: not where more is typed by it."""
        goes_on = self.typed and key not in ("enter", "space")
        return not goes_on and key not in ("up", "down", "left", "right")

    def press(self, key: str, character: str | None) -> Leads:
        """Take a key; returns where it leads."""
        self.said = ""
        if key == "escape":
            return "leave"
        sign = (character or key).lower()
        if key in ("up", "down") and self.options:
            self._go(1 if key == "down" else -1)
            return ""
        if key == "enter" and self.at is not None:
            key = sign = self.options[self.at]
        if self.page == "report":
            return self._report(key, sign)
        if key == "backspace":
            self._back()
            return ""
        if self.page in ("bead", "line"):
            self._report_more(sign)
        elif self.page == "asking":
            self._answer(key, sign)
        elif self.page == "mends":
            self._choose(key, sign)
        elif self.page == "mend":
            return self._carry_out() if key in ("enter", "space") else ""
        elif self.page == "read":
            self._read(key, sign)
        elif self.page == "sewn":
            return self._strike(sign)
        return ""

    def _report(self, key: str, sign: str) -> Leads:
        choices = self.choices
        if key == "backspace":
            self.said = "This is the first page; ESC leads back to braiding."
        if sign not in PLACE_KEYS[: len(choices)]:
            return ""
        what = choices[PLACE_KEYS.index(sign)]
        if what == "lost":
            return "place"
        if what == "last":
            return "back"
        if what == "undone":
            self.braid.undo_mend()
            self.done = "the last mend was not done: count and loads are as before it"
            return "done"
        if what == "sewn":
            self.page = "sewn"
        elif isinstance(what, int):
            self.place, self.page = what, "bead"
        else:
            self.saw_what, self.page = what, "line"
        return ""

    def _report_more(self, sign: str) -> None:
        if self.page == "line":
            if sign not in PLACE_KEYS[: self.plan.strands]:
                return
            place = PLACE_KEYS.index(sign) + 1
            if self.saw_what == "elsewhere":
                self.place, self.page = place, "bead"
            else:
                self._take_report("braid", place, self.saw_what)
        elif (saw := self._bead(sign)) is not False:
            self._take_report("next", self.place, saw)

    def _bead(self, sign: str) -> SeenBead:
        """The bead that a key stands for; None for nothing left, False for no bead."""
        if sign in self.likeness.letters:
            return sign
        if sign in ("?", "question_mark"):
            return FOREIGN
        if len(sign) == 1 and sign.isalpha():
            self.said = f"No load has a bead {sign}; a bead that is in none is ?."
        return None if sign == "0" else False

    def _take_report(self, kind: Literal["next", "braid"], place: int, saw: Answer) -> None:
        strand = self.scene.arrangement[place - 1]
        self.place = place
        self.braid.report_slip(kind, strand, place, None if saw is None else str(saw))
        self.case.report(Look(kind, strand, place, 0.0), saw)
        self._follow()

    def _answer(self, key: str, sign: str) -> None:
        look = self.case.look
        assert look is not None
        if key == "tab":
            self.page = "mends"
        elif key == "enter" and not self.typed:
            self._tell(Statement(look, set_aside=True))
        else:
            bead = self._bead(sign) if look.kind in ("next", "next3", "read") else False
            answer, self.typed = answered(
                look, self.typed, key, sign, bead, most_of(look, self.plan.strands)
            )
            if answer is not False:
                self._tell(Statement(look, answer))

    def _tell(self, told: Statement) -> None:
        look = told.look
        taken = None if told.set_aside else round(max(0.0, self.now() - self._asked), 1)
        self.braid.answer_look(
            look.kind,
            look.strand,
            look.place,
            round(look.seconds, 1),
            bead=look.bead,
            answer=told.answer,
            seconds=taken,
        )
        self.case.tell(told)
        self._follow()

    def _choose(self, key: str, sign: str) -> None:
        ways = self.ways
        if key == "tab" and self.case.look is not None:
            self.page = "asking"
        elif key in ("right", "left") and not self.case.nothing_fits and self.edits is None:
            step = 1 if key == "right" else -1
            self._at = self.page, len(self.case.statements), 0
            self.picked = (self.picked + step) % len(self.case.suspects)
        elif sign == "r" and self.place:
            self.page, self.typed = "read", ""
        elif sign in DIGITS and 1 <= int(sign) <= len(ways):
            self.mend, self.page = ways[int(sign) - 1], "mend"
            self._opened = self.now()

    def _carry_out(self) -> Leads:
        assert self.mend is not None
        slips, chance = self.edit_slips, 1.0
        if self.edits is None and self.case.suspects:
            belief = self.case.suspects[self.picked]
            slips, chance = belief.slips, belief.chance
        carry_out(self.braid, self.mend, slips, round(chance, 4), self._hands())
        if self._takes_back():
            self.braid.take_back()
        self.done = f"mend: {self.mend.do}"
        return "done"

    def _takes_back(self) -> bool:
        assert self.mend is not None
        return any(isinstance(effect, TakeBack) for effect in self.mend.effects)

    def _hands(self) -> HandsWork | None:
        """How long the mend took by hand since its page was opened, if it is work of one kind.

        None where crosses are taken back for it: the work by hand comes after them.
        """
        assert self.mend is not None
        if self._takes_back():
            return None
        steps = [step for step in self.mend.steps if step.by_hand]
        works = {work for work in get_args(HandWork) for step in steps if step.kind == work}
        if len(works) != 1:
            return None
        (work,) = works
        usual = sum(step.seconds for step in steps) / self.maker.costs.by_hand(work, 1.0)
        return HandsWork(work, round(usual, 1), round(self.now() - self._opened, 1))

    def _read(self, key: str, sign: str) -> None:
        if sign == "0" or (key == "enter" and self.typed):
            strand = self.scene.arrangement[self.place - 1]
            self.edits, self.edit_slips, self.edit_mends = read_off(
                self.scene, strand, self.typed, self.maker
            )
            self.page, self.typed = "mends", ""
        elif isinstance(bead := self._bead(sign), str):
            left = len(self.plan.remaining(self.scene.arrangement[self.place - 1], self.made))
            self.typed += bead if len(self.typed) < 2 * left + 20 else ""

    def _strike(self, sign: str) -> Leads:
        if sign in DIGITS and 1 <= int(sign) <= len(self.sew_ins):
            sewn = self.sew_ins[int(sign) - 1]
            self.braid.sewn_in(sewn.strand, sewn.cross)
            self.done = f"sewn in: one {sewn.bead}, at cross {sewn.cross}"
            return "done"
        return ""

    # Steps back

    def _back(self) -> None:
        """One step back: a letter, a page, or the last answer."""
        if self.typed:
            self.typed = self.typed[:-1]
        elif self.page in ("mend", "read"):
            self.page = "mends"
        elif self.page == "mends" and self.edits is not None:
            self.edits = None
        elif self.page in ("asking", "mends") and self.case.any_answer:
            gone = self.case.unsay()
            self.braid.undo_answer(gone.look.kind)
            self._follow()
        else:
            self.case.close()
            self.page = "report"

    def _follow(self) -> None:
        self.typed, self.picked = "", 0
        self.edits = None
        self._asked = self.now()
        self.page = "asking" if self.case.look is not None else "mends"
