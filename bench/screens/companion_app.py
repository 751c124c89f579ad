"""The ways between the screens: how one leads to the next.

Only Textual is imported before the first paint; a screen is loaded when it is first gone to.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from bench.screens.kit.board_screen import BoardScreen
from bench.screens.lists.home_screen import HomeScreen
from bench.screens.session_app import SessionApp

if TYPE_CHECKING:
    from bench.making.braid import Braid
    from bench.screens.bench.mode import Mode
    from bench.screens.bench.screen import BenchScreen
    from bench.screens.drawing.draft import Draft
    from bench.session import Session
    from bench.slips.maker import Maker


class CompanionApp(SessionApp):
    """How one screen leads to the next, over one session."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.first = HomeScreen(self)

    def take_up(self, piece: str) -> None:
        """Go on with a piece in the making."""
        from bench.journal.errors import JournalError
        from bench.making.braid import Braid

        assert self.journal is not None
        try:
            braid = Braid(self.journal, piece)
            plain = self.looking_on or self.kept_of(piece) or braid.state.elsewhere
            if plain:
                self.to_bench(braid)
            else:
                self.ask_how_it_came_out(braid)
        except KeyError:
            self.tell("How this piece began is lost from the journal; start it anew.")
        except JournalError as error:
            self.tell(str(error))

    def to_bench(self, braid: Braid, asks: Callable[[BenchScreen], Mode] | None = None) -> None:
        """Show the bench with a braid, and what it asks first."""
        from bench.screens.bench.screen import BenchScreen

        self.pace.touch(braid.piece)
        if self.screen is self.first:
            self.first.home.sought = braid.piece
        bench = BenchScreen(self, braid, asks)
        if not braid.made and braid.state.stage != "load":
            bench.said = self.stand_taken()
        self.push_screen(bench)

    def stand_taken(self) -> str:
        """Say that a piece dries on the maker's stand; nothing while a stand is free."""
        from bench.screens.kit.drying import stand_taken

        return stand_taken(self.journal, self.settings.stand.stands, self.clock)

    def load_next_set(self, braid: Braid) -> str:
        """Lay a loaded set aside and load the next one of its batch; else say why not."""
        from bench.commission.further_piece import held_back
        from bench.commission.starting import next_of_batch

        why = held_back(braid.journal, self.library, braid.state)
        if why:
            return why
        following = next_of_batch(braid, self.pace.pieces)
        self.pace.touch(following.piece)
        self.pop_screen()
        self.to_bench(following)
        return ""

    def weigh(self, braid: Braid) -> None:
        """Ask for the weight of some beads of a piece."""
        from bench.screens.preparing.weighing_screen import WeighScreen

        self.push_screen(WeighScreen(self, braid))

    def measure(self, braid: Braid) -> None:
        """Ask for the measures of a piece that is finished."""
        from bench.screens.preparing.measuring_screen import MeasureScreen

        self.push_screen(MeasureScreen(self, braid))

    def ask_how_it_came_out(self, braid: Braid) -> None:
        """Go to the bench with a piece; where its stages are done, ask how it came out."""
        from bench.screens.bench.ending import Ending

        done = braid.state.open and braid.next_stage is None and braid.state.stage is None
        self.to_bench(braid, Ending if done else None)

    def show_piece(self, piece: str) -> None:
        """Show what is kept of a piece, and what can be taken back."""
        from bench.journal.errors import JournalError
        from bench.making.braid import Braid
        from bench.screens.lists.piece_screen import PieceScreen

        assert self.journal is not None
        try:
            self.push_screen(PieceScreen(self, Braid(self.journal, piece)))
        except KeyError:
            self.tell("Only a piece that was made at the bench has a page.")
        except JournalError as error:
            self.tell(str(error))

    def show_times(self) -> None:
        """Show the maker's times by pattern."""
        from bench.screens.lists.pace_screen import PaceScreen

        self.push_screen(PaceScreen(self))

    def draw_pattern(self, name: str, *, copy: bool) -> None:
        """Put a pattern on the drawing board; a shipped one is copied."""
        from bench.screens.drawing.draft import opened

        self._draw(lambda: opened(self.library, name, copy=copy))

    def go_on_with_sketch(self, name: str) -> None:
        """Put a sketch on the drawing board again, as it was left."""
        from bench.screens.drawing.draft import resumed

        self._draw(lambda: resumed(self.library, name))

    def begin_pattern(self) -> None:
        """Begin a new pattern on the drawing board."""
        from bench.screens.drawing.draft import begun

        self._draw(lambda: begun(self.library, "kongo-8"))

    def _draw(self, begin: Callable[[], Draft]) -> None:
        """Go to the drawing board, or say why what was to be drawn cannot be."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.drawing.screen import DrawingScreen

        try:
            self.push_screen(DrawingScreen(self, begin()))
        except (DocumentError, Fault) as error:
            self.tell(str(error))

    def throw_sketch_away(self, name: str) -> None:
        """Throw a sketch away; the pattern that it came from stays."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.drawing.draft import thrown_away

        try:
            thrown_away(self.library, name)
        except (DocumentError, Fault) as error:
            self.tell(str(error))
        self.fill_home()

    def show_commission(self, name: str) -> None:
        """Show the lots of a commission; Enter starts the next piece of one."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.lists.commission_screen import CommissionScreen

        try:
            self.push_screen(CommissionScreen(self, name))
        except (DocumentError, Fault) as error:
            self.first.home.said = str(error)

    def begin_commission(self) -> None:
        """Show a commission that is new and not kept yet."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.lists.order_ahead import new_order
        from bench.screens.lists.order_screen import OrderScreen

        try:
            self.push_screen(OrderScreen(self, new_order(self.library)))
        except (DocumentError, Fault) as error:
            self.first.home.said = str(error)

    def ask_to_give_up(self, piece: str, name: str) -> None:
        """Ask why a piece in the making is given up; the answer gives it up."""
        from bench.screens.lists.giving_up import ask_to_give_up

        self.push_screen(ask_to_give_up(self, piece, name))

    def say_on_list(self, said: str) -> None:
        """Say something over the list's keys."""
        self.first.home.said = said
        self.first.redraw()

    def leave_bench(self, said: str = "") -> None:
        """Go back to the list, with something to say; the piece keeps its place."""
        from bench.screens.bench.screen import BenchScreen

        if isinstance(self.screen, BenchScreen):
            # A screen that went as the bench came may have had the piece read before it was made.
            self.pace.touch(self.screen.braid.piece)
        self.pop_screen()
        if said:
            self.tell(said)

    def tell(self, said: str) -> None:
        """Say something on the screen that is up."""
        if isinstance(self.screen, BoardScreen):
            self.screen.told(said)

    # What the bench asks

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready."""
        from bench.screens.lists.expected_times import spent_and_ready

        if not self.settings.press.show_times:
            return "", ""
        return spent_and_ready(self.pace.figures, braid, self.clock.now())

    def maker(self) -> Maker:
        """The maker as the settings say, with what the journal has taught so far."""
        from bench.making.learning import maker_of

        return maker_of(self.settings, self.journal)[0]
