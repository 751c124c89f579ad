"""Kills the command that freezes an offer, and looks whether all of it is frozen, or nothing."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.journal.commission_payloads import CommissionKept, OfferAccepted
from tests.faults.kills import Found, events_of
from tests.support.curtain import CURTAIN
from tests.support.homes import furnished

SETTINGS = "format = 1\n[work]\nhourly_rate = 20\n"


def offer_kills(times: int, seed: int) -> Found:
    """Kill so many times while an offer is accepted; note what is there in half."""
    random_, found = random.Random(seed), Found()
    with tempfile.TemporaryDirectory() as name:
        template = furnished(Path(name))
        (template / "commissions").mkdir()
        (template / "commissions" / "curtain.toml").write_text(CURTAIN, "utf-8")
        (template / "settings.toml").write_text(SETTINGS, "utf-8")
        _accept(template, "--on", "2024-11-02", dry=True)  # what is worked out once is kept
        whole_s = 0.0
        for number in range(times + 1):
            home = Path(name) / "used"
            shutil.rmtree(home, ignore_errors=True)
            shutil.copytree(template, home)
            begun = time.monotonic()
            child = _accept(home)
            if number == 0:  # the first one is let through, to know how long it takes
                child.wait()
                whole_s = time.monotonic() - begun
            else:
                time.sleep(random_.uniform(0.5, 1.0) * whole_s)
            child.kill()
            _, told = child.communicate()
            found.lost += [f"offer: {line}" for line in _wrong(template, home, told, found)]
    return found


def _accept(home: Path, *words: str, dry: bool = False) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "bench", "--home", str(home), "offer", "curtain", *words]
    child = subprocess.Popen(
        command if dry else [*command, "--accept"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    if dry:
        child.communicate()
    return child


def _wrong(template: Path, home: Path, told: str, found: Found) -> list[str]:
    """Say what is there in half, and what a second acceptance makes of it."""
    before, after = events_of(template), events_of(home)
    new = [type(event.payload) for event in after[len(before) :]]
    found.compared["all" if new else "nothing"] += 1
    wrong = [told] if "Traceback" in told else []
    if after[: len(before)] != before:
        wrong.append("an event that was on disk is gone or changed")
    if new not in ([], [CommissionKept, OfferAccepted]):
        wrong.append(f"half of it is there: {new}")
    again = _accept(home)
    again.communicate()
    accepted = sum(isinstance(event.payload, OfferAccepted) for event in events_of(home))
    if accepted != 1 or again.returncode != bool(new):
        wrong.append(f"accepted {accepted} times after a second try, status {again.returncode}")
    return wrong
