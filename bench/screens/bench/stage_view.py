"""The stages after the braiding: what is to be done, its caution, and how a piece ends."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from bench.craft.cautions import GLUE_IN_HAND, NEEDLES_IN_HAND, REST
from bench.craft.words import plural
from bench.journal.clock import Clock
from bench.journal.errors import JournalError
from bench.journal.store import Journal
from bench.making.braid import Braid, unfinished
from bench.screens.bench.braiding_view import draw_rings
from bench.screens.bench.moments_view import sew_in_lines
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_keys
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.header import draw_header
from bench.screens.kit.large_letters import big
from bench.screens.kit.page import is_short, paragraph, title
from bench.screens.kit.view import View

LABELS = {"mark": "stage done", "back": "stage before"}


def stage_steps(braid: Braid) -> tuple[tuple[str, ...], str]:
    """What a stage asks for, and its caution."""
    pattern, stage = braid.pattern, braid.state.stage
    if stage == "dry":
        return (
            "Lock the crosses: a tiny drop of glue on the plain crosses only.",
            "It stays on the stand, under its weight, until it is dry.",
            "Then: counterweight off, braid out, and only then the tama.",
        ), GLUE_IN_HAND
    if stage == "finish":
        finish = pattern.finish
        if finish.threads == 0:
            return ("Trim the ends and set them into their caps.",), GLUE_IN_HAND
        steps = []
        if finish.end_bead_hole_mm is not None:
            steps.append("End bead over the glued plain end.")
        steps += [
            f"Dress each end: {finish.threads} threads through, in"
            f" {plural(finish.passes, 'pass')} of the needle.",
            "Before you trim, measure one thread from the braid's end: it is asked for at the end.",
            "Trim, and look it over: length, gaps, end bead seated.",
        ]
        return tuple(steps), NEEDLES_IN_HAND
    return (), ""


def draw_stage(braid: Braid, view: View, clock: Clock | None) -> Canvas:
    """Draw the present stage: what to do, the caution, and for drying until when."""
    canvas = Canvas(view.width, view.height)
    draw_header(canvas, braid.state, view)
    canvas.rule(1)
    stage = braid.state.stage
    if stage is None:
        canvas.text(1, 3, "All stages are done.", "bold")
        canvas.text(1, 5, f"{view.keys.name('mark')} ends the piece", "picked")
        labels = {**LABELS, "mark": "end the piece"}
        draw_keys(canvas, view, ("mark", "back", "note", "help", "leave"), labels)
        return canvas
    number = braid.stages.index(stage) + 1 if stage in braid.stages else 1
    beside = [f"stage {number} of {len(braid.stages)}"]
    if stage == "dry":
        beside += ["", dry_until(braid, clock), "the stand is taken"]
    if is_short(view):
        beside = [text for text in beside if text]
    x, y = title(canvas, view, words.STAGE_WORDS[stage].upper(), "call", beside)
    for row, text in enumerate(beside, 2):
        canvas.text(x, row, text, "bold", view.width - x - 1)
    keys = draw_keys(canvas, view, ("mark", "back", "pause", "note", "help", "leave"), LABELS)
    foot = min(view.height - 4, keys - 2)
    steps, caution = stage_steps(braid)
    sewing = braid.next_step is None and bool(braid.state.sew_ins)
    if sewing:
        y = sew_in_lines(canvas, 1, y, braid) + 1
    for step_number, step in enumerate(steps, 1):
        for index, line in enumerate(wrap(step, view.width - 8)):
            if index == 0:
                canvas.text(1, y, str(step_number), "bold")
            canvas.text(4, y, line)
            y += 1
    for index, line in enumerate(wrap(caution, view.width - 14)):
        if index == 0:
            canvas.text(1, y + 1, "CAUTION", "mark")
        canvas.text(10, y + 1, line)
        y += 1
    if stage == "finish" and not sewing:
        paragraph(canvas, y + 1 if is_short(view) else y + 2, REST, "", foot)
    if view.said:
        canvas.text(1, foot - 1, view.said, "warn", view.width - 2)
    key = view.keys.name("mark")
    canvas.text(1, foot, f" {key}  this stage is done ", "picked")
    canvas.zone(1, foot, view.width - 2, 1, "mark")
    return canvas


def asked_before_the_end(braid: Braid, clock: Clock | None, key: str) -> str:
    """What is asked once before the present stage is ended with its key; nothing if all is well."""
    left = braid.state.sew_ins
    if braid.state.stage == "finish" and left:
        beads = plural(len(left), "bead")
        return f"To sew in: {beads}. The number strikes one off; {key} goes on without."
    dry = dry_until(braid, clock) if braid.state.stage == "dry" else ""
    if dry.startswith("dry until"):
        return f"It is to {dry}. Is it dry by the glue's label? {key} again goes on."
    return ""


def dry_until(braid: Braid, clock: Clock | None) -> str:
    """Until or since when a drying piece is dry, in words."""
    minutes = braid.pattern.finish.dry_minutes
    begun = next(
        (
            e.moment
            for e in reversed(list(braid.journal.events(braid.piece, "stage_started")))
            if e.payload["stage"] == "dry"
        ),
        None,
    )
    if begun is None or clock is None:
        return f"dry for {minutes:g} minutes"
    zone = dt.timezone(dt.timedelta(minutes=begun.offset_min))
    until = dt.datetime.fromtimestamp(begun.wall + 60 * minutes, zone)
    now = dt.datetime.fromtimestamp(clock.now().wall, zone)
    return f"dry {'until' if until > now else 'since'} {words.time_of_day(until, now)}"


def stand_taken(journal: Journal | None, stands: int, clock: Clock) -> str:
    """Say that a piece dries on the maker's stand; nothing while a stand is free."""
    states = [] if journal is None else unfinished(journal)
    drying = [state for state in states if state.stage == "dry"]
    if journal is None or len(drying) < stands:
        return ""
    try:
        until = dry_until(Braid(journal, drying[0].uuid), clock)
    except (JournalError, KeyError):
        until = "dry"
    verb = "is dry" if until.startswith("dry since") else "dries"
    return f"Stand taken: a piece on it {verb}{until.removeprefix('dry')}."


