"""What `tonight` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class TonightStep(Part):
    """A stage of a piece, in minutes from now."""

    piece: str
    stage: str
    start_min: int
    end_min: int


@dataclass(frozen=True, kw_only=True)
class LotTurn(Part):
    """A lot in its turn; `why`: why it does not stand where the order has it, or nothing.

    `late`: the chance that it is not done when due, in this order; null where nobody knows.
    """

    lot: str
    pieces: int
    hours: float
    due: str | None
    sample: bool
    late: float | None
    why: str


@dataclass(frozen=True, kw_only=True)
class PromisedDay(Part):
    """A promised day: hours to come by then, those that are missing, and the choices."""

    due: str
    lots: tuple[str, ...]
    hours: float
    short_h: float
    choices: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TonightAnswer(Answer):
    """`tonight COMMISSION`.

    `chance`: that these pieces get finished, `one_more`: that one more does; null for a guess.
    `batches`: sets that are best loaded one after the other.
    """

    commission: str
    title: str
    hours: float
    stands: int
    steps: tuple[TonightStep, ...]
    batches: tuple[str, ...]
    finished: tuple[str, ...]
    chance: float | None
    one_more: float | None
    turns: tuple[LotTurn, ...]
    promised: tuple[PromisedDay, ...]
