"""Setting up at the stand: the wire, the strands at their places, tama, counterweight, clips."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.cautions import OLD_LEAD, WEIGHTS, WIRE
from bench.craft.cutting import passing
from bench.craft.stringing import StrungThread, string_up
from bench.documents.settings import Settings
from bench.journal.payloads import HungFrom, WeightsHung
from bench.making.braid import Braid
from bench.making.core_answer import core_part
from bench.making.worked_pattern import WorkedPattern, stand_weights_of

SMALL = 300.0
"""A piece up to so long, in mm, is called small; rule of thumb."""


@dataclass(frozen=True, slots=True)
class SetUpStep:
    """One thing to do: in a word or figure to be read from afar, in a sentence, in detail."""

    word: str
    do: str
    details: tuple[str, ...] = ()
    caution: str = ""


@dataclass
class SetUp:
    """The steps from loaded threads to the first cross, and the one that is in hand."""

    braid: Braid
    steps: tuple[SetUpStep, ...]
    hangs: WeightsHung
    at: int = 0

    @classmethod
    def of(cls, braid: Braid, settings: Settings) -> SetUp:
        """Work the steps out for a piece, with the maker's tama and weights.

        It begins where the maker left it.
        """
        made = WorkedPattern.for_piece(braid, settings)
        steps = steps_of(made, settings)
        at = min(braid.state.set_up_steps, len(steps) - 1)
        return cls(braid, steps, _hangs(made, settings), at)

    @property
    def weight_hangs(self) -> bool:
        """Whether the counterweight is on: the clips, which come last, are in hand."""
        return self.at == len(self.steps) - 1

    def step_on(self) -> bool:
        """Count the step in hand as done; return whether another one follows.

        What hangs is kept with the piece as soon as the weight is on.
        """
        return self._go_to(self.at + 1)

    def step_back(self) -> bool:
        """Go back to the step before; return whether there is one."""
        return self._go_to(self.at - 1)

    def _go_to(self, step: int) -> bool:
        if not 0 <= step < len(self.steps):
            return False
        is_on = step > self.at
        self.at = step
        self.braid.set_up_to(step, self.hangs if is_on and self.weight_hangs else None)
        return True


def steps_of(made: WorkedPattern, settings: Settings) -> tuple[SetUpStep, ...]:
    """What is done at the stand before the first cross, in order."""
    steps = [
        _cut(made, settings),
        _core(made),
        _places(made),
        _tama(made, settings),
        _weight(made, settings),
    ]
    return (*(step for step in steps if step is not None), _clips(made))


def _cut(made: WorkedPattern, settings: Settings) -> SetUpStep | None:
    """What to cut, where no loading has said it."""
    if any(made.plan.loads):
        return None
    return SetUpStep("CUT", "The thread cut", (f"{made.thread_said(settings)}.",))


def _core(made: WorkedPattern) -> SetUpStep | None:
    core = made.pattern.core
    if core is None:
        return None
    part = core_part(made)
    if core.on == "cord":
        length = f", {part.cord_mm:g} mm" if part.cord_mm is not None else ""
        return SetUpStep("CORD", f"Core cord down through the centre first{length}")
    length = f", {part.wire_mm:g} mm" if part.wire_mm is not None else ""
    details = ["Lower wire clip on the tail under the braid; the tail is bare."]
    if core.beads:
        details.append(
            f"Core beads parked high on the wire over the upper clip, first in first: {core.beads}"
        )
    return SetUpStep(
        "WIRE", f"Bare wire down through the centre first{length}", tuple(details), WIRE
    )


def _places(made: WorkedPattern) -> SetUpStep:
    threads = string_up(made.plan)
    double = any(thread.double for thread in threads)
    ends = tuple(_thread_places(thread, made) for thread in threads)
    if not double:
        return SetUpStep("PLACE", "Strands tied together and hung in, each at its place", ends)
    do = "Each thread fixed at its middle, ends at their places"
    return SetUpStep("PLACE", do, ("Middle clip off as soon as it is fixed.", *ends))


def _thread_places(thread: StrungThread, made: WorkedPattern) -> str:
    """Where a thread's ends go, with the numbers that their tags bear."""
    places = made.structure.places
    if not thread.double:
        return f"place {thread.strands[0]}: {places[thread.strands[0] - 1]}"
    ends = " ↔ ".join(f"place {strand}, {places[strand - 1]}" for strand in thread.strands)
    return f"thread {thread.number}: {ends}"


