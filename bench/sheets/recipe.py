"""The recipe card: as text, and as a page to keep."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import full_name, plural
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.recipe import RecipeAnswer


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


def _facts(answer: RecipeAnswer) -> list[tuple[str, str]]:
    found = [
        ("pattern", f"{full_name(answer.title, answer.size, answer.colourway)},"
                    f" version {answer.version}"),
        ("made", f"{answer.made_on}, {answer.lot} of {answer.commission}"),
    ]  # fmt: skip
    for bead in answer.beads:
        labels = [f"dye lot {lot}" for lot in bead.dye_lots]
        labels += [f"no. {number}" for number in bead.numbers]
        shape = "" if bead.shape == "round" else f" {bead.shape}"
        text = f"{bead.count} × {bead.size}{shape} {bead.name}"
        found.append((f"bead {bead.letter}", ", ".join([text, *labels])))
    alike = len(set(answer.loads)) == 1
    for strand, load in enumerate(answer.loads, 1):
        if load and (strand == 1 or not alike):
            found.append(("each strand" if alike else f"strand {strand}", load))
    tama = sorted(set(answer.tama_g))
    weights = f"tama {', '.join(f'{grams:g}' for grams in tama)} g"
    if answer.counterweight_g is not None:
        weights += f", counterweight {answer.counterweight_g:g} g to begin with"
    found += [
        ("thread", f"{answer.thread}; {answer.cut}"),
        ("needles", answer.needles),
        ("weights", f"{weights} (as your settings are today)"),
    ]
    measures = [
        f"{value:.{digits}f} {unit}"
        for value, unit, digits in (
            (answer.length_mm, "mm long", 1),
            (answer.thickness_mm, "mm thick", 1),
            (answer.weight_g, "g", 2),
        )
        if value is not None
    ]
    found.append(("measured", ", ".join(measures) or "nothing was measured"))
    return found
