"""The recipe card: as text, and as a page to keep."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING

from bench.craft.load import write_load
from bench.craft.text import cleaned
from bench.craft.words import full_name, plural
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.recipe import RecipeAnswer, RecipeBead, RecipeCore


def recipe_lines(answer: RecipeAnswer, width: int = WIDTH) -> list[str]:
    """What `recipe` prints."""
    lines = [f"RECIPE: {cleaned(answer.piece)}", ""]
    for head, text in _facts(answer):
        lines += headed(head.upper(), cleaned(text, 2000), indent=15, width=width)
    if answer.begun is not None:
        said = f"{plural(answer.pieces, 'piece')} of it: the commission {answer.begun} is begun"
        lines += headed("AGAIN", cleaned(said), indent=15, width=width)
    for said in answer.differs:
        lines += headed("BY NOW", cleaned(said, 2000), indent=15, width=width)
    return lines


def recipe_html(answer: RecipeAnswer) -> str:
    """The card on one page."""
    rows = "".join(
        f"<tr><td>{escape(head)}</td><td>{safe(text)}</td></tr>" for head, text in _facts(answer)
    )
    now = "".join(f"<li>{safe(said)}</li>" for said in answer.differs)
    for_ = plural(answer.pieces, "piece")
    now = f"<h2>For {for_} more, by now</h2><ul>{now}</ul>" if now else ""
    title = f"Recipe: {answer.piece}"
    return page(title, f"<h1>{safe(title)}</h1><table>{rows}</table>{now}")


def _facts(answer: RecipeAnswer) -> Iterator[tuple[str, str]]:
    what = full_name(answer.title, answer.size, answer.colourway)
    yield "pattern", f"{what}, {answer.version_words or f'as it was on {answer.begun_on}'}"
    begun = "" if answer.begun_on == answer.made_on else f", begun {answer.begun_on}"
    yield "made", f"{answer.made_on}{begun}, {answer.lot} of {answer.commission}"
    if answer.like is not None:
        yield "begun like", answer.like
    yield "sample", _sample(answer)
    for bead in answer.beads:
        yield f"bead {bead.letter}", _bead(bead)
    alike = len(set(answer.loads)) == 1
    for strand, load in enumerate(answer.loads, 1):
        if load and (strand == 1 or not alike):
            yield "each strand" if alike else f"strand {strand}", write_load(load)
    if answer.core is not None:
        yield "core", _core(answer.core)
    yield "crosses", _crosses(answer)
    cut = answer.thread_cut_mm
    measured = "" if cut is None else f"; a strand of it was cut at {cut:.0f} mm"
    yield "thread", f"{answer.cut}, by your settings of today{measured}"
    yield "needles", answer.needles
    yield "weights", _weights(answer)
    for one in answer.on_the_way:
        left_out = "" if one.done else " (not marked as done)"
        yield "on the way", f"after cross {one.after_cross}: {one.what}{left_out}"
    measures = [
        f"{value:.{digits}f} {unit}"
        for value, unit, digits in (
            (answer.length_mm, "mm long", 1),
            (answer.thickness_mm, "mm thick", 1),
            (answer.weight_g, "g", 2),
        )
        if value is not None
    ]
    yield "measured", ", ".join(measures) or "nothing was measured"
    for bad in answer.not_good:
        yield "not good", f"{bad.piece}, {bad.status}: {bad.reason}"


def _sample(answer: RecipeAnswer) -> str:
    said = "not signed off" if answer.signed_off is None else f"signed off on {answer.signed_off}"
    if answer.approved is not None:
        return f"{said}, approved by the customer on {answer.approved}"
    waived = "" if answer.waived is None else f"; not waited for: {answer.waived}"
    return f"{said}, not approved by the customer{waived}"


def _bead(bead: RecipeBead) -> str:
    labels = [f"{bead.core} of them in the core"] if bead.core else []
    labels += [f"dye lot {lot}" for lot in bead.dye_lots]
    labels += [f"no. {number}" for number in bead.numbers]
    shape = "" if bead.shape == "round" else f" {bead.shape}"
    return ", ".join([f"{bead.count} × {bead.size}{shape} {bead.name}", *labels])


def _core(core: RecipeCore) -> str:
    cut = "" if core.cut_mm is None else f", {core.cut_mm:.0f} mm of it"
    beads = f"; {core.beads}, first in first" if core.beads else ""
    down = "" if core.down_after_cross is None else f"; down after cross {core.down_after_cross}"
    return f"on a {core.on}{cut}{beads}{down}"


def _crosses(answer: RecipeAnswer) -> str:
    beaded = answer.crosses - answer.plain_start - answer.plain_end
    if not any(answer.loads):
        return f"{answer.crosses}, all of them plain"
    parts = f"{answer.plain_start} plain, {beaded} with beads, {answer.plain_end} plain"
    return f"{parts}: {answer.crosses} in all"


def _made_up(answer: RecipeAnswer) -> str:
    """What the counterweight was made up of, where that is known."""
    parts = [f"{grams:g}" for grams in sorted(answer.weights_g, reverse=True)]
    bag = (answer.counterweight_g or 0.0) - sum(answer.weights_g)
    parts += [f"the bag's {bag:g}"] if parts and bag > 0.05 else []
    return f" ({' + '.join(parts)})" if len(parts) > 1 else ""


def _weights(answer: RecipeAnswer) -> str:
    tama = ", ".join(f"{grams:g}" for grams in sorted(set(answer.tama_g)))
    said = f"tama {tama} g"
    if answer.counterweight_g is not None:
        said += f", counterweight {answer.counterweight_g:g} g{_made_up(answer)} to begin with"
    for one in answer.weights_later:
        said += f", {one.counterweight_g:g} g after cross {one.after_cross}"
    return f"{said}, as hung" if answer.as_hung else f"{said} (as your settings are today)"
