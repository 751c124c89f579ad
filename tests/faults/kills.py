"""Kills the real program at random moments over all its screens, and looks what is on disk.

A kill is: open the program on one of four pieces, press the keys of a scene at random for a random
time, kill it, and hold what its screen showed as counted against what the journal holds.
"""

from __future__ import annotations

import json
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from bench.journal.events import Event
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl
from bench.screens.kit.words import row_words
from tests.faults.shown import Shown
from tests.support.homes import PIECES, furnished
from tests.support.terminal import LAUNCH, Program

KEYS_BEHIND = 4
"""So many keys may have been saved and not yet painted when the program dies."""
KILLS_PER_HOME = 5
LATE = f"""
from bench.journal.store import Journal
save, held = Journal._save, []
def late(journal, new):
    held.extend(new)
    journal.pending = list(held) if len(held) > 3 else []
    if journal.pending:
        held.clear()
        save(journal, [])
Journal._save = late
{LAUNCH}
"""
"""Starts a program that shows crosses as counted and saves them four at a time."""
COMPARED = "those with a count compared"
"""Kills and copies whose screens had a count that was held against the disk: of crosses at the
bench, beads while loading, or crosses on a list that a key has changed. What the list shows at the
start is compared besides, and does not count here."""
LEAST_COMPARED, LEAST_OF_FEW, FEW = 0.9, 0.7, 200
"""The share of kills and copies below which a run has not tried what it is to try; and that of a
run of fewer than so many, where chance has a larger part."""

UP, DOWN, RIGHT, LEFT = b"\x1b[A", b"\x1b[B", b"\x1b[C", b"\x1b[D"
SPACE, ENTER, BACK = b" ", b"\r", b"\x7f"
SCENES: Mapping[str, tuple[str | None, Sequence[bytes]]] = {
    "braiding": ("silver-eaves", [SPACE] * 12 + [BACK, b"m", b"m", b"pppp", b"nhello\r"]),
    "taking back": ("silver-eaves", [BACK] * 8 + [SPACE, SPACE, b"m"]),
    "finding the place": ("silver-eaves", [b"f", b"f", b"1", b"2", b"3", b"4", ENTER, SPACE]),
    "mending": (
        "silver-eaves",
        [b"!", b"!", b"!", *b"1 2 3 4 5 a b c y n".split(), ENTER, SPACE, DOWN, BACK, b"\x1b"],
    ),
    "with a mend on the screen": ("silver-eaves", [ENTER, ENTER, b"1", BACK, b"\t", SPACE]),
    "loading": (
        "cistern",
        [SPACE, SPACE, SPACE, ENTER, ENTER, b"m", b"y", b"1", b"2", b"\t", DOWN, RIGHT, BACK],
    ),
    "finishing": ("short-one", [SPACE, SPACE, b"m", b"m", b"m", ENTER, b"1", b"2", b"3"]),
    "dressing the ends": ("downpipe", [b"m", b"m", ENTER, b"1", b"2", b"3", BACK, b"n!\r"]),
    "starting": (None, [DOWN, DOWN, UP, RIGHT, LEFT, ENTER, ENTER, SPACE, b"m", b"l", b"\x1b[F"]),
    "looking about": (None, [b"t", b"l", b"h", ENTER, DOWN, RIGHT, b"1", b"2", b"4", b"w", SPACE]),
}
"""By name: the pattern whose piece is opened first (none: stay on the list), and the keys."""

PRELUDES: Mapping[str, Sequence[bytes]] = {
    "with a mend on the screen": (b"!", b"1", b"a", b"\t", b"1"),
    "loading": (b" ",),
}
"""Keys that come before those at random, each when the screen has come to rest, by scene."""

TITLES = dict(zip(PIECES, ("Silver Eaves", "Short One", "Cistern", "Downpipe"), strict=True))
_COUNT = re.compile(r"cross (\d+) of (\d+)")
_BACK = re.compile(r"cross (\d+) of (\d+) comes out")
_MARK = re.compile(r"after cross (\d+) of (\d+)")
_PLACE = re.compile(r"((?:row|round|plain) (?:\d+ of \d+|start|end)),? (\d+\w\w of \w+)")
_LISTED = re.compile(r"(\d+) cross(?:es)? made")
_SET = re.compile(r"count set to cross (\d+)")
_LOADED = re.compile(r"(\d+) of (\d+) beads")
_SAID = {r"DONE +note kept": "note", r"DONE +done: ": "mark_done"}


