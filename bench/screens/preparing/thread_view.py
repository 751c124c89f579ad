"""A thread as it lies on the bench: what is on it, what comes next, its clip and its needle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bench.craft.stringing import Half, StrungThread
from bench.screens.kit.canvas import Canvas, Style

STUB = 3


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of the drawn thread: its text, its style, whether its beads are on or come next."""

    text: str
    style: Style
    on: bool
    comes_next: bool = False


def parts_of(half: Half, held: int, *, in_hand: bool) -> list[Part]:
    """A half's groups from the braid outward; the one to put on now is framed."""
    parts = []
    for number, group in enumerate(half.string):
        before = half.string[number - 1].on if number else 0
        if group.on <= held:
            parts.append(Part(f"{group.count}{group.bead}", "bold", on=True))
        elif before <= held and in_hand:
            count = group.on - held
            parts.append(Part(f"[{count}{group.bead}]", "picked", on=False, comes_next=True))
        else:
            parts.append(Part(f"{group.count}{group.bead}", "dim", on=False))
    return parts[::-1] if half.reverse else parts


def windowed(parts: Sequence[Part], width: int) -> list[Part]:
    """The parts round the one in hand that fit a width; what is left out is shown as '…'."""
    shown = list(parts)
    if _length(shown) <= width or not shown:
        return shown
    here = next((i for i, part in enumerate(parts) if part.comes_next), None)
    if here is None:
        here = max((i for i, part in enumerate(parts) if part.on), default=0)
    first, last = here, here + 1
    while last - first < len(parts):
        wider = [(first - 1, last), (first, last + 1)]
        fitting = [
            (a, b)
            for a, b in wider
            if a >= 0 and b <= len(parts) and _length(_cut(parts, a, b)) <= width
        ]
        if not fitting:
            break
        first, last = min(fitting, key=lambda ends: abs(ends[0] + ends[1] - 2 * here))
    return _cut(parts, first, last)


def draw_thread(
    canvas: Canvas,
    x: int,
    y: int,
    width: int,
    thread: StrungThread,
    here: Half,
    held: Callable[[Half], int],
) -> None:
    """Draw a thread in two lines: the beads with clip and needle, and what those are.

    Two halves lie left and right of the middle; a single strand has its braid end on the left,
    or on the right where it is strung from there. `═` is a stretch with beads on, `─` a bare one.
    """
    if thread.double:
        _draw_double(canvas, x, y, width, thread, here, held)
        return
    parts = windowed(parts_of(here, held(here), in_hand=True), width - 2 * STUB - 2)
    end = _beads(canvas, x + 1, y, parts[::-1] if here.reverse else parts)
    canvas.text(x, y, "│", "warn")
    canvas.text(end, y, "─" * (STUB - 1) + "►", "call")
    canvas.text(x, y + 1, "clip, free end" if here.reverse else "clip, braid end")
    label = "needle, braid end" if here.reverse else "needle, free end"
    canvas.text(max(x + 18, end - len(label) + STUB), y + 1, label)


def _draw_double(
    canvas: Canvas,
    x: int,
    y: int,
    width: int,
    thread: StrungThread,
    here: Half,
    held: Callable[[Half], int],
) -> None:
    left, right = thread.halves
    middle = "─middle─" if left.reverse else "│"
    if right.reverse:
        middle = "  middle  "
    room = (width - len(middle)) // 2 - STUB - 1
    sides = [windowed(parts_of(h, held(h), in_hand=h is here), room) for h in (left, right)]
    lead = room - _length(sides[0])
    start = x + lead + STUB
    if left.reverse and right.reverse:
        _from_the_braid(canvas, start, y, middle, sides, here is left)
        return
    own = not left.reverse
    needle_left, needle_right = own and here is left, not own or here is right
    canvas.text(start - STUB, y, "◄──" if needle_left else "───", "call" if needle_left else "rule")
    if not own:
        canvas.text(start - STUB, y, "│──", "warn")
    end = _beads(canvas, start, y, sides[0][::-1])
    centre = end
    end = canvas.text(end, y, middle, "warn" if own else "rule")
    end = _beads(canvas, end, y, sides[1])
    canvas.text(end, y, "──►" if needle_right else "───", "call" if needle_right else "rule")
    if own:
        canvas.text(max(x, centre - 5), y + 1, "middle clip")
    else:
        canvas.text(start - STUB, y + 1, "clip, far end")
    if needle_left:
        canvas.text(start - STUB, y + 1, "needle")
    else:
        canvas.text(end - 3, y + 1, "needle")


