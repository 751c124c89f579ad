"""Preparation put together: from a pattern worked up to the sheet and the weights."""

from __future__ import annotations

from collections.abc import Sequence

from bench.answers.loading_sheet import (
    BeadLine,
    CutLine,
    GroupLine,
    LoadingSheet,
    MarkLine,
    PredictedBraid,
    ProofLine,
    StrandLine,
    ThreadAndNeedle,
    ThreadLine,
    WeighingLine,
)
from bench.answers.weights import WeightChangeLine, WeightsAnswer
from bench.craft.bead_weighings import masses_of
from bench.craft.cutting import Cutting, cut_for, passing
from bench.craft.growth import thread_mm
from bench.craft.half_proof import HalfProof, HalfWeighing, prove_all, scale_says
from bench.craft.load import SKIP
from bench.craft.stringing import StrungThread, picture, string_up
from bench.craft.weight_plan import StandWeights, WeightPlan, core_mass_g, weigh
from bench.craft.weight_proof import BeadMass
from bench.documents.settings import Settings
from bench.making.calibration import hang_of
from bench.making.core_answer import core_beads, core_part
from bench.making.worked_pattern import WorkedPattern, hanging_of

GLASS = "Glass splinters: break beads under a cloth, goggles on; sweep the bench."
NEEDLES = "Needles: count them out and in; none left in the thread or the cloth."
WIRE = "Wire ends are sharp and spring: clip both ends, eyes away, bin the pieces."
GLUE = "Glue: by its label and local rules, little at a time, with air, off skin."
WEIGHTS = "Weights: never over feet. Stick in, then weight off; weight on, then stick out."
REST = "Rest eyes and hands a few minutes every half hour or so: advice, not proof."


def cautions_of(made: WorkedPattern) -> tuple[str, ...]:
    """The cautions that go with a piece, in the order of the work."""
    pattern = made.pattern
    found = passing(made.plan, made.sizes)
    beaded = any(made.plan.loads)
    needled = found is not None and (
        found.loading.needle is not None or found.finish_needle is not None
    )
    wired = pattern.core is not None and pattern.core.on == "wire"
    glued = pattern.finish.dry_minutes > 0
    said = (
        (beaded, GLASS), (needled, NEEDLES), (wired, WIRE), (glued, GLUE), (True, WEIGHTS),
        (True, REST),
    )  # fmt: skip
    return tuple(text for holds, text in said if holds)


def cutting_of(made: WorkedPattern, settings: Settings) -> Cutting:
    """What to cut for one piece, with the take-up that measured pieces have shown."""
    take_up = max(1.0, settings.thumb.take_up * made.calibration.corrections.take_up.factor)
    return cut_for(made.plan, made.growth.length_mm, hang_of(settings.thumb), take_up)


def bead_masses(made: WorkedPattern) -> dict[str, BeadMass]:
    """The mass of each bead by letter, improved by everything that was weighed."""
    return masses_of(made.pattern, made.sizes, made.calibration.weighed)


