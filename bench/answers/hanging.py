"""What `hang` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class HangingPlace(Part):
    """A place and what hangs there: a `piece`, of its `lot`, with its `number`.

    `thread_mm`: to cut for it, knots included.
    `moved`: another piece hangs there than in the arrangement that was kept.
    """

    place: int
    x_mm: float
    drop_mm: float
    piece: str | None
    lot: str | None
    number: int | None
    colour: str | None
    length_mm: float | None
    thickness_mm: float | None
    thread_mm: float | None
    moved: bool


@dataclass(frozen=True, kw_only=True)
class HangAnswer(Answer):
    """`hang COMMISSION`.

    `alike`, `close`: how many neighbouring pairs are alike, and hang level or have no room;
    `alike_at`, `close_at`: their places. `by_hand`: the maker moved pieces since it was worked out
    or kept. `exact`: no arrangement is better. `grams`: all pieces together, null where one is not
    known. `thread_m`: to cut in all, `knots_mm` of each thread for its knots. `off_centre_mm`: of a
    hoop's weight.
    """

    commission: str
    title: str
    shape: str
    places: tuple[HangingPlace, ...]
    alike: int
    close: int
    alike_at: tuple[tuple[int, int], ...]
    close_at: tuple[tuple[int, int], ...]
    moves: int
    by_hand: bool
    exact: bool
    kept: bool
    left_over: tuple[str, ...]
    grams: float | None
    thread_m: float
    knots_mm: float
    off_centre_mm: float | None
    round_mm: float | None
    cautions: tuple[str, ...]
    files: tuple[str, ...]
    waits: bool
