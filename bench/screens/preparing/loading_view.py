"""Guided loading as pictures: how to begin, the group to put on, and the loaded set."""

from __future__ import annotations

from collections.abc import Iterator

from rich.cells import cell_len

from bench.craft.cautions import GLASS, NEEDLES, REST
from bench.craft.cutting import passing
from bench.craft.stringing import Half
from bench.craft.words import in_words, ordinal, plural
from bench.making.loading import MOST_SETS, set_tag
from bench.making.trays import trays_for
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.header import headed
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.page import caution, foot, is_short, numbered, paragraph, title
from bench.screens.kit.view import View
from bench.screens.preparing.loader import Loader
from bench.screens.preparing.proving_view import draw_mend, draw_prove
from bench.screens.preparing.thread_view import draw_thread

TENS_FROM = 20
FIELD = 5
"""Columns of the field in a bead's colour."""


def draw_loading(loader: Loader, view: View) -> Canvas:
    """Draw the page that loading is at."""
    canvas = headed(loader.braid.state, view)
    if loader.braid.state.paused:
        _draw_pause(canvas, loader, view)
        return canvas
    pages = {
        "begin": _draw_begin,
        "string": _draw_string,
        "prove": draw_prove,
        "mend": draw_mend,
        "done": _draw_done,
    }
    pages[loader.page](canvas, loader, view)
    return canvas


def _draw_begin(canvas: Canvas, loader: Loader, view: View) -> None:
    made, loading, short = loader.made, loader.loading, is_short(view)
    below = foot(canvas, view, "begin with the first thread")
    threads = f"{loading.beads_in_all:,} beads on {plural(len(loading.threads), 'thread')}"
    asks = "How many sets, one after the other?"
    x, y = title(canvas, view, "LOAD", "call", [threads, asks, "", "TAB  weigh some beads first"])
    canvas.zone(x, 5, 30, 1, "tab")
    canvas.text(x, 4, f"◀ {loader.sets} ▶", "picked")
    canvas.text(x + 9, 4, f"a number up to {MOST_SETS}, or LEFT and RIGHT")
    canvas.zone(x, 4, 3, 1, "left")
    canvas.zone(x + 3, 4, 4, 1, "right")
    beads = passing(made.plan, made.sizes)
    steps = [
        f"Cut, for each set: {made.thread_said(loader.settings)}.",
        _clip_words(loader),
        beads.loading_says if beads is not None else "",
        f"Count the needles out. Lay out a tray for each bead, {_for_sets(loader.sets, short)}:",
    ]
    y = numbered(canvas, y, [step for step in steps if step], below)
    x = 4
    for tray in trays_for(made, loader.sets, loader.settings):
        row = tray.line
        core = f" + {tray.core} core" if tray.core else ""
        needed = "" if short else f" ({tray.strung}{core})"
        text = f"{row.bead} {tray.lay_out} × {row.size}{needed}"
        if x + cell_len(text) + 5 > view.width:
            x, y = 4, y + 1
        if y < below:
            canvas.text(x, y, "██", row.colour)
            canvas.text(x + 3, y, text)
        x += cell_len(text) + 6
    for said in _of_tubes(loader):
        if y + 1 < below:
            y += 1
            canvas.text(4, y, said, "", view.width - 5)
    y = caution(canvas, y + 1, GLASS if short else f"{GLASS} {NEEDLES}", below)
    paragraph(canvas, y, REST, "", below)


def _of_tubes(loader: Loader) -> Iterator[str]:
    """Which dye lots the beads come from, and of which the tubes do not hold enough."""
    lots = loader.tubes.dye_lots()
    if lots:
        said = ", ".join(f"{letter} {lot or 'without a number'}" for letter, lot in lots.items())
        yield f"dye lots: {said}"
    short = []
    for tray in trays_for(loader.made, loader.sets, loader.settings):
        left, needed = loader.tubes.left_of(tray.line.bead), tray.strung + tray.core
        if left is not None and left < needed:
            short.append(f"{tray.line.bead} {left} of {needed}")
    if short:
        yield f"not enough in the tubes: {', '.join(short)}"


def _for_sets(sets: int, short: bool) -> str:
    """For how many sets the trays are, and what is in their counts beside what is needed."""
    for_these = "for the set" if sets == 1 else f"for all {sets} sets"
    return f"{for_these}, with spare and culls{'' if short else ' (without them)'}"


def _clip_words(loader: Loader) -> str:
    """Where clip and needle sit; where threads differ, for each kind of them."""
    kinds = {thread.double: thread for thread in reversed(loader.loading.threads)}
    said = [
        f"{('a double length' if double else 'a single strand') if len(kinds) > 1 else 'it'}"
        f" {thread.clip}; the needle goes on {thread.needle}."
        for double, thread in sorted(kinds.items(), reverse=True)
    ]
    return " ".join(f"Clip {text}" for text in said)