def _from_the_braid(
    canvas: Canvas, x: int, y: int, middle: str, sides: Sequence[Sequence[Part]], left: bool
) -> None:
    """Both free ends are clipped; the needle sits where the half in hand meets the braid."""
    canvas.text(x - STUB, y, "│──", "warn")
    end = _beads(canvas, x, y, sides[0][::-1])
    end = canvas.text(end, y, "─►" if left else "──", "call" if left else "rule")
    needle = end - 2
    end = canvas.text(end, y, middle)
    if not left:
        needle = end
    end = canvas.text(end, y, "──" if left else "◄─", "rule" if left else "call")
    end = _beads(canvas, end, y, sides[1])
    canvas.text(end, y, "──│", "warn")
    canvas.text(x - STUB, y + 1, "clip")
    canvas.text(needle, y + 1, "needle")
    canvas.text(end - 2, y + 1, "clip")


def _beads(canvas: Canvas, x: int, y: int, parts: Sequence[Part]) -> int:
    for number, part in enumerate(parts):
        if number:
            on = part.on and parts[number - 1].on
            x = canvas.text(x, y, "═" if on else "─", "bold" if on else "rule")
        x = canvas.text(x, y, part.text, part.style)
    return x


def _length(parts: Sequence[Part]) -> int:
    return sum(len(part.text) for part in parts) + max(0, len(parts) - 1)


def _cut(parts: Sequence[Part], first: int, last: int) -> list[Part]:
    """Some of the parts, with '…' for those left out on either side."""
    shown = list(parts[first:last])
    if first:
        shown.insert(0, Part("…", "dim", parts[first - 1].on))
    if last < len(parts):
        shown.append(Part("…", "dim", parts[last].on))
    return shown


@dataclass(frozen=True, slots=True)
class Level:
    """A stretch between two changes, on both halves; `up_to` counts the beads to its end."""

    first: str
    second: str
    up_to: int


def levels_of(first: Half, second: Half) -> list[Level]:
    """The stretches of two halves that lie side by side, from the braid outward."""
    one, two = _letters(first), _letters(second)
    ends = sorted({*_ends(one), *_ends(two)})
    return [
        Level(_group(one[start:end]), _group(two[start:end]), end)
        for start, end in zip([0, *ends], ends, strict=False)
    ]


def _letters(half: Half) -> str:
    return half.beads[::-1] if half.reverse else half.beads


def _ends(letters: str) -> list[int]:
    return [i for i in range(1, len(letters) + 1) if letters[i : i + 1] != letters[i - 1]]


def _group(letters: str) -> str:
    return f"{len(letters)}{letters[0]}" if letters else "–"


def draw_levels(canvas: Canvas, x: int, y: int, width: int, levels: Sequence[Level]) -> int:
    """Draw two halves side by side with a bar at every change; return the line below them.

    Long ones go on in further lines.
    """
    at = 0
    while at < len(levels):
        across = x
        if at == 0:
            for row in range(3):
                canvas.text(x, y + row, "╪" if row == 1 else "│", "warn")
            across += 2
        first = at
        while at < len(levels):
            level = levels[at]
            wide = max(len(level.first), len(level.second), len(str(level.up_to)) - 1) + 3
            if across + wide > x + width and at > first:
                break
            canvas.text(across, y, f"{level.first:^{wide - 1}}", "bold")
            canvas.text(across, y + 1, "─" * (wide - 1), "rule")
            canvas.text(across, y + 2, f"{level.second:^{wide - 1}}", "bold")
            across += wide - 1
            canvas.text(across, y, "│", "call")
            canvas.text(across, y + 1, "╪", "call")
            canvas.text(across, y + 2, "│", "call")
            count = str(level.up_to)
            canvas.text(across + 1 - len(count), y + 3, count)
            across += 1
            at += 1
        y += 5
    return y - 1