def sheet_of(made: WorkedPattern, settings: Settings) -> LoadingSheet:
    """The loading sheet of one piece; what is unsound in the pattern is said by its workup."""
    threads = string_up(made.plan)
    masses = bead_masses(made)
    proofs = {
        proof.strand: proof
        for proof in prove_all(threads, made.sizes, masses, settings.stand.scale_g)
    }
    halves = [(thread, half) for thread in threads for half in thread.halves]
    strands = [
        StrandLine(
            strand=half.strand,
            place=made.structure.places[half.strand - 1],
            thread=thread.number,
            half=half.side,
            strung_as=number,
            string=tuple(GroupLine(bead=g.bead, count=g.count, on=g.on) for g in half.string),
            total=half.total,
            prove=_prove_out(proofs[half.strand]),
        )
        for number, (thread, half) in enumerate(halves, 1)
    ]
    cutting = cutting_of(made, settings)
    planned = made.pattern.core is not None
    return LoadingSheet(
        warnings=(*cutting.findings, *(made.weighing.warnings if made.weighing else ())),
        pattern=made.name,
        title=made.pattern.title,
        size=made.size,
        colourway=made.colourway,
        structure=made.structure.title,
        crosses=made.plan.crosses,
        rows=made.plan.rows if made.plan.last_bead_cross else 0,
        beads_in_all=sum(len(load.replace(SKIP, "")) for load in made.plan.loads),
        predicted=_predicted(made),
        sample=made.calibration.sample,
        beads=bead_rows(made),
        strung=made.pattern.threads.strung,
        double_lengths=tuple(_thread_out(t) for t in threads if t.double),
        single_strands=tuple(_thread_out(t) for t in threads if not t.double),
        strands=tuple(sorted(strands, key=lambda s: s.strand)),
        thread=_thread_part(made, cutting),
        core=core_part(made) if planned else None,
        counterweight=_counterweight(made, settings),
        marks=tuple(
            MarkLine(after_cross=m.after_cross, do=m.do, caution=m.caution) for m in made.marks
        ),
        cautions=cautions_of(made),
    )


def bead_rows(made: WorkedPattern) -> tuple[BeadLine, ...]:
    """Every kind of bead that a piece takes, by letter, with its counts."""
    strung = "".join(made.plan.loads)
    inside = core_beads(made)
    return tuple(
        BeadLine(
            bead=letter,
            size=bead.size,
            shape=bead.shape,
            colour=bead.colour,
            name=bead.name,
            count=strung.count(letter),
            core=inside.count(letter),
            diameter_mm=made.sizes[letter].diameter_mm,
        )
        for letter, bead in sorted(made.pattern.beads.items())
        if letter in strung or letter in inside
    )


def weights_answer(
    made: WorkedPattern,
    settings: Settings,
    *,
    tama_g: Sequence[float] | None = None,
    fraction: float | None = None,
    weights_g: Sequence[float] | None = None,
    point: tuple[str, int] | None = None,
) -> WeightsAnswer:
    """What `weights` says. One tama weight counts for all strands; None: as set.

    `point` is what the maker sees at the point of braiding, "high" or "low", and the crosses
    made. Raises ValueError for weights or a fraction that cannot be.
    """
    usual = hanging_of(settings, made.plan.strands)
    tama = usual.tama_g if tama_g is None else tuple(tama_g)
    hanging = StandWeights(
        tama * made.plan.strands if len(tama) == 1 else tama,
        usual.weights_g if weights_g is None else tuple(weights_g),
        usual.fraction if fraction is None else fraction,
        usual.bag_g,
    )
    masses = {letter: mass.mean_g for letter, mass in bead_masses(made).items()}
    halts = [m.after_cross for m in made.marks if m.id.startswith("halt-")]
    found = weigh(made.plan, masses, hanging, halts)
    least, most = found.shares
    return WeightsAnswer(
        warnings=found.warnings,
        pattern=made.name,
        fraction=hanging.fraction,
        start_g=round(found.start_g, 1),
        end_g=round(found.end_g, 1),
        hang_g=tuple(round(grams, 2) for grams in found.hang_g),
        core_g=round(core_mass_g(made.plan, masses), 2),
        bag_g=hanging.bag_g,
        angle_deg=round(found.angle_deg, 1),
        least_share=round(least, 3),
        most_share=round(most, 3),
        says=found.says,
        schedule=tuple(
            WeightChangeLine(
                cross=step.cross,
                counterweight_g=round(step.counterweight_g, 1),
                take_off_g=step.take_off_g,
                add_g=step.add_g,
            )
            for step in found.steps
        ),
        point=point_answer(found, *point) if point is not None else None,
    )


def point_answer(weighing: WeightPlan, seen: str, crosses_made: int) -> str:
    """What to do about a point of braiding that lies too high or too low, in grams."""
    if seen == "level":
        return "leave the weight as it is"
    nudge = weighing.nudge("high" if seen == "high" else "low", crosses_made)
    return f"{nudge.says} ({nudge.rests_on})"


