"""The pages of a talk about what went wrong, drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bench.craft.load import SKIP, write_load
from bench.craft.plan import Plan
from bench.craft.words import ordinal
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, fit, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.rim import draw_spot
from bench.screens.kit.view import View
from bench.screens.slips.parts import (
    RIM,
    UNDER,
    bead_keys,
    caution_lines,
    foot,
    keys_to,
    pointer,
    short_bead,
    takes,
)
from bench.screens.slips.report_view import (
    draw_read,
    draw_report,
    draw_sewn,
    draw_which_bead,
    draw_which_line,
)
from bench.screens.slips.talk import Page, SlipTalk
from bench.slips.inquiry import CLEAR, WORTH_TELLING, Inquiry
from bench.slips.looks import Look
from bench.slips.mend import Mend
from bench.slips.mend_steps import NewRemaining, SetCount, TakeBack
from bench.slips.posterior import Hypothesis
from bench.slips.read_off import Edit
from bench.slips.supposed_stand import SupposedStand
from bench.slips.words import bead_name, chance_words, place_words, question, slips_words

BAR = 10


def draw_slip(talk: SlipTalk, view: View) -> Canvas:
    """Draw the page that the talk is at."""
    canvas = Canvas(view.width, view.height)
    end = canvas.text(1, 0, "NOT WHAT I SEE", "call")
    crosses = talk.plan.crosses
    where = f"cross {talk.made + 1} of {crosses}"
    if talk.made >= crosses:
        where = f"all {crosses} crosses are made"
    if talk.made < talk.plan.crosses and talk.plan.row_at(talk.made + 1)[0] is not None:
        where = f"{words.row_words(talk.plan, talk.made + 1)[0]}, {where}"
    canvas.right(0, fit(where, view.width - end - 4), "bold", view.width - 1)
    canvas.rule(1)
    _PAGES[talk.page](canvas, talk, view)
    if talk.said or view.said:
        canvas.text(1, view.height - 4, talk.said or view.said, "warn", view.width - 2)
    return canvas


# Looks


def _asking(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    look = talk.look
    assert look is not None
    tight = view.height < 23
    y = _said(canvas, talk, 2, view)
    if not tight:
        y += 1
    canvas.text(1, y, f"ONE LOOK, about {_seconds(look.seconds)}", "call")
    y += 1
    rim = view.width >= 76
    room = view.width - (RIM + 5 if rim else 3)
    top = y
    for line in wrap(_question(talk, look), room):
        canvas.text(2, y, line, "bold")
        y += 1
    y = _answer_keys(canvas, talk, look, y if tight else y + 1, view)
    if rim:
        others = look.kind == "glance"
        draw_spot(canvas, view.width - RIM - 1, top, RIM, 7, talk.plan, look.place, others=others)
        y = max(y, top + 7)
    if look.kind == "braid":
        y = caution_lines(canvas, y, UNDER, y + 1)
    if talk.any_answer:
        canvas.rule(y)
        if talk.nothing_fits:
            text = "So far nothing that is known here fits what you told, one slip or two."
            for number, line in enumerate(wrap(text, view.width - 2), 1):
                if y + number < view.height - 2:
                    canvas.text(1, y + number, line, "warn")
        else:
            _may_be(canvas, talk, y + 1, view, view.height - 3, pick=False)
    taken = "answers so" if talk.at is not None or talk.typed else "cannot tell"
    foot(
        canvas, view, (_signs(talk, look), "answer"), ("ENTER", taken), ("TAB", "what can be done"),
        ("BACKSPACE", "last answer"),
    )  # fmt: skip


def _signs(talk: SlipTalk, look: Look) -> str:
    """The keys that answer a look, as the foot names them."""
    if look.kind == "braid":
        return keys_to(talk.options)
    if look.kind == "glance":
        return f"0-{talk.most(look)}"
    return "0-9 T M" if look.kind == "left" else "letters" if look.kind == "next3" else "letter"


def _seconds(seconds: float) -> str:
    whole = max(1, round(seconds))
    return f"{whole} second" if whole == 1 else f"{whole} seconds"


def _question(talk: SlipTalk, look: Look) -> str:
    again = talk.inquiry is not None and talk.inquiry.seen_before(look)
    text = question(look, talk.plan, again=again)
    if look.bead is not None and look.bead in talk.plan.pattern.beads:
        bead = talk.plan.pattern.beads[look.bead]
        text += f" ({look.bead} is {bead.name} {bead.size})"
    return text


def _said(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    """What was reported, beside what the plan says; return the line below."""
    told = talk.told[0]
    place = talk.plan.structure.places[told.look.place - 1]
    if told.look.kind == "braid":
        what = "a gap" if told.answer == "gap" else "a bead that stands proud"
        text = f"You see {what} on the line of {place}."
    else:
        planned = talk.scene.ahead[told.look.place][:1]
        saw = told.answer if isinstance(told.answer, str) else ""
        text = f"You see at {place}: {short_bead(talk, saw)}."
        text += f" The plan says: {short_bead(talk, planned)}."
    for line in wrap(text, view.width - 2):
        canvas.text(1, y, line)
        y += 1
    return y


def _answer_keys(canvas: Canvas, talk: SlipTalk, look: Look, y: int, view: View) -> int:
    if look.kind == "next":
        return bead_keys(canvas, talk, y, view)
    if look.kind == "next3":
        canvas.text(2, y, f"{talk.typed:_<3}", "bead")
        canvas.text(8, y, "letter by letter; 0 when no more hang", "", view.width - 9)
        return bead_keys(canvas, talk, y + 1, view)
    rows: list[tuple[str, str]]
    if look.kind == "braid":
        rows = [("1", "a gap"), ("2", "a bead stands proud"), ("3", "nothing")]
    elif look.kind == "glance" and talk.most(look) > 9:
        rows = [(talk.typed or "0", f"type the number, 0 to {talk.most(look)}, then ENTER")]
    elif look.kind == "glance":
        planned = sum(
            beads[:1] == look.bead
            for place, beads in talk.scene.ahead.items()
            if place != look.place
        )
        rows = [(f"0 … {talk.most(look)}", f"so many; by the plan it would be {planned}")]
    else:
        rows = [("0 … 9", "so many"), ("T", "ten"), ("M", "more than ten")]
    for key, what in rows:
        pointer(canvas, 1, y, talk, key)
        end = canvas.text(2, y, key, "key")
        canvas.text(end + 2, y, what, "", view.width - end - 3)
        if len(key) == 1:
            canvas.zone(2, y, view.width // 2, 1, key.lower())
        y += 1
    return y


# What it may be, and what can be done


def _may_be(canvas: Canvas, talk: SlipTalk, y: int, view: View, most: int, *, pick: bool) -> int:
    """Draw the suspects with their chances, up to a line; return the line below."""
    assert talk.inquiry is not None
    if y + 1 >= most:
        return y
    wide = view.width >= 76
    edge = view.width - 1 - 13 - (BAR + 1 if wide else 0)
    told = [wrap(_belief(talk, belief), edge - 6) for belief in talk.beliefs]
    first = 0
    while pick and first < talk.picked and sum(map(len, told[first : talk.picked + 1])) >= most - y:
        first += 1
    if y + 1 + len(told[first]) > most:
        return y
    canvas.text(1, y, _heading(talk.inquiry), "call")
    canvas.text(edge, y, "chance", "bold")
    y += 1
    for number in range(first, len(told)):
        lines, chance = told[number], talk.beliefs[number].chance
        if y + len(lines) > most:
            break
        picked = pick and number == talk.picked
        canvas.text(1, y, "▶" if picked else " ", "bold")
        if wide:
            filled = round(chance * BAR)
            canvas.text(edge, y, "█" * filled + "·" * (BAR - filled), "call")
        canvas.text(view.width - 14, y, chance_words(chance), "bold")
        for line in lines:
            canvas.text(3, y, line, "bold" if picked else "")
            y += 1
    return y


def _heading(inquiry: Inquiry) -> str:
    if inquiry.settled:
        alone = inquiry.classes[0].first.chance > CLEAR
        return "WHAT IT IS" if alone else "ONE OF THESE: NO LOOK TELLS WHICH"
    known = inquiry.classes[0].sight is not None
    return "WHAT IT MAY BE" if known else "WHAT IT MAY BE, OF WHAT IS KNOWN HERE"


def _reading_tells(talk: SlipTalk) -> bool:
    """Whether suspects that are alike to looks differ in what is left on the strand reported."""
    if talk.inquiry is None or not talk.inquiry.settled:
        return False
    strand = talk.scene.arrangement[talk.place - 1]
    alike = [b for b in talk.inquiry.classes[0].members if b.chance >= WORTH_TELLING]
    return len({SupposedStand(talk.scene, b.slips).remaining().get(strand) for b in alike}) > 1


def _belief(talk: SlipTalk, belief: Hypothesis) -> str:
    return slips_words(belief.slips, talk.plan, talk.made)


def _mends(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    y = 2
    if talk.edits is not None:
        y = _read_result(canvas, talk, y, view)
    elif talk.nothing_fits:
        text = (
            "Nothing that is known here fits what you told, one slip or two. Go back over the"
            " answers, or read off all beads left on that strand: R."
        )
        for line in wrap(text, view.width - 2):
            canvas.text(1, y, line, "warn")
            y += 1
    else:
        y = _may_be(canvas, talk, y, view, max(8, view.height // 2), pick=True)
        if _reading_tells(talk):
            canvas.text(1, y, "No look tells these apart; that strand read off does: R.", "warn")
            y += 1
    canvas.rule(y)
    y += 1
    _ways(canvas, talk, y, view)
    more = talk.edits is None and not talk.nothing_fits and len(talk.beliefs) > 1
    foot(
        canvas, view, *([(f"ENTER {keys_to(talk.options)}", "mend")] if talk.options else []),
        *([("LEFT RIGHT", "other suspect")] if more else []),
        *([("TAB", "the look")] if talk.look is not None else []),
        *([("R", "read off")] if talk.place else []),
        ("BACKSPACE", "last answer" if talk.edits is None else "the suspects"),
    )  # fmt: skip


def _ways(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> None:
    """Draw the mends, as many as find room, the one that Enter takes among them."""
    if not talk.ways:
        return
    canvas.text(1, y, "WHAT CAN BE DONE, BEST FIRST", "call")
    room = view.height - 3 - y
    does = [
        (wrap(m.do, view.width - 16), wrap(f"to be seen: {m.shows}", view.width - 6))
        for m in talk.ways
    ]
    first = last = talk.at or 0
    high = [len(do) + len(seen) for do, seen in does]
    while first and sum(high[first - 1 : last + 1]) <= room:
        first -= 1
    while last + 1 < len(does) and sum(high[first : last + 2]) <= room:
        last += 1
    if last + 1 - first < len(does):
        canvas.right(y, f"{first + 1} to {last + 1} of {len(does)}", "", view.width - 1)
    y += 1
    for number in range(first, last + 1):
        do, seen = does[number]
        pointer(canvas, 1, y, talk, str(number + 1))
        canvas.text(2, y, str(number + 1), "key")
        canvas.zone(1, y, view.width - 2, high[number], str(number + 1))
        canvas.text(view.width - 10, y, takes(talk.ways[number].seconds), "bold")
        for line, style in [(part, "bold") for part in do] + [(part, "") for part in seen]:
            if y < view.height - 2:
                canvas.text(5, y, line, style)
            y += 1


def _read_result(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    assert talk.edits is not None
    place = talk.plan.structure.places[talk.place - 1]
    canvas.text(1, y, f"READ OFF at {place}", "call", view.width - 2)
    y += 1
    left = len(talk.scene.loads[talk.scene.arrangement[talk.place - 1] - 1])
    left -= talk.scene.counts[talk.scene.arrangement[talk.place - 1] - 1]
    found = [_edit(edit, left) for edit in talk.edits] or ["the strand is as planned"]
    lines, most = wrap("; ".join(found) + ".", view.width - 4), view.height - 12
    if len(lines) > most:
        lines = [*lines[: most - 1], f"… {len(found)} differences in all"]
    for line in lines:
        canvas.text(3, y, line)
        y += 1
    return y


def _edit(edit: Edit, left: int) -> str:
    at = ordinal(edit.at + 1)
    where = f"before the {at} bead planned from here" if edit.at < left else "behind all planned"
    actual = bead_name(edit.actual)
    return {
        "missing": f"the {at} bead planned from here, {edit.bead}, is missing",
        "extra": f"one {actual} too many hangs {where}",
        "wrong": f"one {actual} hangs as the {at} bead from here, in place of one {edit.bead}",
    }[edit.kind]


def _mend(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    mend = talk.mend
    assert mend is not None
    y = 2
    took = f"takes {'about ' if mend.seconds >= 1 else ''}{takes(mend.seconds)}"
    if view.height >= 23:
        big(canvas, 1, 3, "MEND", "call")
        canvas.text(width_of("MEND") + 5, 4, took, "bold")
        canvas.text(width_of("MEND") + 5, 6, "to be seen afterwards:", "")
        for number, line in enumerate(wrap(mend.shows, view.width - width_of("MEND") - 6)[:2]):
            canvas.text(width_of("MEND") + 5, 7 + number, line, "bold")
        y = 4 + HEIGHT
    else:
        for line in wrap(f"MEND  {took}; to be seen: {mend.shows}", view.width - 2):
            canvas.text(1, y, line, "call")
            y += 1
    for line in wrap(mend.do, view.width - 4):
        canvas.text(2, y, line, "bold")
        y += 1
    y = _to_string(canvas, talk, y, view)
    if mend.caution:
        y = caution_lines(canvas, y + 1, mend.caution, view.height - 4)
    text = _then(talk.plan, mend, talk.made)
    canvas.text(1, view.height - 3, f" ENTER  {text} ", "picked", view.width - 2)
    canvas.zone(1, view.height - 3, view.width - 2, 1, "enter")
    foot(canvas, view, ("BACKSPACE", "another mend"))


def _then(plan: Plan, mend: Mend, made: int) -> str:
    """When Enter is to be pressed at a mend, and what the screen does then."""
    if any(isinstance(effect, TakeBack) for effect in mend.effects):
        return "begin: the first reverse move is shown"
    called = any(
        isinstance(effect, NewRemaining)
        and effect.letters.count(SKIP) > plan.remaining(effect.strand, made).count(SKIP)
        for effect in mend.effects
    )
    by_hand = mend.by_hand
    if called:
        return f"{'when that is done' if by_hand else 'go on'}: the screen calls the move"
    if mend.later and not by_hand:
        return "go on: the screen reminds you of it"
    if mend.effects or mend.later:
        return f"{'when it is done so' if by_hand else 'do it so'}: the screen's plan follows"
    return "when it is done: the plan holds as it is" if by_hand else "go on as planned"


def _to_string(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    """Draw what each strand is strung with anew, as far as it finds room; return the line below."""
    mend, plan = talk.mend, talk.plan
    assert mend is not None
    made = next((e.made for e in mend.effects if isinstance(e, SetCount)), talk.made)
    made -= sum(e.crosses for e in mend.effects if isinstance(e, TakeBack))
    lines: list[str] = []
    for strand, beads in mend.string:
        stay = len(plan.remaining(strand, made).replace(SKIP, "")) - len(beads)
        kept = {0: "no bead stays", 1: "the next bead stays"}.get(stay, f"the next {stay} stay")
        text = f"{place_words(plan, made, strand)}: {kept}. Then string on, from there to the"
        lines += wrap(f"{text} free end: {write_load(beads) or 'no bead'}", view.width - 4)
    room = max(1, view.height - 5 - y - len(wrap(mend.caution, view.width - 12)))
    if len(lines) > room:
        lines = [*lines[: room - 1], "… and on: ROWS on the bench shows each load"]
    for line in lines:
        canvas.text(2, y, line, "bead")
        y += 1
    return y


_PAGES: Mapping[Page, Callable[[Canvas, SlipTalk, View], None]] = {
    "report": draw_report,
    "bead": draw_which_bead,
    "line": draw_which_line,
    "asking": _asking,
    "mends": _mends,
    "mend": _mend,
    "read": draw_read,
    "sewn": draw_sewn,
}