@dataclass
class Found:
    """What kills brought to light: losses, one line each, and how often a claim was compared."""

    lost: list[str] = field(default_factory=list)
    compared: Counter[str] = field(default_factory=Counter)


def counted_on(text: str) -> tuple[int, int] | None:
    """The crosses that a screen shows as made, and how many the piece has; None if it does not."""
    for pattern, less in ((_BACK, 1), (_MARK, 0), (_COUNT, 1)):
        found = pattern.search(text)
        if found:
            return int(found[1]) - less, int(found[2])
    if "FIND MY PLACE" in text:  # places that may be, and that no key has agreed to
        return None
    place = _PLACE.search(" ".join(text.replace("│", " ").split()))
    return None if place is None else _PLACES.get((place[1], place[2]))


def contradictions(
    text: str, events: Sequence[Event], found: Found, before: int, behind: int = KEYS_BEHIND
) -> list[str]:
    """Hold a screen against the journal; `before`: how many events there were at its opening.

    `behind`: so many keys may have been saved and not yet painted.
    """
    wrong = []
    counts: dict[int, dict[str, list[int]]] = {}
    length: dict[str, int] = {}
    for event in events:
        if event.kind == "piece_started":
            crosses = crosses_of(event)
            length[event.piece] = crosses
            counts.setdefault(crosses, {})[event.piece] = [0]
        elif "to" in event.values:
            counts[length[event.piece]][event.piece].append(int(str(event.values["to"])))
    latest = {
        crosses: {count for made in pieces.values() for count in made[-1 - behind :]}
        for crosses, pieces in counts.items()
    }
    shown = counted_on(text)
    if shown is not None:
        found.compared["count"] += 1
        if shown[0] not in latest.get(shown[1], ()):
            wrong.append(f"{shown[0]} of {shown[1]} shown as counted, on disk {latest}")
    for number in listed(text):
        found.compared["list"] += 1
        if not any(number in made for made in latest.values()):
            wrong.append(f"the list shows {number} crosses made, on disk {latest}")
    new = events[before:]
    place = _SET.search(text)
    if place is not None:
        found.compared["place"] += 1
        if not any(e.kind == "place_set" and e.values["to"] == int(place[1]) for e in new):
            wrong.append(f"the place shown as set to {place[1]} is not on disk")
    for said, kind in _SAID.items():
        if re.search(said, text):
            found.compared[kind] += 1
            if not any(event.kind == kind for event in new):
                wrong.append(f"{said!r} shown, no {kind} on disk")
    if "IN THE MAKING" in text:
        found.compared["ends"] += 1
        titles = text.split("IN THE MAKING")[1].split("\n\n")[0].strip().count("\n") + 1
        ended = sum(e.kind in {"finished", "given_up"} for e in events)
        reopened = sum(e.kind == "reopened" for e in events)
        making = len(length) - ended + reopened
        starting = any(e.kind == "piece_started" for e in events[-2 * behind :])
        if "PATTERNS" in text and making > titles + starting:
            wrong.append(f"{titles} pieces shown in the making, {making} on disk")
    if "Traceback" in text or "Error:" in text:
        wrong.append("a traceback on the screen")
    return wrong


def crosses_of(event: Event) -> int:
    """How many crosses the piece that an event starts has."""
    from bench.craft.pattern import Pattern
    from bench.craft.plan import Plan
    from bench.craft.structure import Structure

    key = str(event.values["hash"])
    if key not in _LENGTHS:
        pattern = Pattern.model_validate(event.values["pattern"])
        plan = Plan(pattern, Structure.model_validate(event.values["structure"]))
        _LENGTHS[key] = plan.crosses
        for cross in range(1, plan.crosses + 1):
            place, shown = row_words(plan, cross), (cross - 1, plan.crosses)
            _PLACES[place] = shown if _PLACES.get(place, shown) == shown else None
    return _LENGTHS[key]


_LENGTHS: dict[str, int] = {}
_PLACES: dict[tuple[str, str], tuple[int, int] | None] = {}
"""Crosses made and to be made where a screen says only the row; None where two pieces say it."""