def _predicted(made: WorkedPattern) -> PredictedBraid:
    measured = made.calibration.corrections
    shifted = [
        shift.says(what)
        for shift, what in ((measured.length, "length"), (measured.thickness, "thickness"))
        if shift.pieces
    ]
    base = made.growth.guessed or "the lattice of columns; not measured yet"
    return PredictedBraid(
        length_mm=round(made.growth.length_mm, 1),
        diameter_mm=round(made.growth.diameter_mm, 1),
        rests_on="; ".join(shifted) or base,
    )


def _thread_out(thread: StrungThread) -> ThreadLine:
    return ThreadLine(
        thread=thread.number,
        strands=thread.strands,
        clip=thread.clip,
        needle=thread.needle,
        says=thread.says,
        picture=picture(thread, 78),
    )


def _thread_part(made: WorkedPattern, cutting: Cutting) -> ThreadAndNeedle:
    found = passing(made.plan, made.sizes)
    says = [
        f"a strand is {cutting.worked_in_mm:.0f} mm worked in (take-up {cutting.take_up:.2g}) and"
        f" {cutting.hang_mm:.0f} mm hang: rules of thumb, set in settings.toml"
    ]
    if found is None:
        says.append("no beads, so no needle")
    else:
        says.append(found.loading.rests_on if found.loading.needle else found.stiffened.says)
    says += [s for s in (made.calibration.corrections.take_up.says("thread worked in"),) if s]
    if found is not None:
        if found.finish is not None:
            says.append(found.finish.says)
        if found.avoid:
            letters = ", ".join(found.avoid)
            says.append(f"the ends are strung without {letters}: the hole is too narrow for them")
        if found.end_bead is not None:
            says.append(found.end_bead.says)
    return ThreadAndNeedle(
        name=made.pattern.threads.name,
        diameter_mm=round(thread_mm(made.pattern.threads), 3),
        cuts=tuple(
            CutLine(lengths=c.lengths, strands_each=c.strands_each, cut_mm=c.cut_mm)
            for c in cutting.cuts
        ),
        total_m=round(cutting.total_m, 3),
        worked_in_mm=round(cutting.worked_in_mm, 1),
        hang_mm=cutting.hang_mm,
        take_up=round(cutting.take_up, 3),
        needle=found.needles if found is not None else "none: no beads",
        says=tuple(says),
    )


def _prove_out(proving: HalfProof) -> ProofLine:
    return ProofLine(
        how=proving.how,
        says=proving.says,
        strung_mm=round(proving.strung_mm, 1),
        weighed=_weighed_out(proving.weighed) if proving.weighed is not None else None,
    )


def _weighed_out(weighed: HalfWeighing) -> WeighingLine:
    first = weighed.by_letter[0][1]
    return WeighingLine(
        expected_g=round(weighed.expected_g, 4),
        least_g=round(weighed.least_g, 4),
        most_g=round(weighed.most_g, 4),
        false_alarm=round(first.false_alarm, 4),
        tells=weighed.tells,
        notices_one_bead={
            letter: round(min(proof.one_missing, proof.one_extra), 4)
            for letter, proof in weighed.by_letter
        },
        says=scale_says(weighed),
    )


def _counterweight(made: WorkedPattern, settings: Settings) -> str:
    found = made.weighing
    if found is None:
        return "your tama or weights do not go with this pattern: see settings.toml"
    asked = f"{found.start_g:.0f} g asked for at the start"
    hung = " + ".join(f"{grams:g}" for grams in found.steps[0].weights_g) or "no weight"
    bag = f" and the bag's {settings.stand.bag_g:g}" if settings.stand.bag_g else ""
    return (
        f"{found.steps[0].counterweight_g:g} g ({hung}{bag}), {asked}: {found.hanging.fraction:g}"
        f" of tama and beads; {found.says}"
    )
