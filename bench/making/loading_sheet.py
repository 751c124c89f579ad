"""The loading sheet of a pattern worked up."""

from __future__ import annotations

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
from bench.craft.cautions import cautions_for
from bench.craft.cutting import Cutting, passing
from bench.craft.growth import thread_mm
from bench.craft.half_proof import HalfProof, HalfWeighing, prove_all, scale_says
from bench.craft.load import SKIP
from bench.craft.stringing import StrungThread, picture, string_up
from bench.documents.settings import Settings
from bench.making.core_answer import core_beads, core_part
from bench.making.worked_pattern import WorkedPattern


def sheet_of(made: WorkedPattern, settings: Settings) -> LoadingSheet:
    """The loading sheet of one piece; what is unsound in the pattern is said by its workup."""
    threads = string_up(made.plan)
    proofs = {
        proof.strand: proof
        for proof in prove_all(threads, made.sizes, made.masses, settings.stand.scale_g)
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
    cutting = made.cutting(settings)
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
        cautions=cautions_for(made.plan, made.sizes),
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


def _predicted(made: WorkedPattern) -> PredictedBraid:
    return PredictedBraid(
        length_mm=round(made.growth.length_mm, 1),
        length_low_mm=round(made.growth.low_mm, 1),
        length_high_mm=round(made.growth.high_mm, 1),
        diameter_mm=round(made.growth.diameter_mm, 1),
        diameter_at_most=made.growth.diameter_at_most,
        rests_on="; ".join(made.calibration.corrections.says_of_braid) or made.growth.length_by,
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
        diameter_mm=round(thread_mm(made.pattern.threads), 2),
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
    proof = weighed.proof
    return WeighingLine(
        expected_g=round(proof.expected.mean_g, 4),
        least_g=round(proof.least_g, 4),
        most_g=round(proof.most_g, 4),
        false_alarm=round(proof.false_alarm, 4),
        tells=proof.tells,
        notices_one_bead={
            letter: round(min(one.missing, one.extra), 4)
            for letter, one in weighed.by_letter.items()
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
