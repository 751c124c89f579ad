"""Proving as pictures: how an end is proved, and what to do when it is not right."""

from __future__ import annotations

from bench.craft.half_proof import HalfProof, scale_says
from bench.craft.stringing import Half
from bench.making.loading import end_tag
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.page import foot, is_short, numbered, paragraph, title
from bench.screens.kit.view import View
from bench.screens.preparing.loader import Loader
from bench.screens.preparing.thread_view import draw_levels, levels_of


def draw_prove(canvas: Canvas, loader: Loader, view: View) -> None:
    """Draw how the thread in hand is proved, and what to do before it is laid away."""
    thread, _ = loader.loading.at
    number = loader.loading.threads.index(thread) + 1
    halves = loader.to_prove
    both = len(halves) == 2
    below = foot(canvas, view, "all level: it is right" if both else "it is right")
    beside = [f"thread {number} of {len(loader.loading.threads)}"]
    beside += [loader.place_of(half) for half in halves]
    _, y = title(canvas, view, "PROVE", "call", beside)
    proving = loader.loading.proving[halves[0].strand]
    if proving.how == "side by side":
        y = _draw_side_by_side(canvas, y, halves, below)
    else:
        y = paragraph(canvas, y, f"{proving.says[:1].upper()}{proving.says[1:]}.", "bold", below)
        y = _draw_figure(canvas, y, proving, halves[0])
    scale = loader.settings.stand.has_scale
    if scale and proving.weighed and proving.how != "weight" and not is_short(view):
        y = paragraph(canvas, y, f"By weight: {scale_says(proving.weighed)}.", "", below)
    # The first end of two was clipped and tagged when the second was begun.
    tag = end_tag(loader.braid.state, thread, halves[-1])
    steps = [
        f"No needle left in the thread; bead clip on this end{' too' if both else ''}.",
        f"Tag it “{tag}”: setting up, it is called to its place by that.",
    ]
    numbered(canvas, y + 1, steps, below)
    canvas.text(1, below - 1, loader.said or view.said, "warn")


def _draw_side_by_side(canvas: Canvas, y: int, halves: list[Half], below: int) -> int:
    start = "the braid end" if halves[0].reverse else "the middle clip"
    asks = f"Lay both ends side by side from {start}. Every change must lie level:"
    y = paragraph(canvas, y, asks, "bold", below)
    y = draw_levels(canvas, 2, y, canvas.width - 4, levels_of(halves[0], halves[1]))
    text = f"{halves[0].total} beads on each; the last ones level too."
    return paragraph(canvas, y, text, "", below)


def _draw_figure(canvas: Canvas, y: int, proving: HalfProof, half: Half) -> int:
    """Draw what the scale or the count must show, large."""
    figure = "" if proving.how == "length" else str(half.total)
    if proving.how == "weight" and proving.weighed is not None:
        figure = f"{proving.weighed.proof.least_g:.4g}-{proving.weighed.proof.most_g:.4g} G"
    if not figure or width_of(figure) > canvas.width - 3:
        return y
    big(canvas, 2, y + 1, figure, "bead")
    return y + HEIGHT + 2


def draw_mend(canvas: Canvas, loader: Loader, view: View) -> None:
    """Draw how to find the group that is wrong, and the ways to put it right."""
    halves = loader.to_prove
    below = foot(canvas, view, "it is mended and right now")
    _, y = title(canvas, view, "NOT RIGHT", "warn", [])
    if len(halves) == 2:
        start = "braid end" if halves[0].reverse else "middle"
        asks = (
            f"Find it: from the {start} outward, the first change that is not level. The group"
            " before it is wrong on one of the ends. Count it on both; it should be:"
        )
        y = paragraph(canvas, y, asks, "bold", below)
        y = draw_levels(canvas, 2, y, canvas.width - 4, levels_of(halves[0], halves[1]))
    else:
        proving = loader.loading.proving[halves[0].strand]
        groups = " ".join(f"{g.count}{g.bead}" for g in halves[0].release[:30])
        asks = f"Find it: count each group from the braid end. It should be: {groups}"
        y = paragraph(canvas, y, asks, "bold", below - 6)
        text = f"{proving.strung_mm:.0f} mm when pushed together"
        y = paragraph(canvas, min(y, below - 6), text, "", below)
    if not is_short(view):
        y += 1
    for number, half in enumerate(halves, 1):
        canvas.text(1, y, str(number), "key")
        place = loader.place_of(half)
        text = f"beads off from the free end of {place}"
        if loader.loading.lies_behind(half):
            text = f"{place}: far half, mend it from its clipped end"
        canvas.text(4, y, text, "bold", view.width - 5)
        canvas.zone(1, y, canvas.width - 2, 1, str(number))
        y += 1
    back, done = view.keys.name("back"), view.keys.name("next")
    ways = (
        f"That takes its last group off; from then on {back} takes one more, down to the wrong"
        " group, and the screen leads you on from there.",
        f"One bead too many: break it out, cloth over it, goggles on; then {done}.",
    )
    for text in ways:
        y = paragraph(canvas, y, text, "", below - 1)
    canvas.text(1, below - 1, loader.said or view.said, "warn")
