"""The maker's tubes and spools: bought, opened, counted, empty, given away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial

from bench.commission.promises import promised_twice
from bench.commission.stock_tubes import FileTube, differences, tubes_in
from bench.commission.tube_book import Tube, read_tubes, seen_by, taking_back
from bench.commission.tube_entry import TubeUnit, amount_of, bead_g_of, name_of, unit_of
from bench.commission.undrawn import undrawn
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.errors import DocumentError
from bench.documents.stock import read_stock
from bench.journal.payload_base import Payload
from bench.journal.tube_payloads import (
    Counting,
    TubeCounted,
    TubeGivenAway,
    TubeOpened,
)
from bench.screens.lists.buy_form import BuyForm
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.file_counts_screen import FileCountsScreen
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.label_form import LabelForm
from bench.screens.lists.shop_writing import write
from bench.screens.lists.typed_values import typed_number
from bench.screens.lists.undrawn_screen import UndrawnScreen

WORDS: Mapping[TubeUnit, str] = {"beads": "beads", "m": "metres", "pieces": "pieces"}


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
        self.undrawn = 0 if journal is None else len(undrawn(journal, found))
        self._file_says = "take in what is new"
        with suppress(Fault):
            offered = differences(self._file(), {tube.id: tube for tube in found})
            if offered:
                says = plural(len(offered), "tube")
                self._file_says = f"ENTER: it differs in {says}"

    def on_screen_resume(self) -> None:
        """Read them anew: something may have happened to one."""
        self._read()
        super().on_screen_resume()

    def rows(self) -> Sequence[FormRow]:
        """Two lines to get more, then the tubes."""
        return (
            FormRow("a tube more", "bought; or thread, wire, end beads", opens=self._buy),
            FormRow("the stock file", self._file_says, opens=self._take_in),
            *self._undrawn_row(),
            *(self._tube_row(tube) for tube in self.tubes),
        )

    def _tube_row(self, tube: Tube) -> FormRow:
        """A tube by what tells it from others of its kind: its dye lot before what is left."""
        lot = f"dye lot {tube.taken.dye_lot}: " if tube.taken.dye_lot else ""
        name = name_of(replace(tube.taken, dye_lot=""))
        closed = "" if tube.opened or tube.is_empty else ", closed"
        opens = partial(self._open_tube, tube)
        return FormRow(name, f"{lot}{left(tube)}{closed}", opens=opens)

    def _undrawn_row(self) -> Sequence[FormRow]:
        if not self.undrawn:
            return ()
        said = f"ENTER: {plural(self.undrawn, 'piece')} loaded elsewhere"
        return (FormRow("not drawn yet", said, opens=self._open_undrawn),)

    def _open_undrawn(self) -> None:
        self.app.push_screen(UndrawnScreen(self.companion))

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
        self.app.push_screen(BuyForm(self.companion))

    def _open_tube(self, tube: Tube) -> None:
        self.app.push_screen(TubeScreen(self.companion, tube))

    def _file(self) -> list[FileTube]:
        """What the stock file has. Raises Fault where it is none that can be read."""
        companion = self.companion
        try:
            shelf = read_stock(companion.library.home)
        except DocumentError as error:
            raise Fault(str(error)) from None
        if shelf.file is None:
            raise Fault(f"There is no stock.toml or stock.csv in {companion.library.home}.")
        thumb, today = companion.settings.thumb, dt.date.today().isoformat()
        return list(tubes_in(shelf, thumb.tube_g, thumb.spool_m, today))

    def _take_in(self) -> None:
        """Take in what is new, and show what the file says otherwise of what is known."""
        known = {tube.id: tube for tube in self.tubes}
        file = self._file()
        new = [one for one in file if one.id not in known]
        write(self.companion, None, *((one.taken, one.id, None) for one in new))
        offered = differences(file, known)
        self._read()
        self.said = f"{plural(len(new), 'tube')} taken in"
        if offered:
            self.app.push_screen(FileCountsScreen(self.companion, offered))


class TubeScreen(FormScreen):
    """What happens to one tube; each line is written down at once."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, tube: Tube) -> None:
        super().__init__(companion)
        self.tube = tube
        self.heading = tube.name

    def rows(self) -> Sequence[FormRow]:
        """What can be said of it."""
        if self.tube.is_asked:
            taken = f"ENTER: {self.tube.last_words}"
            return (
                FormRow("price", left(self.tube)),
                FormRow("take back", taken, opens=self._take_back),
            )
        unit = WORDS[unit_of(self.tube.taken)]
        is_closed = not self.tube.opened and not self.tube.is_empty
        rows = [
            FormRow("left", left(self.tube) + (", not opened yet" if is_closed else "")),
            FormRow(
                "counted",
                f"ENTER: how many {unit}",
                typed=self._counted,
                asks=f"How many {unit} are in it.",
            ),
            FormRow("empty", "ENTER: nothing is left in it", opens=self._empty),
            FormRow(
                "given away",
                f"ENTER: how many {unit}",
                typed=self._given,
                asks=f"How many {unit} went.",
            ),
        ]
        if unit == "beads":
            asks = "With its beads, then the empty tube, in grams: 26.5 8.2"
            rows.insert(
                2, FormRow("weighed", "ENTER: gross and tare", typed=self._weighed, asks=asks)
            )
        if is_closed:
            rows.insert(1, FormRow("opened", "ENTER: today", opens=lambda: self._say(TubeOpened())))
        said = "ENTER: dye lot, number, price, shop, place"
        rows.append(FormRow("stands on it", said, opens=self._label))
        rows.append(FormRow("take back", f"ENTER: {self.tube.last_words}", opens=self._take_back))
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

    def _label(self) -> None:
        self.app.push_screen(LabelForm(self.companion, [self.tube]))

    def on_screen_resume(self) -> None:
        """Read it anew: its labels may be others."""
        if self.companion.journal is not None:
            self.tube = read_tubes(self.companion.journal).get(self.tube.id, self.tube)
            self.heading = self.tube.name
        super().on_screen_resume()

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


def left(tube: Tube) -> str:
    """What is left in a tube."""
    if tube.is_asked:
        return f"asked: {tube.taken.price} for {amount_of(tube.taken, tube.taken.held)}"
    if tube.is_empty and tube.held == 0:
        return "empty"
    return f"{amount_of(tube.taken, tube.held)} left"
