"""The shelf: every part for the chosen slot with what the whole car would do, put in by Enter."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QStackedLayout, QVBoxLayout, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shelf.shelf_answers import SOON, Answerer, Answers, Question, Rows
from pennyspeed.desktop.shelf.shelf_head import HEIGHT, ShelfHead
from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.desktop.shelf.shelf_places import HEAD, ROW
from pennyspeed.desktop.shelf.shelf_stocks import GOES_WITH, Stocks
from pennyspeed.desktop.shelf.shelf_table import ShelfTable
from pennyspeed.desktop.shelf.shelf_taking import bought, name_of, put_in, with_parts
from pennyspeed.desktop.shelf.shelf_words import Empty, empty_words
from pennyspeed.desktop.widgets.panel import Panel
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.shelf.answer_columns import BAND, CHANCE
from pennyspeed.services.shelf.stock import Pairs, Stock

SIGHT_WAIT = 15
RESORT = 12
"""Chunks of bands between two times that rows sorted by them are sorted anew."""


class ShelfPanel(Panel):
    """Heading, switches, narrowing field and table.

    Parameters
    ----------
    session : Session

    Signals
    -------
    left_behind()
        The person goes back to the slots.
    edit_wanted(Part)
    new_wanted(str)
        A new part of that kind.
    hold_wanted(Build, str)
        A car with the row's part is to be held beside, under that name.
    """

    left_behind = Signal()
    edit_wanted = Signal(object)
    new_wanted = Signal(str)
    hold_wanted = Signal(object, str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stocks = Stocks(session)
        self._paired: set[str] = set()
        self._archived = False
        self._standing: tuple[Part, ...] = ()
        self._chunks = 0
        self.model = ShelfModel(self)
        self.table = ShelfTable(self.model, self)
        self.answerer = Answerer(self)
        self.head = ShelfHead(self)
        self.field, self.fitting = self.head.field, self.head.fitting
        self._empty = Empty(self)
        self._pile = QStackedLayout()
        self._pile.addWidget(self.table)
        self._pile.addWidget(self._empty)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.head)
        self._column.addLayout(self._pile, 1)
        self._sight = QTimer(self)
        self._sight.setSingleShot(True)
        self._sight.setInterval(SIGHT_WAIT)
        self._sight.timeout.connect(self._look)
        self._connect()

    def _connect(self) -> None:
        session, table = self._session, self.table
        self.head.fitting_turned.connect(self.turn_fitting)
        self.head.pairing_turned.connect(self.turn_pairing)
        self.head.new_wanted.connect(lambda: self.new_wanted.emit(session.bench.slot))
        self.field.textChanged.connect(self._narrow)
        self.field.installEventFilter(self)
        table.put_in.connect(self._put_in)
        table.taken_out.connect(self._take_out)
        table.edit_wanted.connect(lambda row: self.edit_wanted.emit(self.model.part(row)))
        table.hold_wanted.connect(self._hold)
        table.typed.connect(self._type)
        table.left_behind.connect(self.left_behind)
        table.given_up.connect(self._give_up)
        table.row_changed.connect(self._row_changed)
        table.sight_changed.connect(self._sight.start)
        table.sorted_anew.connect(self._sorted_anew)
        self.answerer.answered.connect(self._answered)
        self.answerer.looked_at.connect(self._looked_at)
        self.answerer.went_on.connect(self._went_on)
        self.answerer.went_late.connect(self._went_late)
        self._empty.brought.connect(self._bring_demo)
        session.bench.build_changed.connect(self._build_changed)
        session.bench.slot_changed.connect(self._slot_changed)
        session.catalogue.parts_changed.connect(self._parts_changed)
        session.bench.measures_changed.connect(self.refresh)
        session.file.closed.connect(self.answerer.wait)

    # Showing --------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), px(HEIGHT) + px(HEAD) + 3 * px(ROW))

    @staticmethod
    def whole_rows(height: float) -> int:
        """Return the height next to `height` at which no row is cut."""
        over = px(HEIGHT) + px(HEAD)
        return over + max(round((height - over) / px(ROW)), 3) * px(ROW)

    def refresh(self) -> None:
        """Take the chosen slot's parts from the session."""
        slot, archived = self._session.bench.slot, self._archived
        if not self._session.catalogue.has_parts(slot, archived):
            return
        self.model.show_build(self._session.bench.build)
        self.model.show_stock(
            self._stocks.shown(slot, archived, slot in self._paired, self.field.text())
        )
        if self.table.currentIndex().row() < 0 or not self._standing:
            self._stand()
        self._say()
        self._ask(0)

    def show_archived(self, archived: bool) -> None:
        """List archived parts too, or hide them."""
        if archived != self._archived:
            self._archived = archived
            self.refresh()

    def _say(self) -> None:
        model, slot = self.model, self._session.bench.slot
        self.head.say(model, slot, slot in self._paired)
        if model.rowCount():
            self._pile.setCurrentWidget(self.table)
        else:
            self._say_empty(model.stock, model.total)

    def _say_empty(self, stock: Stock, total: int) -> None:
        session = self._session
        if total or session.file.is_open:
            typed = self.field.text().strip()
            ones = 0
            if session.file.is_open:
                ones = len(session.catalogue.parts(stock.kind.key, self._archived))
            title, help, offers = empty_words(stock, ones, total, typed)
            self._empty.say(title, help)
            self._empty.offer(offers)
            self._pile.setCurrentWidget(self._empty)

    def _stand(self) -> None:
        """Put the keyboard on the part in the slot, or on the first row."""
        row = self.model.row_of_parts(self._standing) if self._standing else -1
        if row < 0:
            row = self.model.row_now
        self.table.stand_on(max(row, 0))

    # Answers --------------------------------------------------------------------------------

    def _ask(self, wait: int = SOON) -> None:
        """Have worked out what the whole car would do with each row."""
        build, stock = self._session.bench.build, self.model.stock
        if build is None or not self._session.file.is_open:
            self.answerer.ask(None, _nothing)
            return
        others: list[Part] = []
        ones = stock.parts
        if isinstance(stock, Pairs):
            others = stock.other.parts
            ones = ones if others else []
        question = Question(build, ones, others, self._session.bench.measures)
        arrangement, room = self.model.arrangement, self.table.rows_of_room
        row, above = self.table.currentIndex().row(), self._above()
        anchor = self.model.place(row) if row >= 0 else -1

        def choose(answers: Answers) -> Rows:
            rows = arrangement.rows(answers)
            at = np.flatnonzero(rows == anchor)
            first = first_in_sight(int(at[0]), above, room, len(rows)) if at.size else 0
            return rows[first : first + room]

        self.answerer.ask(question, choose, wait)

    def _above(self) -> int | None:
        """Return how many rows stand above the keyboard's, None where it may move."""
        row, sight = self.table.currentIndex().row(), self.table.in_sight
        return row - sight.start if row in sight and self.model.answers is not None else None

    def _answered(self, answers: Answers) -> None:
        table, model = self.table, self.model
        above = self._above()
        model.show_answers(answers)
        row = table.currentIndex().row()
        if row < 0:
            self._stand()
        else:
            first = first_in_sight(row, above, table.rows_of_room, model.rowCount())
            table.verticalScrollBar().setValue(first)
        self._say()
        self._look()
        self.answerer.run(model.stock.prepare)
        self.answerer.go_on(model.order)

    def _look(self) -> None:
        """Ask for what is in sight and not yet worked out."""
        places = self.model.order[list(self.table.in_sight)]
        self.answerer.look(places)
        self.table.settle_scale()

    def _looked_at(self) -> None:
        self.model.show_more(resort=False)
        self.table.settle_scale()

    def _went_on(self) -> None:
        self._chunks += 1
        by_band = self.model.columns[self.model.sorted_by[0]].key in (BAND, CHANCE)
        if by_band and (self._chunks % RESORT == 0 or self.answerer.is_at_rest):
            self.model.show_more(resort=True)

    def _went_late(self) -> None:
        self.model.show_late()
        self._say()

    # Hearing --------------------------------------------------------------------------------

    def _build_changed(self) -> None:
        if self.model.stock.kind.key != self._session.bench.slot:
            self.refresh()
            return
        self.model.show_build(self._session.bench.build)
        self._ask()

    def _slot_changed(self) -> None:
        self._standing = ()
        self.table.setCurrentIndex(self.model.index(-1, -1))
        if self.field.text():
            self.field.clear()
        self.refresh()

    def _parts_changed(self, kind_key: str) -> None:
        if kind_key in (self._session.bench.slot, GOES_WITH.get(self._session.bench.slot)):
            self.refresh()
            self._stand()

    def _narrow(self, text: str) -> None:
        self.answerer.hold()
        self.model.narrow(text)
        if self._session.bench.slot in self._paired:
            self.refresh()
        self._say()
        self._stand()

    def _sorted_anew(self) -> None:
        self._say()
        self._look()
        self.answerer.go_on(self.model.order)

    def _row_changed(self, row: int) -> None:
        if row < 0:
            return
        self.answerer.hold()
        parts = self._standing = self.model.parts(row)
        self._session.bench.try_parts(bought(self._session.bench.build, parts), name_of(parts))

    # Doing ----------------------------------------------------------------------------------

    def focus_table(self) -> None:
        """Go to the rows."""
        self._stand()
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def focus_field(self) -> None:
        """Go to the narrowing field."""
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.field.selectAll()

    def sort_onward(self) -> None:
        """Sort by the next column."""
        self.table.sort_beside(1)

    def turn_round(self) -> None:
        """Sort the other way round."""
        self.table.turn_round()

    def turn_fitting(self) -> None:
        """Leave out what does not fit, or show it again."""
        self.model.show_fitting(not self.model.fits_only)
        self._say()
        self._stand()

    def turn_pairing(self) -> None:
        """List the slot's parts with every part that goes with them, or alone again."""
        slot = self._session.bench.slot
        if slot not in GOES_WITH:
            return
        self._paired ^= {slot}
        self._standing = ()
        self.table.setCurrentIndex(self.model.index(-1, -1))
        self.refresh()

    def part_here(self) -> Part | None:
        """Return the part that the keyboard stands on."""
        row = self.table.currentIndex().row()
        return self.model.part(row) if row >= 0 else None

    def _put_in(self, row: int) -> None:
        put_in(self._session, self.model.parts(row))

    def _hold(self, row: int) -> None:
        build, parts = self._session.bench.build, self.model.parts(row)
        if build is not None:
            held = with_parts(build, bought(build, parts))
            self.hold_wanted.emit(held, f"with {name_of(parts)}")

    def _take_out(self, row: int) -> None:
        if self.model.count_in(row):
            self._session.builds.take_out(self._session.bench.slot, self.model.part(row))

    def _type(self, text: str) -> None:
        self.focus_field()
        if text:
            self.field.deselect()
            self.field.insert(text)

    def _give_up(self) -> None:
        """Show all rows again; then go back to what is in the slot; then to the slots."""
        now = self.model.row_now
        if self.field.text():
            self.field.clear()
        elif now >= 0 and self.table.currentIndex().row() != now:
            self.table.stand_on(now)
        else:
            self._session.bench.try_parts(())
            self.left_behind.emit()

    def _bring_demo(self) -> None:
        from pennyspeed.resources import path

        self._session.imports.import_file(path(f"demo/parts/{self._session.bench.slot}.csv"))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.field and event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.focus_table()
                return True
            if event.key() == Qt.Key.Key_Escape:
                if self.field.text():
                    self.field.clear()
                else:
                    self.focus_table()
                return True
        return super().eventFilter(watched, event)


def first_in_sight(row: int, above: int | None, room: int, count: int) -> int:
    """Return the first row in sight that leaves `above` rows above `row`.

    Where that may change, the list begins at its top, or has the row in its middle.
    """
    if above is None:
        above = row if row < room else room // 2
    return max(min(row - above, count - room), 0)


def _nothing(answers: Answers) -> Rows:
    return np.arange(0)
