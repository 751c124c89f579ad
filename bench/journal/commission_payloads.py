"""What events about a commission hold: what was agreed, changed, paid and handed over.

Amounts are decimal text in the commission's currency ("30.00"), days are ISO 8601.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from bench.journal.payload_base import JSON, Payload, Positive, Subject


@dataclass(frozen=True, slots=True)
class Surplus:
    """Pieces made beyond a lowered count: `charged` all the same, or finished `stock`."""

    lot: str
    pieces: Positive
    goes: Literal["charged", "stock"]


@dataclass(frozen=True, slots=True)
class CommissionKept(Payload):
    """A version of a commission was kept, with its whole `content` but for the customer.

    `name`: its file's name. `over`: the ids of the versions that it follows, so that two of them
    that know nothing of each other both stand. `day`: when it was agreed. `source`: who wrote it.
    `surplus`: what became of pieces that were made beyond a lowered count; lots by their ids.
    """

    KIND: ClassVar[str] = "commission_kept"
    SUBJECT: ClassVar[Subject] = "commission"
    name: str
    content: dict[str, JSON]
    day: str
    source: Literal["app", "file"]
    over: tuple[str, ...] = ()
    reason: str = ""
    surplus: tuple[Surplus, ...] = ()


@dataclass(frozen=True, slots=True)
class CustomerNamed(Payload):
    """For whom a commission is. It is about nothing else, so that it can stay at home."""

    KIND: ClassVar[str] = "customer_named"
    SUBJECT: ClassVar[Subject] = "customer"
    commission: str
    whom: str


COMMISSION_KINDS: tuple[type[Payload], ...] = (CommissionKept, CustomerNamed)