def _draw_string(canvas: Canvas, loader: Loader, view: View) -> None:
    loading, short = loader.loading, is_short(view)
    thread, half = loading.at
    now = loading.next
    assert now is not None
    canvas.zone(0, 0, view.width, view.height, "next")
    below = foot(canvas, view, "these are on")
    bead = loader.made.pattern.beads[now.bead]
    text = f"{now.count} {view.signs.get(now.bead, now.bead)}"
    scale = 2 if view.width >= 116 and view.height >= 38 else 1
    said = loader.said or view.said
    first = loader.turned if not said else ""
    y = 2
    if first:
        canvas.text(1, y, "FIRST", "warn")
        for line in wrap(first, view.width - 8):
            canvas.text(7, y, line, "warn")
            y += 1
    end = big(canvas, 2, y, text, "bead", scale) + 2
    if view.colours:
        for row in range(HEIGHT * scale):
            canvas.text(end, y + row, "█" * FIELD * scale, bead.colour)
        end += FIELD * scale
    x, room = end + 2, view.width - end - 3
    count = in_words(now.count)
    canvas.text(x, y, f"PUT ON {count.upper()} OF", "call", room)
    canvas.text(x, y + 1, words.bead_words(loader.made.plan, now.bead), "bold", room)
    canvas.text(x, y + 2, "██████", bead.colour)
    canvas.text(x + 7, y + 2, now.bead, "bold", room - 7)
    if now.count > TENS_FROM:
        tens, over = divmod(now.count, 10)
        more = f" and {over}" if over else ""
        canvas.text(x + 10, y + 2, f"{plural(tens, 'ten')}{more}", "bold", room - 10)
    then = loading.then
    following = f"then {loader.words_of(then)}" if then is not None else "then this end is full"
    canvas.text(x, y + 4, following, "", room)
    y += HEIGHT * scale
    if not short:
        canvas.rule(y)
        y += 1
    y = _draw_ends(canvas, y, loader, half, room=view.width - 2)
    if not short:
        y += 1
    draw_thread(canvas, 1, y, view.width - 2, thread, half, loading.held)
    y += 2
    held = loading.held(half)
    lines = [
        ("ON", f"{held} on this end, {now.on} with these, {half.total} when it is full"),
        ("ALL", _threads_line(loader, view.width - 8)),
    ]
    tube = loader.tube_words
    if tube:
        parts = wrap(tube, view.width - 8)[:2]
        lines += [("" if at else "TUBE", part) for at, part in enumerate(parts)]
    last = wrap(said or loader.done, view.width - 8)
    spare = max(0, below - y - (not short) - len(lines) - len(last))
    for line in wrap(thread.says, view.width - 2)[: min(spare, 2)]:
        canvas.text(1, y, line)
        y += 1
    if not short:
        canvas.rule(y)
        y += 1
    for name, line in lines:
        canvas.text(1, y, name, "dim")
        canvas.text(7, y, line, "", view.width - 8)
        y += 1
    if tube:
        canvas.zone(1, y - 1, view.width - 2, 1, "tab")
    canvas.text(1, y, "LAST", "dim")
    for line in last:
        if y < below:
            canvas.text(7, y, line, "warn" if said else "")
        y += 1


def _draw_ends(canvas: Canvas, y: int, loader: Loader, half: Half, room: int) -> int:
    """Write where the end in hand goes, and the other end of the same thread."""
    thread, _ = loader.loading.at
    which = ("THE LEFT END", "THE RIGHT END") if thread.double else ("THIS STRAND",)
    x = canvas.text(1, y, f"{which[thread.halves.index(half)]} goes to ", "bold")
    canvas.text(x, y, loader.place_of(half).upper(), "call", room - x + 1)
    other = next((h for h in thread.halves if h is not half), None)
    if other is not None:
        held = loader.loading.held(other)
        full = "full" if held >= other.total else f"{held} on" if held else "empty"
        text = f"Its other end goes to {loader.place_of(other)} ({full})."
        canvas.text(1, y + 1, text, "", room)
    else:
        canvas.text(1, y + 1, "A single strand.", "", room)
    return y + 2


def _threads_line(loader: Loader, room: int) -> str:
    loading = loader.loading
    here, half = loading.at
    signs = []
    for thread in loading.threads:
        if loading.thread_done(thread):
            signs.append(f"{thread.number} ■")
        elif thread is here:
            signs.append(f"[{thread.number}]")
        else:
            signs.append(f"{thread.number} ·")
    end = ""
    if here.double:
        end = f", {ordinal(here.halves.index(half) + 1)} end of two"
    number = loading.threads.index(here) + 1
    text = f"thread {number} of {len(loading.threads)}{end}"
    count = f"{loading.beads_on} of {loading.beads_in_all}"
    line = f"{text}    {'  '.join(signs)}    {count} beads"
    return line if len(line) <= room else f"{text}    {count}"


def _draw_done(canvas: Canvas, loader: Loader, view: View) -> None:
    loading = loader.loading
    main = "load the next set" if loader.more_to_come else "set it up on the stand"
    below = foot(canvas, view, main)
    _, y = title(canvas, view, "LOADED", "good", [])
    threads = plural(len(loading.threads), "thread")
    canvas.text(1, y, f"{loading.beads_on:,} beads on {threads}, each end proved", "bold")
    y += 2
    tag = set_tag(loader.braid.state)
    steps = [
        "Count the needles in: none in a thread, none in the cloth.",
        f"One tag more holds the set together: “{tag}”.",
    ]
    if loader.more_to_come:
        steps.append("Lay it away flat; it waits on the list under that tag, to be set up.")
    y = numbered(canvas, y, steps, below)
    y = caution(canvas, y + 1, NEEDLES, below)
    paragraph(canvas, y, REST, "", below)
    canvas.text(1, below - 1, loader.said or view.said, "warn")


def _draw_pause(canvas: Canvas, loader: Loader, view: View) -> None:
    below = foot(canvas, view, "go on")
    _, y = title(canvas, view, "PAUSE", "call", [])
    thread, half = loader.loading.at
    end = f"thread {thread.number}, the end for {loader.place_of(half)}"
    now = loader.loading.next
    steps = [
        f"In hand: {end}, {plural(loader.loading.held(half), 'bead')} on.",
        f"Next: {loader.words_of(now)}." if now is not None else "Next: it is proved.",
        "Clip that end, so that nothing slides off; stick the needle where it is seen.",
        REST,
    ]
    numbered(canvas, y, steps, below)