def _tama(made: WorkedPattern, settings: Settings) -> SetUpStep:
    tama = settings.stand.tama_g
    caution = f"{WEIGHTS} {OLD_LEAD}"
    if isinstance(tama, float):
        details = ("Wind all to one level, tape each thread to the rim; bead clips stay on.",)
        return SetUpStep(f"{tama:g} G", f"A tama of {tama:g} g on every strand", details, caution)
    each = tuple(
        f"{place}: {grams:g} g" for place, grams in zip(made.structure.places, tama, strict=False)
    )
    return SetUpStep("TAMA", "A tama on every strand, as set", each, caution)


def _weight(made: WorkedPattern, settings: Settings) -> SetUpStep:
    found = made.weighing
    if found is None:
        wrong = (
            f"your tama or weights do not go with {made.plan.strands} strands:"
            " set them in settings.toml under [stand]"
        )
        return SetUpStep("WEIGHT", "Hang a counterweight of about half the tama", (wrong,), WEIGHTS)
    first = found.steps[0]
    hung = " + ".join(f"{grams:g}" for grams in sorted(first.weights_g, reverse=True))
    bag = f" with the bag's {settings.stand.bag_g:g}" if settings.stand.bag_g else ""
    why = f"{found.hanging.fraction:g} of tama and beads asks for {found.start_g:.0f} g"
    if not first.counterweight_g and found.start_g and first.leaves_band_at is not None:
        do = f"Hang about {found.start_g:.0f} g: your own weights do not make it"
        return SetUpStep(
            "WEIGHT", do, tuple(f"{w[:1].upper()}{w[1:]}." for w in found.warnings), WEIGHTS
        )
    if not first.counterweight_g:
        return SetUpStep("NO WEIGHT", "No counterweight: the core and beads hang enough", (why,))
    change = f"{found.says[:1].upper()}{found.says[1:]}."
    if len(found.steps) == 1 and made.growth.length_mm <= SMALL:
        change = f"A small piece: {found.says}."
    details = (f"{why[:1].upper()}{why[1:]}.", change, *(f"{w}." for w in found.warnings))
    return SetUpStep(
        f"{first.counterweight_g:g} G",
        f"Counterweight on: {hung or 'the bag alone'}{bag} g",
        details,
        WEIGHTS,
    )


def _hangs(made: WorkedPattern, settings: Settings) -> WeightsHung:
    """What hangs once these steps are done."""
    found = made.weighing
    if found is None:
        return WeightsHung(stand_weights_of(settings, made.plan.strands).tama_g)
    first = found.steps[0]
    if not first.counterweight_g and found.start_g and first.leaves_band_at is not None:
        return WeightsHung(found.hanging.tama_g, round(found.start_g, 1))
    later = tuple(HungFrom(step.cross, step.counterweight_g) for step in found.steps[1:])
    return WeightsHung(found.hanging.tama_g, first.counterweight_g, first.weights_g, later)


def _clips(made: WorkedPattern) -> SetUpStep:
    beads = any(made.plan.loads)
    details = [
        f"Only now that the weight hangs: tape off{', then the bead clips' if beads else ''}.",
        "Look at the point of braiding; too high or too low is answered in grams.",
    ]
    found = passing(made.plan, made.sizes)
    finish = None if found is None else found.finish_needle
    if finish is not None and finish.needle is not None:
        number = finish.needle.number
        details.append(f"For the end lay ready: needle no. {number}. Advice: try one bead first.")
    word, do = ("CLIPS OFF", "Tape and bead clips off") if beads else ("TAPE OFF", "Tape off")
    return SetUpStep(word, do, tuple(details))
