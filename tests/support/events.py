"""Payloads of events out of plain values."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from bench.journal.events import canonical, checked
from bench.journal.frozen import frozen_work
from bench.journal.payload_base import Payload
from bench.journal.payloads import kinds
from bench.journal.piece_times import PieceTimes, piece_times
from bench.making.braid import Braid


def said(kind: str, values: Mapping[str, Any] | None = None) -> Payload:
    """Return what an event of a known kind holds. Raises BadEvent for what does not fit it."""
    return checked(kind, kinds()[kind].VERSION, json.loads(canonical(values or {})))


def record(braid: Braid, kind: str, values: Mapping[str, Any] | None = None) -> None:
    """Write an event of any known kind to a piece."""
    braid.journal.append(said(kind, values), pieces=braid.piece)


def times_of(braid: Braid) -> PieceTimes:
    """Sum up the times of a piece."""
    return piece_times(braid.journal.timed(braid.piece), frozen_work(braid.started))
