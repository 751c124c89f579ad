"""The maker's tubes and spools: bought, opened, counted, empty, given away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from bench.commission.money import read_amount, shown
from bench.commission.promises import promised_twice
from bench.commission.stock_tubes import differences, tubes_in
from bench.commission.tube_book import Tube, read_tubes, seen_by, taking_back
from bench.commission.tube_entry import bead_g_of, checked
from bench.craft.beads import find, mass_g
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.errors import DocumentError
from bench.documents.stock import read_stock
from bench.journal.events import new_id
from bench.journal.payload_base import Payload
from bench.journal.tube_payloads import (
    Counting,
    TubeCounted,
    TubeGivenAway,
    TubeOpened,
    TubeTaken,
)
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import write
from bench.screens.lists.typed_values import typed_number

FIELDS = (
    ("name", "name", "As it stands on the tube or spool."),
    ("size", "size of the beads", "As 11/0; leave it empty for thread."),
    ("shape", "shape of the beads", "Round, if you leave it empty."),
    ("held", "holds", "Grams of beads, or metres of thread, in one."),
    ("dye_lot", "dye lot", "As printed on it."),
    ("number", "maker's number", "As printed on it."),
    ("price", "price of one", "As 4.50."),
    ("shop", "bought at", "The shop's name."),
    ("place", "kept at", "Drawer, box, shelf."),
)


class TubesScreen(FormScreen):
    """Every tube on a line; its own page says what happens to it."""

    keeps = ""
    names = 40
    heading = "tubes and spools"

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.tubes: Sequence[Tube] = ()
        self._read()
        self.promised = self._promised()

    def _read(self) -> None:
        journal = self.companion.journal
        found = [] if journal is None else list(read_tubes(journal).values())
        self.tubes = sorted(found, key=lambda t: (t.is_empty, t.name, not t.opened))

    def on_screen_resume(self) -> None:
        """Read them anew: something may have happened to one."""
        self._read()
        super().on_screen_resume()

    def rows(self) -> Sequence[FormRow]:
        """Two lines to get more, then the tubes."""
        return (
            FormRow("a tube more", "bought", opens=self._buy),
            FormRow("the stock file", "take in what is new", opens=self._take_in),
            *(FormRow(t.name, left(t), opens=partial(self._open_tube, t)) for t in self.tubes),
        )

    def below(self) -> Sequence[str]:
        """What has to be told of them."""
        told = [f"! {said}" for said in self.promised]
        told += [tube.tells for tube in self.tubes if tube.tells]
        return told or ["What loadings drew is taken off; TAB while loading says a tube is empty."]

    def _promised(self) -> Sequence[str]:
        """What is promised to several orders and not enough for all of them."""
        companion = self.companion
        if companion.journal is None:
            return ()
        return promised_twice(companion.journal, companion.library, companion.settings)

    def _buy(self) -> None:
        self.app.push_screen(BuyScreen(self.companion))

    def _open_tube(self, tube: Tube) -> None:
        self.app.push_screen(TubeScreen(self.companion, tube))

    def _take_in(self) -> None:
        companion = self.companion
        try:
            shelf = read_stock(companion.library.home)
        except DocumentError as error:
            raise Fault(str(error)) from None
        if shelf.file is None:
            raise Fault(f"There is no stock.toml or stock.csv in {companion.library.home}.")
        thumb, today = companion.settings.thumb, dt.date.today().isoformat()
        file = list(tubes_in(shelf, thumb.tube_g, thumb.spool_m, today))
        known = {tube.id: tube for tube in self.tubes}
        new = [one for one in file if one.id not in known]
        write(companion, None, *((one.taken, one.id, None) for one in new))
        offered = differences(file, known)
        self._read()
        self.said = f"{plural(len(new), 'tube')} taken in"
        if offered:
            more = f" and {len(offered) - 1} more" if len(offered) > 1 else ""
            self.said += f"; {offered[0].text} Count it on its own page{more}."


class TubeScreen(FormScreen):
    """What happens to one tube; each line is written down at once."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, tube: Tube) -> None:
        super().__init__(companion)
        self.tube = tube
        self.heading = tube.name

    def rows(self) -> Sequence[FormRow]:
        """What can be said of it."""
        unit = "metres" if self.tube.taken.what == "thread" else "beads"
        rows = [
            FormRow("left", left(self.tube)),
            FormRow("counted", unit, typed=self._counted, asks=f"How many {unit} are in it."),
            FormRow("empty", "nothing is left in it", opens=self._empty),
            FormRow("given away", unit, typed=self._given, asks=f"How many {unit} went."),
        ]
        if unit == "beads":
            asks = "With its beads, then the empty tube, in grams: 26.5 8.2"
            rows.insert(2, FormRow("weighed", "gross and tare", typed=self._weighed, asks=asks))
        if not self.tube.opened and not self.tube.is_empty:
            rows.insert(1, FormRow("opened", "today", opens=lambda: self._say(TubeOpened())))
        rows.append(FormRow("take back", self.tube.last_words, opens=self._take_back))
        return rows

    def below(self) -> Sequence[str]:
        """What is known of it."""
        said = self.tube.taken
        facts = {
            "maker's number": said.number,
            "bought at": said.shop,
            "kept at": said.place,
            "price": said.price or "",
            "since": said.day,
        }
        return [*(f"{name}: {value}" for name, value in facts.items() if value), self.tube.tells]

    def _say(self, said: Payload) -> None:
        write(self.companion, None, (said, self.tube.id, None))
        assert self.companion.journal is not None
        found = read_tubes(self.companion.journal).get(self.tube.id)
        if found is None:
            self.app.pop_screen()
            return
        self.tube = found
        self.picked, self.said = 0, f"Written down: {left(self.tube)}."

    def _take_back(self) -> None:
        self._say(taking_back(self.tube))

    def _count(self, held: float, error: float, how: Counting) -> None:
        journal = self.companion.journal
        if journal is not None:
            self._say(TubeCounted(held, error, how, seen_by(journal)))

    def _counted(self, text: str) -> None:
        self._count(typed_number(text, "A count"), 0.0, "counted")

    def _empty(self) -> None:
        self._count(0.0, 0.0, "empty")

    def _weighed(self, text: str) -> None:
        gross, _, tare = text.partition(" ")
        if not tare.strip():
            raise Fault("Type both: with its beads, then the empty tube, as 26.5 8.2")
        grams = typed_number(gross, "Gross") - typed_number(tare.strip(), "Tare")
        if grams < 0:
            raise Fault("The empty tube weighs more than the full one.")
        each = bead_g_of(self.tube.taken)
        self._count(round(grams / each), self.companion.settings.stand.scale_g / each, "weighed")

    def _given(self, text: str) -> None:
        self._say(TubeGivenAway(typed_number(text, "It")))