def loaded_on(text: str) -> int | None:
    """The beads that a screen shows as loaded on one piece; None if it does not."""
    found = _LOADED.search(" ".join(text.split())) if "thread" in text else None
    return None if found is None else int(found[1])


def loaded_ever(events: Sequence[Event]) -> set[int]:
    """All the numbers of beads that a piece ever had on its threads, on disk."""
    beads: dict[str, Counter[int]] = {}
    sums = {0}
    for event in events:
        if event.kind == "loaded":
            strands = beads.setdefault(event.piece, Counter())
            strands[int(str(event.values["strand"]))] = int(str(event.values["beads"]))
            sums.add(strands.total())
    return sums


def making_of(text: str) -> list[str]:
    """The lines of the pieces in the making, on the list."""
    below = text.partition("IN THE MAKING")[2]
    return below.split("\n\n")[0].strip("\n").split("\n") if below else []


def listed(text: str) -> list[int]:
    """The crosses made that the list shows, of the pieces that have any."""
    return [int(found[1]) for line in making_of(text) if (found := _LISTED.search(line))]


def unlike_the_list(program: Program, home: Path, seconds: float = 15.0) -> list[str]:
    """Wait until the list shows what a reader finds on disk; what is wrong, if it never does."""
    with Journal.open(home / "journal.db", write=False) as journal:
        made = sorted(state.made for state in journal.pieces() if state.made)
    until = time.monotonic() + seconds
    program.wait_for("PATTERNS")
    while time.monotonic() < until:
        if sorted(listed(program.screen.text)) == made:
            return []
        program.read(0.05)
    return [f"{made} crosses on disk, the list shows {listed(program.screen.text)}"]


def counts_ever(events: Sequence[Event], crosses: int) -> set[int]:
    """All that pieces of so many crosses were ever counted to on disk."""
    pieces = {e.piece for e in events if e.kind == "piece_started" and crosses_of(e) == crosses}
    counts = {int(str(e.values["to"])) for e in events if e.piece in pieces and "to" in e.values}
    return counts | {0}


def one_kill(
    home: Path, scene: str, random_: random.Random, found: Found, launch: str = LAUNCH
) -> None:
    """Play a scene for a while and kill; note what was lost."""
    events = events_of(home)
    pattern, keys = SCENES[scene]
    everything = [key for _, others in SCENES.values() for key in others]
    lengths = [crosses_of(event) for event in events if event.kind == "piece_started"]
    program = Program(home, launch=launch)
    wrong_list = unlike_the_list(program, home)
    found.compared["starts whose list is as the disk says"] += not wrong_list
    if pattern is not None:
        titles = making_of(program.screen.text)
        at = next((n for n, line in enumerate(titles) if TITLES[pattern] in line), 0)
        program.type(b"\x1b[H" + DOWN * at + ENTER)
        open_by = time.monotonic() + (5 if random_.random() < 0.95 else 0)
        while "PATTERNS" in program.screen.text and time.monotonic() < open_by:
            program.read(0.02)
    else:
        program.type(b"\x1b[H" + DOWN * random_.randrange(12))
    program.press(*PRELUDES.get(scene, ()))
    until = time.monotonic() + random_.uniform(0.02, 1.0)
    seen, shown, opened = counted_on(program.screen.text), Shown(), program.screen.text
    seen_loaded, seen_listed = loaded_on(opened), list[int]()
    typed = len(PRELUDES.get(scene, ()))
    while time.monotonic() < until:
        program.type(random_.choice(keys if random_.random() < 0.9 else everything))
        typed += 1
        program.read(random_.uniform(0.0, 0.06))
        seen = counted_on(program.screen.text) or seen
        shown.look(program.screen.text)
        seen_loaded = loaded_on(program.screen.text) or seen_loaded
        if program.screen.text != opened:
            seen_listed = listed(program.screen.text) or seen_listed
    program.kill()
    shown.look(program.screen.text)
    after, text = events_of(home), program.screen.text
    wrong = contradictions(text, after, found, len(events), max(typed, KEYS_BEHIND))
    wrong += shown.not_on_disk(after, len(events), crosses_of)
    found.compared["counts held against the disk in their order"] += len(shown.counts)
    if counted_on(text) is not None or listed(text):
        found.compared["kills with a count on the last screen"] += 1
    if seen is not None:
        found.compared["kills with a count on a screen before"] += 1
        if seen[1] in lengths and seen[0] not in counts_ever(after, seen[1]):
            wrong.append(f"{seen[0]} of {seen[1]} was shown as counted, and never was on disk")
    if seen_loaded is not None:
        found.compared["kills with beads counted on a screen before"] += 1
        if seen_loaded not in loaded_ever(after):
            wrong.append(f"{seen_loaded} beads were shown as loaded, and never were on disk")
    if seen_listed:
        found.compared["kills with counts on a list before"] += 1
        if unknown := set(seen_listed) - {int(str(e.values.get("to", 0))) for e in after}:
            wrong.append(f"the list has shown {unknown} crosses made, which never were on disk")
    found.compared[COMPARED] += any((seen is not None, seen_loaded is not None, bool(seen_listed)))
    wrong += wrong_list
    if after[: len(events)] != events:
        wrong.append("an event that was on disk is gone or changed")
    with Journal.open(home / "journal.db", write=False) as journal:
        if not journal.check():
            wrong.append("the journal is not sound")
    found.compared[scene] += 1
    found.lost += [f"{scene}: {line}\n{program.screen.text}" for line in wrong]


