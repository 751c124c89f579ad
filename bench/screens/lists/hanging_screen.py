"""Where the pieces of a commission hang: places with their heights, and the piece at each."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from bench.commission.book import CommissionBook, keep
from bench.commission.changing import with_values
from bench.commission.hanging_places import (
    checked,
    drops_of,
    place_of,
    places_of,
    round_of,
    with_drops,
)
from bench.commission.hanging_plan import (
    APART,
    HangingPlan,
    NamedPiece,
    arranged,
    as_kept,
    hang_answer,
    kept_apart,
    kept_as,
    kept_before,
    pieces_of,
    with_places_more,
    worked_out,
)
from bench.commission.pieces import read_pieces
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.commission import Commission, Hanging
from bench.documents.errors import DocumentError
from bench.journal.events import Entry, new_id
from bench.screens.kit.foot import Key
from bench.screens.lists.apart import work_apart
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.hanging_forms import DistancesForm, LotsThatHang, places_typed
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.shop_writing import append, readable, writable
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.hanging import hanging_html, hanging_lines, hanging_svg, told_lines

PLACES_ASKS = (
    "How many places, how wide the rail, and how far down from it the tops of the pieces hang in"
    " turn, in mm: 24 1200 40,80,120. On a hoop its diameter: 12 hoop 300 50,90. Or each place"
    " as along:down: 0:40 30:80 65:40"
)
PLACE_ASKS = "How far along, and how far down its top, in mm: 120:80. “none” takes the place out."
MORE_ASKS = "One place or several, each as along:down in mm: 120:80 150:40"
DROPS_ASKS = "How far down pieces begin, in turn from left to right, in mm: 40,80,120"
SHAPES = ("rail", "hoop", "window")
STEP_MM = 10.0


class HangingScreen(FormScreen):
    """Shows and changes places and arrangement; nothing is written before both are kept."""

    own_help = (
        ("LEFT RIGHT", "on a place: its piece changes places with the one before, or after"),
        ("U D", f"on a place: what hangs there hangs {STEP_MM:.0f} mm higher, or deeper"),
        ("ENTER", "on a place: type how far along and how far down, or take it out"),
    )

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.draft = book.commission
        self.heading = f"{book.commission.title}: hanging"
        self.plan: HangingPlan | None = None
        self.pieces: Sequence[NamedPiece] = ()
        self.before: Mapping[int, int] = {}
        self.moved = False
        self.working = False
        self.apart = False
        """Whether another bench kept another arrangement."""
        if self.hanging is not None:
            self._read()
            self.plan = as_kept(self.drafted, self.pieces, self.before)

    def on_mount(self) -> None:
        """Work the arrangement out where none was kept."""
        if self.plan is None and self.hanging is not None:
            self._work_out()

    @property
    def hanging(self) -> Hanging | None:
        """The places as they would be kept; None where none is said yet."""
        said = self.draft.hanging
        return said if said is not None and said.places else None

    @property
    def drafted(self) -> CommissionBook:
        """The order with its places as they would be kept."""
        return replace(self.book, commission=self.draft)

    @property
    def changed(self) -> bool:
        """Whether places or arrangement are other than they were kept."""
        if self.draft != self.book.commission:
            return True
        return self.plan is not None and (self.moved or not self.plan.kept)

    def rows(self) -> Sequence[FormRow]:
        """The places as a whole, then each with its piece."""
        hanging = self.hanging
        said = "–" if hanging is None else plural(len(hanging.places), "place")
        rows = [FormRow("places", said, typed=self._set_places, asks=PLACES_ASKS)]
        if hanging is None:
            return rows
        by_place = "in the order of these places" if hanging.made_by_place else "in their turn"
        alike = "one colourway" if hanging.alike == "colourway" else "one pattern, size, colourway"
        rows += [
            FormRow("they are on a", hanging.shape, turn=self._turn_shape, turns="before, next"),
            FormRow("heights in turn", "type them", typed=self._set_drops, asks=DROPS_ASKS),
            FormRow("a place more", "or several", typed=self._add_places, asks=MORE_ASKS),
            FormRow("distances", self._distances(hanging), opens=self._open_distances),
            FormRow("alike are two of", alike, turn=self._turn_alike, turns="one, the other"),
            FormRow("what hangs", self._hang(), opens=self._choose_lots),
            FormRow(
                *("pieces are begun", by_place),
                turn=self._turn_by_place,
                turns="one, the other",
            ),
            FormRow("drawing, cut list", "look at them", opens=self._look),
            FormRow("work it out anew", "near what is kept", opens=self._work_out),
        ]
        return [*rows, *(self._place_row(hanging, number) for number in range(len(hanging.places)))]

    def _place_row(self, hanging: Hanging, number: int) -> FormRow:
        (x, drop), plan = hanging.places[number], self.plan
        at = None if plan is None else plan.hung.at[number]
        name = "–" if plan is None or at is None else plan.pieces[at].hung.name
        if plan is not None and at is None and (left := self._without_place()):
            name = f"RIGHT hangs {plan.pieces[left[0]].hung.name} here"
        return FormRow(
            *(f"{number + 1}: {x:g} along", f"{name}, {drop:g} down"),
            turn=partial(self._move, number),
            turns="before, after",
            typed=partial(self._set_place, number),
            asks=PLACE_ASKS,
            starts=f"{x:g}:{drop:g}",
        )

    @property
    def place(self) -> int | None:
        """The place that is picked, from 0; None on another line."""
        if self.hanging is None:
            return None
        at = self.picked - (len(self.rows()) - len(self.hanging.places))
        return at if at >= 0 else None

    def below(self) -> Sequence[str]:
        """What is to be told of the arrangement, and the cautions."""
        if self.hanging is None:
            return ["Say first where pieces can hang."]
        if self.plan is None or self.working:
            return ["The arrangement is being worked out."]
        told = hang_answer(self.drafted, self.plan)
        apart = [f"! {APART}"] if self.apart else []
        return [*apart, *told_lines(told, 1000), *told.cautions]

    def written(self) -> Sequence[WrittenSheet]:
        """The drawing with its cut list, and the drawing alone."""
        if self.plan is None:
            return ()
        told, name = hang_answer(self.drafted, self.plan), f"{self.book.name}-hanging"
        return (
            WrittenSheet("p", "print", f"{name}.html", partial(hanging_html, told)),
            WrittenSheet("s", "SVG", f"{name}.svg", partial(hanging_svg, told)),
        )

    def keys(self) -> Sequence[Key]:
        """Those of a form; at a place what moves it first."""
        if self.place is None:
            return super().keys()
        return (
            *(
                ("LEFT RIGHT", "move", ""),
                ("U D", "higher, deeper", ""),
                ("ENTER", "type", "enter"),
            ),
            *(("P", "print", "p"), ("K", "keep", "k"), ("L", "back", "l")),
        )

    def other_key(self, key: str) -> None:
        """Hang what the picked place holds higher or deeper."""
        at = self.place
        if key not in {"u", "d"} or at is None or self.hanging is None:
            super().other_key(key)
            return
        x, drop = self.hanging.places[at]
        self._put(at, (x, max(0.0, drop + (STEP_MM if key == "d" else -STEP_MM))))

    def _look(self) -> None:
        if self.plan is None:
            raise Fault("The arrangement is being worked out.")
        lines = partial(hanging_lines, hang_answer(self.drafted, self.plan))
        self.app.push_screen(SheetScreen(self.companion, self.heading, lines, self.written()))

    # What is said of the whole

    def _set_places(self, text: str) -> None:
        said = places_typed(text)
        self._set(**(said if "shape" in said else said | self._window_if(said["places"])))
        self._work_out()

    def _window_if(self, places: object) -> dict[str, object]:
        """The shape of a window where places lie above each other, as only there they can."""
        along = [x for x, _ in places] if isinstance(places, tuple) else []
        hoop = self.hanging is not None and self.hanging.shape == "hoop"
        return {"shape": "window"} if len({*along}) < len(along) and not hoop else {}

    def _turn_shape(self, step: int) -> None:
        hanging = self._said()
        shape = SHAPES[(SHAPES.index(hanging.shape) + step) % len(SHAPES)]
        last = max(x for x, _ in hanging.places)
        wide = hanging.diameter_mm or 0.0
        if shape == "hoop" and round_of(wide) <= last:
            if len(hanging.places) < 2:
                raise Fault("Say the hoop's diameter with its places: 12 hoop 300 50,90")
            # As wide as all places need, with one step from the last to the first.
            wide = math.ceil((last + last / (len(hanging.places) - 1) + 1) / math.pi)
            self.said = (
                f"A hoop {wide:g} mm wide, as these places need; distances has its diameter."
            )
        self._set(shape=shape, diameter_mm=wide or None)
        self._work_out()

    def _set_drops(self, text: str) -> None:
        self._set(places=with_drops(self._said().places, drops_of(text)))
        self._arrange()

    def _turn_alike(self, step: int) -> None:
        other = "kind" if self._said().alike == "colourway" else "colourway"
        self._set(alike=other)
        self._work_out()

    def _turn_by_place(self, step: int) -> None:
        self._set(made_by_place=not self._said().made_by_place)
        self._arrange()

    @staticmethod
    def _distances(hanging: Hanging) -> str:
        near = f"neighbours within {hanging.near_mm:g}; " if hanging.shape == "window" else ""
        return f"{near}level within {hanging.level_mm:g}, room {hanging.room_mm:g}"

    def _open_distances(self) -> None:
        self.app.push_screen(DistancesForm(self.companion, self._said(), self._set_distances))

    def _set_distances(self, values: Mapping[str, float]) -> None:
        self._set(**values)
        self._work_out()

    def _hang(self) -> str:
        out = [lot.name for lot in self.draft.lots if not lot.hangs]
        return f"all but {', '.join(out)}" if out else "the pieces of all lots"

    def _choose_lots(self) -> None:
        self.app.push_screen(LotsThatHang(self.companion, self.draft, self._take))

    def _take(self, changed: Commission) -> None:
        self.draft = changed
        self._work_out()

    # What is said of a place

    def _add_places(self, text: str) -> None:
        more, known = places_of(text), self._said().places
        places = checked((*known, *more))
        self._set(places=places, **self._window_if(places))
        if self.plan is not None:
            self.plan, self.moved = with_places_more(self.drafted, self.plan), True

    def _set_place(self, at: int, text: str) -> None:
        if text.strip() != "none":
            self._put(at, place_of(text))
            return
        places = self._said().places
        if len(places) == 1:
            raise Fault("It is the only place; there is one at least")
        self._set(places=(*places[:at], *places[at + 1 :]))
        plan = self.plan
        if plan is not None:
            hung = plan.hung.at
            before = {p - (p > at): piece for p, piece in plan.before.items() if p != at}
            self.plan = replace(plan, before=before)
            self._arrange((*hung[:at], *hung[at + 1 :]))

    def _put(self, at: int, place: tuple[float, float]) -> None:
        places = self._said().places
        self._set(places=checked((*places[:at], place, *places[at + 1 :])))
        self._arrange()

    def _move(self, one: int, step: int) -> None:
        """Move a place's piece on, or hang one there that has no place."""
        other, left = one + step, self._without_place()
        at = [] if self.plan is None else [*self.plan.hung.at]
        if one < len(at) and at[one] is None and left:
            at[one] = left[0 if step > 0 else -1]
            self._arrange(at)
            return
        if not (one < len(at) and 0 <= other < len(at)):
            raise Fault("There is no place further on.")
        at[one], at[other] = at[other], at[one]
        self._arrange(at)
        self.picked += step

    def _without_place(self) -> list[int]:
        """The pieces of the plan that hang at no place, by their places in it."""
        if self.plan is None:
            return []
        return [piece for piece in range(len(self.plan.pieces)) if piece not in self.plan.hung.at]

    # Working it out and keeping it

    def _said(self) -> Hanging:
        if self.draft.hanging is None:
            raise Fault("Say first where pieces can hang.")
        return self.draft.hanging

    def _set(self, **values: object) -> None:
        """Change the places as they would be kept. Raises Fault for a wrong value."""
        known = {} if self.draft.hanging is None else self.draft.hanging.model_dump()
        self.draft = with_values(self.draft, hanging=known | values)

    def _arrange(self, at: Sequence[int | None] | None = None) -> None:
        """Take an arrangement, or the present one, at the places as they are now."""
        if self.plan is not None:
            self.plan = arranged(self.drafted, self.plan, self.plan.hung.at if at is None else at)
            self.moved = True

    def _read(self) -> None:
        """Read the pieces that hang, and where they hung when that was kept last."""
        companion, journal = self.companion, readable(self.companion)
        try:
            worked = {
                lot.id or "": companion.session.work_up(lot.pattern, lot.size, lot.colourway)
                for lot in self.draft.lots
            }
        except DocumentError as error:
            raise Fault(str(error)) from None
        found = read_pieces(journal, self.drafted)
        self.pieces = pieces_of(self.draft, found, worked, companion.settings)
        self.before = kept_before(journal, self.drafted, self.pieces)
        self.apart = kept_apart(journal, self.drafted)

    def _work_out(self) -> None:
        """Work the best arrangement out, in another thread."""
        self._read()
        book, pieces, before = self.drafted, self.pieces, self.before
        self.plan, self.moved, self.working = None, True, True

        def work() -> Callable[[], None]:
            return partial(self._worked_out, worked_out(book, pieces, before))

        work_apart(self, "hanging", work, self._failed)

    def _worked_out(self, plan: HangingPlan) -> None:
        self.plan, self.working = plan, False
        self.redraw()

    def _failed(self, said: str) -> None:
        self.said, self.working = said, False
        self.redraw()

    def keep(self, choice: str | None = None) -> None:
        """Keep the places with the order, and which piece hangs where."""
        if self.hanging is None:
            raise Fault("Say first where pieces can hang.")
        if self.working:
            raise Fault("The arrangement is being worked out; keep it in a moment.")
        journal = writable(self.companion)
        entries: list[Entry] = []
        try:
            if self.draft != self.book.commission:
                entries += keep(self.book, self.draft, dt.date.today())
            else:
                fresh = self.book.reopened(self.companion.library, journal)
                entries += fresh.first(dt.date.today())
        except DocumentError as error:
            raise Fault(str(error)) from None
        if self.plan is not None:
            said = kept_as(journal, self.book, self.plan.keys)
            entries.append(Entry(said, self.book.id, uuid=new_id()))
        append(journal, entries)
        self.book = self.book.reopened(self.companion.library, journal)
        self._read()
        self.plan = as_kept(self.drafted, self.pieces, self.before) or self.plan
        self.moved = False
        count = plural(len(self._said().places), "place")
        self.said = f"Kept: {count}, and which piece hangs where."