class BuyScreen(FormScreen):
    """Tubes or spools that were bought, alike, kept together."""

    heading = "bought"

    def __init__(
        self,
        companion: ListsCompanion,
        starts: Mapping[str, str] | None = None,
        tubes: int = 1,
        bought: Callable[[int], None] = lambda tubes: None,
    ) -> None:
        """`starts`: values that are known; `bought` is told how many were kept.

        Beside the fields `colour`, and `each_g`: the mass of a bead of that name, size and shape.
        """
        super().__init__(companion)
        known = starts or {}
        self.values = {key: known.get(key, "") for key, _, _ in FIELDS}
        self._colour = known.get("colour")
        self._kind, self._each_g = self._kind_said, float(known.get("each_g", 0.0))
        self.tubes = max(1, tubes)
        self._bought = bought

    @property
    def changed(self) -> bool:
        """Whether anything was said of it."""
        return any(self.values.values())

    def rows(self) -> Sequence[FormRow]:
        """What is said of a tube, and how many alike."""
        return (
            *(
                FormRow(
                    *(name, self.values[key] or "–"),
                    typed=partial(self._set, key),
                    asks=asks,
                    starts=self.values[key],
                )
                for key, name, asks in FIELDS
            ),
            FormRow("how many alike", str(self.tubes), turn=self._turn),
        )

    def _set(self, key: str, text: str) -> None:
        self.values[key] = text

    def _turn(self, step: int) -> None:
        self.tubes = max(1, min(200, self.tubes + step))

    def keep(self, choice: str | None = None) -> None:
        """Write them down."""
        self.write_down()
        self.app.pop_screen()

    def write_down(self) -> None:
        """Write them down as they are said. Raises Fault where something is missing."""
        taken = self._taken()
        write(self.companion, None, *((taken, new_id(), None) for _ in range(self.tubes)))
        self._bought(self.tubes)

    def _taken(self) -> TubeTaken:
        said, today = self.values, dt.date.today().isoformat()
        if not said["name"]:
            raise Fault("Say what stands on it.")
        price = shown(read_amount(said["price"], "A price")) if said["price"] else None
        held = typed_number(said["held"], "What it holds")
        if not said["size"]:
            bare = TubeTaken("thread", said["name"], held, today, "bought", price=price)
            return checked(self._with_labels(bare))
        name, size, shape = self._kind_said
        try:
            is_known = self._each_g > 0 and self._kind == self._kind_said
            each_g = self._each_g if is_known else mass_g(find(size, shape))
        except ValueError as error:
            raise Fault(str(error)) from None
        beads = round(held / each_g)
        bare = TubeTaken("beads", name, beads, today, "bought", size, shape)
        colour = self._colour if is_known else None
        whole = replace(bare, price=price, grams=held, colour=colour)
        return checked(self._with_labels(whole))

    @property
    def _kind_said(self) -> tuple[str, str, str]:
        """Name, size and shape as they are said."""
        said = self.values
        return said["name"], said["size"], said["shape"] or "round"

    def _with_labels(self, taken: TubeTaken) -> TubeTaken:
        said = self.values
        return replace(
            taken,
            dye_lot=said["dye_lot"],
            number=said["number"],
            shop=said["shop"],
            place=said["place"],
        )


def left(tube: Tube) -> str:
    """What is left in a tube."""
    if tube.taken.what == "thread":
        text = f"{tube.held:.1f} m left"
    else:
        text = f"{plural(round(tube.held), 'bead')} left"
    if tube.is_empty and tube.held == 0:
        text = "empty"
    return text + ("" if tube.opened or tube.is_empty else ", not opened yet")
