"""Which mode the bench is in: what was asked for, else what the braid has come to."""

from __future__ import annotations

from bench.screens.bench.all_made import AllMade
from bench.screens.bench.braiding import Braiding
from bench.screens.bench.kept_aside import KeptAside
from bench.screens.bench.loading import Loading
from bench.screens.bench.mark_due import MarkDue
from bench.screens.bench.mode import Bench, Mode
from bench.screens.bench.not_saved import NotSaved
from bench.screens.bench.paused import Paused
from bench.screens.bench.setting_up import SettingUp
from bench.screens.bench.stages import AfterBraiding
from bench.screens.bench.standing import Standing
from bench.screens.bench.taking_back import TakingBack
from bench.screens.bench.waiting import Waiting


def next_mode(bench: Bench, before: Mode | None) -> Mode:
    """The mode that follows on one: the same object while it still holds.

    What cannot be saved is told over any other mode until a key has answered it; what could not be
    saved last time until it is taken in.
    """
    under = before.under if isinstance(before, NotSaved | KeptAside) else before
    if under is None or not under.asked:
        under = _standing(bench, under)
    if bench.companion.kept_of(bench.braid.piece):
        same = isinstance(before, KeptAside) and before.under is under
        return before if before is not None and same else KeptAside(bench, under)
    if not bench.braid.unsaved or bench.told_unsaved:
        return under
    if isinstance(before, NotSaved) and before.under is under:
        return before
    return NotSaved(bench, under)


def _standing(bench: Bench, before: Mode | None) -> Standing:
    """The mode that the braid has come to."""
    kind = _kind(bench)
    if type(before) is kind and isinstance(before, Standing) and before.holds():
        return before
    return kind(bench)


def _kind(bench: Bench) -> type[Standing]:
    braid, state = bench.braid, bench.braid.state
    if state.stage == "load" and any(braid.plan.loads):
        return Loading
    if state.paused:
        return Paused
    if state.stage == "set_up":
        return SettingUp
    if state.stage is None and braid.next_stage is not None:
        return Waiting
    if state.stage != "braid":
        return AfterBraiding
    if state.back and braid.made < braid.plan.crosses:
        return TakingBack
    if braid.mark_due is not None:
        return MarkDue
    return AllMade if braid.next_step is None else Braiding
