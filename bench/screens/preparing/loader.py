"""Loading at the bench: one key a group, proving on the spot, one set or several."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.commission.bead_kind import BeadKind
from bench.commission.loading_tubes import NO_TUBE, LoadingTubes, Taking
from bench.craft.stringing import Half
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.key_names import DIGITS
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.payload_base import Payload
from bench.journal.payloads import Loaded
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.core_answer import core_beads
from bench.making.loading import (
    MOST_SETS,
    Loading,
    NextBeads,
    end_tag,
    loading_of,
    set_to_come,
    tag_first,
)
from bench.making.worked_pattern import WorkedPattern
from bench.screens.kit import words

LoadingPage = Literal["begin", "string", "prove", "mend", "done"]
LeadsTo = Literal["next set", "on", "weigh"]

BEHIND = "The far half's beads lie behind the near half's"


@dataclass
class Loader:
    """The loading of the piece in hand. What is counted is in the journal before it is shown."""

    braid: Braid
    made: WorkedPattern
    loading: Loading
    settings: Settings
    places: tuple[str, ...]
    tubes: LoadingTubes
    more_to_come: bool = False
    """Whether the batch has a set that is not begun yet; known once this one is loaded."""
    sets: int = 1
    wrong: bool = False
    told: Literal["", "tab", "mark"] = ""
    """Of which key it was told that the same one again goes on all the same."""
    thrown: int = 0
    """Beads in hand that were thrown out or broke: their tube gives them with the next group."""
    done: str = ""
    said: str = ""
    typed: str = ""

    @classmethod
    def of(cls, braid: Braid, settings: Settings, library: Library | None = None) -> Loader:
        """Take the loading of a piece up where it was left.

        library: where the piece's order is, so that its beads come from the dye lot planned for it.
        """
        made = WorkedPattern.for_piece(braid, settings)
        loading = loading_of(made, braid, settings)

        def planned() -> Mapping[BeadKind, str]:
            if library is None:
                return {}
            # Most pieces need no plan, and it needs much that is late to load.
            from bench.commission.planned_dye_lots import planned_dye_lots

            return planned_dye_lots(braid.journal, library, settings, braid.state, made)

        tubes = LoadingTubes(braid.journal, braid.state, made.pattern, planned)
        loader = cls(braid, made, loading, settings, braid.structure.places, tubes)
        loader._look_for_next_set()
        return loader

    def read_again(self, settings: Settings) -> None:
        """Work the piece up anew, as beads were weighed."""
        self.made = WorkedPattern.for_piece(self.braid, settings)
        self.loading = loading_of(self.made, self.braid, settings)

    @property
    def page(self) -> LoadingPage:
        """What is to be done now."""
        if self.braid.state.batch is None and not self.loading.beads_on:
            return "begin"
        task = self.loading.task
        return "mend" if task == "prove" and self.wrong else task

    @property
    def tag(self) -> str:
        """What the set is called."""
        return self.braid.state.tag or "this set"

    def _look_for_next_set(self) -> None:
        self.more_to_come = self.page == "done" and set_to_come(self.braid) is not None

    def place_of(self, half: Half) -> str:
        """Where a half's end goes on the stand."""
        return self.places[half.strand - 1]

    @property
    def to_prove(self) -> list[Half]:
        """The halves that are proved together now."""
        return [half for half in self.loading.to_prove if half.total]

    @property
    def turned(self) -> str:
        """What is to be done with the end before, when a new one is begun; empty within one."""
        thread, half = self.loading.at
        place = thread.halves.index(half)
        if self.page != "string" or self.loading.held(half) or not place:
            return ""
        full = thread.halves[place - 1]
        if not full.total:
            return ""
        name = end_tag(self.braid.state, thread, full)
        return f"bead clip on the full end, tag it “{name}”, no needle left in it"

    # Keys

    def press(self, action: str, key: str) -> LeadsTo | None:
        """Take an action's key, or a digit; return where the maker goes on to, if elsewhere."""
        self.said = ""
        told, self.told = self.told, ""
        if action != "back" and key != "tab":
            self.tubes.go_on()
        if self.page == "begin" and key == "tab":
            return "weigh"
        if self.page == "string" and key == "tab":
            self._tube_is_empty(told=told == "tab")
        elif self.page == "string" and key in {"x", "X"}:
            self._throw_out()
        elif self.page == "begin" and action != "mark":
            self._begin(action, key)
        elif action == "next":
            return self._next()
        elif action == "back":
            self._back()
        elif action == "slip":
            self._not_right()
        elif action == "mark":
            return self._on(told=told == "mark")
        elif self.page == "mend" and key in {"1", "2"}:
            self._take_off_from(int(key) - 1)
        return None

    def _begin(self, action: str, key: str) -> None:
        if action == "next":
            tag_first(self.braid, self.sets)
            return
        if key in DIGITS:
            typed = self.typed + key if 1 <= int(self.typed + key) <= MOST_SETS else key
            self.typed = "" if typed == "0" else typed
            self.sets = int(self.typed or 1)
            return
        self.typed = ""
        if action == "back":
            self.sets = 1
        elif key in {"right", "up", "plus"}:
            self.sets = min(MOST_SETS, self.sets + 1)
        elif key in {"left", "down", "minus"}:
            self.sets = max(1, self.sets - 1)

    def _next(self) -> LeadsTo | None:
        page = self.page
        if page == "string":
            now = self.loading.next
            assert now is not None
            first = not self.loading.beads_on
            strand, held = self.loading.put_on()
            beside = self.tubes.beside(self.made, self.settings) if first else ()
            self._write_group(strand, held - now.count, self._takings(now), beside)
            if first and not beside:
                self.tubes.read_again()
            self.thrown = 0
            self.done = f"on: {self.words_of(now)}, {held} on this end"
        elif page in {"prove", "mend"}:
            self._prove(right=True)
        elif page == "done":
            return "next set" if self.more_to_come else "on"
        return None

    def _takings(self, now: NextBeads) -> list[tuple[Taking, int]]:
        """What each tube gives of a group, and how many of that are thrown out."""
        thrown, found = self.thrown, []
        takings = self.tubes.take(now.bead, now.count + self.thrown)
        for taking in takings:
            lost = thrown if taking is takings[-1] else min(thrown, taking.beads - 1)
            thrown -= lost
            found.append((taking, lost))
        return found

    def _write_group(
        self,
        strand: int,
        held: int,
        takings: Sequence[tuple[Taking, int]],
        beside: Sequence[Payload],
    ) -> None:
        """Write down what goes onto a strand that has so many beads, tube by tube."""
        payloads = []
        for taking, lost in takings:
            held += taking.beads - lost
            payloads.append(Loaded(strand, held, taking.tube, lost))
        first, *rest = payloads
        self.braid.load_to(strand, first.beads, first.tube, (*beside, *rest), first.lost)

    def _tube_is_empty(self, *, told: bool) -> None:
        """Go on to the next tube, at the second press where the count has beads left in it."""
        now = self.loading.next
        assert now is not None
        try:
            asks = "" if told else self.tubes.asks(now.bead)
            self.told = "tab" if asks else ""
            after_all = " BACKSPACE: not empty, after all."
            empty = "" if asks else self.tubes.empty(now.bead) + after_all
            self.said = f"{asks} TAB again: it is." if asks else empty
            if not asks:
                self.thrown = 0  # they lay in the tube that is empty, as it was just counted
        except Fault as fault:
            self.said = str(fault)

    def _throw_out(self) -> None:
        """Count one bead of those in hand as thrown out; it is written down with their group."""
        now = self.loading.next
        assert now is not None
        if self.tubes.of(now.bead) is None:
            self.said = NO_TUBE
            return
        self.thrown += 1
        said = f"{plural(self.thrown, 'bead')} {now.bead} thrown out"
        self.said = f"{said}, written down with this group. BACKSPACE: none, after all."

    def _prove(self, *, right: bool) -> None:
        thread, _ = self.loading.at
        for strand in self.loading.prove(right=right):
            how = self.loading.proving[strand].how
            self.braid.prove(strand, how, right=right)
        self.wrong = not right
        self.done = f"thread {thread.number} {'proved' if right else 'found wrong'}"
        self._look_for_next_set()

    def _not_right(self) -> None:
        if self.page == "prove":
            self._prove(right=False)
        elif self.page == "mend":
            self.wrong = False
        else:
            self.said = "Take the last group off, or go on: each end is proved when it is full."

    def _back(self) -> None:
        if self.page == "mend":
            self.wrong = False
            return
        if self.thrown:
            self.thrown, self.said = 0, "None is thrown out."
            return
        if not_empty := self.tubes.not_empty():
            self.said = not_empty
            return
        self._took_off(self.loading.take_off())

    def _take_off_from(self, number: int) -> None:
        if number < len(self.to_prove):
            half = self.to_prove[number]
            if self.loading.lies_behind(half):
                self.said = f"{BEHIND}: take those off first, or mend it from its clipped end."
                return
            self._took_off(self.loading.take_off(half.strand))

    def _took_off(self, off: tuple[int, int] | None) -> None:
        if off is None:
            self.braid.untag_set()
            self.said = "Nothing is on the threads yet: the tag is taken back."
            return
        strand, held = off
        self.wrong = False
        self.braid.load_to(strand, held)
        self.tubes.read_again()
        self.done = f"last group off: {self.places[strand - 1]} holds {held} now"
        if not self.loading.beads_on:
            self.said = self.tubes.given_back

    def _on(self, *, told: bool) -> LeadsTo | None:
        """The mark key goes on to the stand; asked for once more while something is missing."""
        if self.page == "done" or told:
            return "on"
        self.told = "mark"
        raise NotNow("Not all is loaded and proved: the same key again goes on all the same.")

    @property
    def tube_words(self) -> str:
        """The tube that the beads in hand are taken from; empty where none is kept."""
        now = self.loading.next
        if now is None:
            return ""
        halves = [half for thread in self.loading.threads for half in thread.halves]
        to_come = "".join(half.beads[self.loading.held(half) :] for half in halves)
        core = "" if self.loading.beads_on else "".join(core_beads(self.made))
        wanted = (to_come + core).count(now.bead)
        return self.tubes.says(now.bead, now.count + self.thrown, wanted)

    def words_of(self, beads: NextBeads) -> str:
        """A group in words: '3 c, pale cloud 8/0, round'."""
        return f"{beads.count} {beads.bead}, {words.bead_words(self.made.plan, beads.bead)}"
