"""A tube or spool as an entry of the stock, and what no stock can take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any, Literal

from pydantic import ValidationError

from bench.commission.bead_kind import BeadKind, kind_of
from bench.craft.beads import find, mass_g
from bench.craft.text import Fault, cleaned
from bench.craft.words import plural
from bench.documents.reading import fault_in
from bench.documents.stock import (
    StockBead,
    StockNotion,
    StockThread,
    StockWire,
    plain_name,
)
from bench.journal.tube_payloads import TubeContent, TubeLabelled, TubeTaken

TubeUnit = Literal["beads", "m", "pieces"]
_UNITS: Mapping[TubeContent, TubeUnit] = {
    "beads": "beads", "thread": "m", "wire": "m", "notion": "pieces",
}  # fmt: skip


def labelled(taken: TubeTaken, said: TubeLabelled) -> TubeTaken:
    """Return a tube with labels that were put in afterwards."""
    values = {field.name: getattr(said, field.name) for field in fields(said)}
    known: dict[str, Any] = {key: value for key, value in values.items() if value is not None}
    return replace(taken, **known)


def unit_of(taken: TubeTaken) -> TubeUnit:
    """What it holds is counted in."""
    return _UNITS[taken.what]


def amount_of(taken: TubeTaken, held: float) -> str:
    """So much of what it holds, in words."""
    unit = unit_of(taken)
    return f"{held:.1f} m" if unit == "m" else plural(round(held), unit.removesuffix("s"))


def tube_kind(taken: TubeTaken) -> BeadKind:
    """The kind that it is of; wire and notions are none of beads and thread."""
    if taken.what in ("beads", "thread"):
        return kind_of(taken)
    return "", taken.what, plain_name(taken.name)


def name_of(taken: TubeTaken) -> str:
    """What is on it: size, name and dye lot."""
    shape = "" if taken.shape in ("", "round") else f" {taken.shape}"
    lot = f", dye lot {taken.dye_lot}" if taken.dye_lot else ""
    return f"{taken.size}{shape} {taken.name}{lot}".strip()


def bead_g_of(taken: TubeTaken) -> float:
    """Mass of one of its beads in grams: by what it held, else by the table of beads.

    Raises Fault for thread, and for a bead of which neither is known.
    """
    if taken.grams and taken.held:
        return taken.grams / taken.held
    try:
        return mass_g(find(taken.size, taken.shape))
    except ValueError:
        raise Fault(
            f"{cleaned(name_of(taken), 80)} cannot be weighed: what one weighs is not known; say"
            " how many beads and how many grams it holds"
        ) from None


Entry = StockBead | StockThread | StockWire | StockNotion


def entry_of(taken: TubeTaken, held: float, *, opened: bool) -> Entry:
    """The stock's entry of a tube with so much in it: whole while it is closed, else loose.

    What its price buys is what it held when it was bought; nothing is known of one that came open.

    Raises Fault, in a sentence, where it is nothing that a stock can have.
    """
    price = None if taken.price is None else float(taken.price)
    values: dict[str, object] = {
        "name": taken.name,
        "lot": taken.dye_lot,
        "shop": taken.shop,
        "price": price,
    }
    each = None if price is None or taken.held <= 0 else price / taken.held
    loose: dict[str, object] = {"shop": taken.shop, "price": each}
    try:
        if taken.what == "thread":
            whole_m = None if taken.opened else taken.held or None
            return StockThread.model_validate({**values, "metres": held, "spool_m": whole_m})
        if taken.what == "wire":
            return StockWire.model_validate({**loose, "metres": held})
        if taken.what == "notion":
            return StockNotion.model_validate({**loose, "name": taken.name, "count": held})
        mass = bead_g_of(taken)
        grams = held * mass
        whole_g = None if taken.opened else taken.grams or taken.held * mass or None
        whole = not opened and held == taken.held > 0
        return StockBead.model_validate(
            {
                **values,
                "size": taken.size,
                "shape": taken.shape,
                "colour": taken.colour,
                "number": taken.number,
                "tubes": 1 if whole else 0,
                "tube_g": whole_g,
                "grams": 0 if whole else grams,
                "per_10_g": 10 / mass,
            }
        )
    except ValidationError as error:
        raise Fault(f"{cleaned(name_of(taken), 80)}: {fault_in(error)}") from None


def checked(taken: TubeTaken) -> TubeTaken:
    """Return a tube that the stock can take. Raises Fault for any other, in a sentence."""
    if not taken.name.strip():
        raise Fault("say what stands on it: a tube or spool has a name")
    if taken.held <= 0:
        raise Fault(f"say what it holds: {cleaned(name_of(taken), 80)} would be empty")
    entry_of(taken, taken.held, opened=taken.opened)
    return taken


def wrong_in(taken: TubeTaken, held: float) -> str:
    """Why a tube with so much in it cannot be reckoned with; "" if it can."""
    try:
        entry_of(taken, held, opened=True)
    except Fault as fault:
        return str(fault)
    return ""
