"""What `tonight` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class TonightStep(Part):
    """A stage of a piece, in minutes from now; `why`: why it is taken before its turn, or nothing.

    `units`: where the stage is not done to its end, how many beads, strands or crosses of it;
    `left`: of how many that are to come; `whole`: of how many in all. Null for a whole stage.
    """

    piece: str
    stage: str
    start_min: int
    end_min: int
    units: int | None
    left: int | None
    whole: int | None
    why: str


@dataclass(frozen=True, kw_only=True)
class LotTurn(Part):
    """A turn: the sample of a lot, or all else of it.

    `why`: why it does not stand where the order has it, or nothing. `waits`: nothing of it is begun
    before its sample is signed off. `late`: the chance that not all that is promised for its day is
    done by then, in this order; null where nobody knows.
    """

    lot: str
    pieces: int
    hours: float
    due: str | None
    sample: bool
    waits: bool
    late: float | None
    why: str


@dataclass(frozen=True, kw_only=True)
class OtherHours(Part):
    """Hours that another order, by its title, needs by a day."""

    order: str
    hours: float


@dataclass(frozen=True, kw_only=True)
class PromisedDay(Part):
    """A promised day: hours to come by then, those that are missing, and the choices.

    `others`: how many of the hours are for other orders, which are reckoned first.
    """

    due: str
    lots: tuple[str, ...]
    hours: float
    others: tuple[OtherHours, ...]
    short_h: float
    choices: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TonightAnswer(Answer):
    """`tonight COMMISSION`.

    `chance`: that these pieces get finished, `one_more`: that one more does; null for a guess.
    `batches`: sets that are best loaded one after the other. `nothing`: why there is no step, or
    nothing; `left_over`: why the end of the time is free, or nothing. `by_place`: pieces are taken
    by their places, as the maker chose. `out_of_turn`: the pieces that another order of the work
    would finish, where those are more. `next_order`: which order's piece comes next, where others
    are accepted. `file`: where the sheet was written, or null.
    """

    commission: str
    title: str
    hours: float
    stands: int
    steps: tuple[TonightStep, ...]
    nothing: str
    left_over: str
    by_place: bool
    batches: tuple[str, ...]
    finished: tuple[str, ...]
    chance: float | None
    one_more: float | None
    out_of_turn: tuple[str, ...]
    next_order: str
    turns: tuple[LotTurn, ...]
    promised: tuple[PromisedDay, ...]
    cautions: tuple[str, ...]
    file: str | None = None