_CHOICES = (
    ("1", "good", "it is as it should be"),
    ("2", "second", "it is finished, but shows a fault"),
    ("3", "given up", "it cannot be finished"),
)


@dataclass
class Ending:
    """How the piece ends: good, a second, or given up."""

    braid: Braid

    def press(self, key: str) -> bool:
        """Take a key; returns whether the piece has ended."""
        if key == "1":
            self.braid.finish("good")
        elif key == "2":
            self.braid.finish("second")
        elif key == "3":
            self.braid.give_up("at the end")
        elif key not in {"escape"}:
            return False
        return True


def draw_ending(ending: Ending, view: View) -> Canvas:
    """Draw the choice at the end of a piece."""
    canvas = Canvas(view.width, view.height)
    draw_header(canvas, ending.braid.state, view)
    canvas.rule(1)
    big(canvas, 1, 3, "DONE", "good")
    canvas.text(1, 10, "How did it come out?", "bold")
    for number, (key, name, meaning) in enumerate(_CHOICES):
        canvas.text(1, 12 + 2 * number, key, "key")
        canvas.text(4, 12 + 2 * number, name, "bold")
        canvas.text(14, 12 + 2 * number, meaning, "", view.width - 15)
        canvas.zone(0, 12 + 2 * number, view.width, 1, key)
    if view.width >= 76:
        draw_made(canvas, 49, 2, view.height - 4, ending.braid)
    help_ = f"{view.keys.name('help')} help"
    canvas.text(1, view.height - 2, f"ESC later: the piece stays on the list   {help_}")
    return canvas


def draw_made(canvas: Canvas, x: int, y: int, height: int, braid: Braid) -> None:
    """Draw the whole braid as it is, in as many blocks side by side as there is room for.

    Nothing where its columns are not known.
    """
    columns = braid.structure.columns
    wide = 2 * (columns or 0) + 3
    blocks = (canvas.width - x) // wide if columns else 0
    spots = words.spots_of(braid.state)
    signs = [s for s in words.SIGNS if s in spots.values()]
    tall = height - 1 - (len(signs) + 1 if signs else 0)
    rings = words.recent_rings(braid.plan, braid.made, max(0, blocks) * tall, spots)
    if not rings:
        return
    canvas.text(x, y, "the braid, new on top", "", canvas.width - x)
    for block in range(blocks):
        part = rings[block * tall : (block + 1) * tall]
        draw_rings(canvas, x + block * wide, y + 1, braid.plan, part)
    for number, sign in enumerate(signs):
        canvas.text(x + 1, y + height - len(signs) + number, sign, "warn")
        canvas.text(x + 3, y + height - len(signs) + number, words.SIGNS[sign])