def events_of(home: Path) -> list[Event]:
    """What a reader finds in a home's journal."""
    with Journal.open(home / "journal.db", write=False) as journal:
        return list(journal.events())


def kills(times: int, seed: int) -> Found:
    """Kill so many times, the scenes in turn."""
    random_ = random.Random(seed)
    found = Found()
    braided = ("silver-eaves", "short-one")
    counting = [name for name, (pattern, _) in SCENES.items() if pattern in braided]
    scenes = [*SCENES, *counting, *counting]
    with tempfile.TemporaryDirectory() as folder:
        template = furnished(Path(folder))
        home = Path(folder) / "used"
        for number in range(times):
            if number % KILLS_PER_HOME == 0:
                shutil.rmtree(home, ignore_errors=True)
                shutil.copytree(template, home)
            one_kill(home, scenes[number % len(scenes)], random_, found)
            tell_how_far(number + 1, found)
    return found


def too_few(compared: int, times: int) -> bool:
    """Whether too few of so many kills or copies were compared with a screen."""
    return compared < (LEAST_COMPARED if times >= FEW else LEAST_OF_FEW) * times


def tell_how_far(tried: int, found: Found) -> None:
    """Say on standard error how far a long run is: each hundred kills, or copies."""
    if tried % 100 == 0:
        lost, compared = len(found.lost), found.compared[COMPARED]
        print(f"{tried} tried, {lost} lost, {compared} compared", file=sys.stderr, flush=True)


def import_kills(times: int, seed: int) -> Found:
    """Kill the importing command so many times: all of the file is in the journal, or nothing."""
    random_ = random.Random(seed)
    found = Found()
    with tempfile.TemporaryDirectory() as folder:
        home = furnished(Path(folder))
        file = Path(folder) / "events.jsonl"
        with Journal.open(home / "journal.db", write=False) as journal, file.open("w") as stream:
            count = export_jsonl(journal, stream)
        whole_s = 1.0
        for number in range(times + 1):
            target = Path(tempfile.mkdtemp(dir=folder))
            command = [sys.executable, "-m", "bench", "import", str(file), "--home", str(target)]
            child = subprocess.Popen(
                [*command, "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
            )
            begun = time.monotonic()
            if number == 0:  # the first one is let through, to know how long it takes
                child.wait()
                whole_s = time.monotonic() - begun
            else:
                time.sleep(random_.uniform(0.4, 1.0) * whole_s)
            child.send_signal(signal.SIGKILL)
            out, err = child.communicate()
            there = len(events_of(target)) if (target / "journal.db").exists() else 0
            found.compared["nothing" if there == 0 else "all"] += 1
            if there not in (0, count):
                found.lost.append(f"import: {there} of {count} events are there")
            if out and json.loads(out)["added"] != there:
                found.lost.append(f"import: {out} said, {there} events are there")
            if "Traceback" in err:
                found.lost.append(f"import: {err}")
    return found
