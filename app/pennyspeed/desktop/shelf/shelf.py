"""The shelf: every part for the chosen slot with what the whole car would do, put in by Enter."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtWidgets import QStackedLayout

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shelf import FIELD, SHELF
from pennyspeed.desktop.shelf.answer_queue import SOON, AnswerQueue
from pennyspeed.desktop.shelf.empty_shelf import EmptyShelf
from pennyspeed.desktop.shelf.row_painter import HEAD, ROW
from pennyspeed.desktop.shelf.shelf_head import HEIGHT, ShelfHead
from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.desktop.shelf.shelf_table import ShelfTable
from pennyspeed.desktop.widgets.keys import KeyMap
from pennyspeed.desktop.widgets.layouts import fill_column
from pennyspeed.desktop.widgets.panel import Panel
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.shelf.answer_columns import BAND, CHANCE
from pennyspeed.services.shelf.answers import Answers, Question
from pennyspeed.services.shelf.arrangement import first_in_sight, in_sight
from pennyspeed.services.shelf.row_texts import empty_words
from pennyspeed.services.shelf.stocks import GOES_WITH, Stocks
from pennyspeed.services.shelf.swaps import bought, name_of

SIGHT_WAIT = 15
RESORT = 12
"""Chunks of bands between two times that rows sorted by them are sorted anew."""


class ShelfPanel(Panel):
    """Heading, switches, narrowing field and table.

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

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session, self._bench = session, session.bench
        self._stocks = Stocks(session.catalogue.parts)
        self._paired: set[str] = set()
        self._archived = False
        self._standing: tuple[Part, ...] = ()
        self._chunks = 0
        self.model = ShelfModel(self)
        self.rows = self.model.rows
        self.table = ShelfTable(self.model, self)
        self.answer_queue = AnswerQueue(self)
        self.head = ShelfHead(self)
        self.field, self.fitting = self.head.field, self.head.fitting
        self._empty = EmptyShelf(self)
        self._pile = QStackedLayout()
        self._pile.addWidget(self.table)
        self._pile.addWidget(self._empty)
        fill_column(self, self.head, (self._pile, 1))
        self._sight = QTimer(self, singleShot=True, interval=SIGHT_WAIT)
        self._sight.timeout.connect(self._look)
        self._connect()

    def _connect(self) -> None:
        session, table = self._session, self.table
        self.head.fitting_turned.connect(self.turn_fitting)
        self.head.pairing_turned.connect(self.turn_pairing)
        self.head.new_wanted.connect(lambda: self.new_wanted.emit(session.bench.slot))
        self.field.textChanged.connect(self._narrow)
        self.head.rows_wanted.connect(self.focus_table)
        table.put_in.connect(self._put_in)
        table.taken_out.connect(self._take_out)
        table.edit_wanted.connect(lambda row: self.edit_wanted.emit(self.rows.part(row)))
        table.hold_wanted.connect(self._hold)
        table.typed.connect(self._type)
        table.left_behind.connect(self.left_behind)
        table.given_up.connect(self._give_up)
        table.row_changed.connect(self._row_changed)
        table.sight_changed.connect(self._sight.start)
        table.sorted_anew.connect(self._sorted_anew)
        self.answer_queue.answered.connect(self._answered)
        self.answer_queue.looked_at.connect(self._looked_at)
        self.answer_queue.went_on.connect(self._went_on)
        self.answer_queue.went_late.connect(self._went_late)
        self._empty.brought.connect(self._bring_demo)
        session.bench.build_changed.connect(self._build_changed)
        session.bench.slot_changed.connect(self._slot_changed)
        session.catalogue.parts_changed.connect(self._parts_changed)
        session.bench.measures_changed.connect(self.refresh)
        session.file.closed.connect(self.answer_queue.wait)

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
        bench, slot, archived = self._bench, self._bench.slot, self._archived
        if not self._session.catalogue.has_parts(slot, archived):
            return
        self.model.show_build(bench.build)
        typed, measures = self.field.text(), bench.measures
        self.model.show_stock(
            self._stocks.shown(slot, archived, slot in self._paired, typed, measures)
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
        rows, session = self.rows, self._session
        self.head.say(rows, self._bench.slot in self._paired)
        if len(rows):
            self._pile.setCurrentWidget(self.table)
        elif rows.total or session.file.is_open:
            kind, typed = rows.stock.kind, self.field.text().strip()
            ones = 0
            if session.file.is_open:
                ones = len(session.catalogue.parts(kind.key, self._archived))
            title, help, offers = empty_words(rows.stock, ones, rows.total, typed)
            self._empty.say(title, help)
            self._empty.offer(offers)
            self._pile.setCurrentWidget(self._empty)

    def _stand(self) -> None:
        """Put the keyboard on the part in the slot, or on the first row."""
        row = self.rows.row_of(*self._standing) if self._standing else -1
        if row < 0:
            row = self.rows.row_now
        self.table.stand_on(max(row, 0))

    def _stand_nowhere(self) -> None:
        self._standing = ()
        self.table.setCurrentIndex(self.model.index(-1, -1))

    # Answers --------------------------------------------------------------------------------

    def _ask(self, wait: int = SOON) -> None:
        """Have worked out what the whole car would do with each row."""
        build, rows = self._bench.build, self.rows
        if build is None or not self._session.file.is_open:
            self.answer_queue.ask(None)
            return
        arrangement, room = rows.arrangement, self.table.rows_of_room
        row, above = self.table.currentIndex().row(), self._above()
        anchor = rows.place(row) if row >= 0 else -1
        self.answer_queue.ask(
            Question.about(build, rows.stock),
            lambda answers: in_sight(arrangement.rows(answers), anchor, above, room),
            wait,
        )

    def _above(self) -> int | None:
        """Return how many rows stand above the keyboard's, None where it may move."""
        row, sight = self.table.currentIndex().row(), self.table.in_sight
        return row - sight.start if row in sight and self.rows.answers is not None else None

    def _answered(self, answers: Answers) -> None:
        table, rows = self.table, self.rows
        above = self._above()
        self.model.show_answers(answers)
        row = table.currentIndex().row()
        if row < 0:
            self._stand()
        else:
            first = first_in_sight(row, above, table.rows_of_room, len(rows))
            table.verticalScrollBar().setValue(first)
        self._say()
        self._look()
        self.answer_queue.run(rows.stock.prepare)
        self.answer_queue.go_on(rows.order)

    def _look(self) -> None:
        """Ask for what is in sight and not yet worked out."""
        places = self.rows.order[list(self.table.in_sight)]
        self.answer_queue.look(places)
        self.table.settle_scale()

    def _looked_at(self) -> None:
        self.model.show_filled_in()
        self.table.settle_scale()

    def _went_on(self) -> None:
        self._chunks += 1
        is_time = self._chunks % RESORT == 0 or self.answer_queue.is_at_rest
        if is_time and self.rows.sorting_key in (BAND, CHANCE):
            self.model.sort_anew()

    def _went_late(self) -> None:
        self.model.show_late()
        self._say()

    # Hearing --------------------------------------------------------------------------------

    def _build_changed(self) -> None:
        if self.rows.stock.kind.key != self._bench.slot:
            self.refresh()
            return
        self.model.show_build(self._bench.build)
        self._ask()

    def _slot_changed(self) -> None:
        self._stand_nowhere()
        if self.field.text():
            self.field.clear()
        self.refresh()

    def _parts_changed(self, kind_key: str) -> None:
        if kind_key in (self._bench.slot, GOES_WITH.get(self._bench.slot)):
            self.refresh()
            self._stand()

    def _narrow(self, text: str) -> None:
        self.answer_queue.hold()
        self.model.narrow(text)
        if self._bench.slot in self._paired:
            self.refresh()
        self._say()
        self._stand()

    def _sorted_anew(self) -> None:
        self._say()
        self._look()
        self.answer_queue.go_on(self.rows.order)

    def _row_changed(self, row: int) -> None:
        if row < 0:
            return
        self.answer_queue.hold()
        parts = self._standing = self.rows.parts(row)
        self._bench.try_parts(bought(self._bench.build, parts), name_of(parts))

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
        self.model.show_fitting(not self.rows.fits_only)
        self._say()
        self._stand()

    def turn_pairing(self) -> None:
        """List the slot's parts with every part that goes with them, or alone again."""
        slot = self._bench.slot
        if slot not in GOES_WITH:
            return
        self._paired ^= {slot}
        self._stand_nowhere()
        self.refresh()

    def part_here(self) -> Part | None:
        """Return the part that the keyboard stands on."""
        row = self.table.currentIndex().row()
        return self.rows.part(row) if row >= 0 else None

    def column_here(self) -> str:
        """Return the key of the column that the keyboard stands in, or ""."""
        columns, column = self.rows.columns, self.table.currentIndex().column()
        return columns[column].key if 0 <= column < len(columns) else ""

    @property
    def keys(self) -> KeyMap:
        """What keys do in the field, or among the rows."""
        return FIELD if self.field.hasFocus() else SHELF

    def _put_in(self, row: int) -> None:
        self._session.builds.put_in(*self.rows.parts(row))

    def _hold(self, row: int) -> None:
        build, parts = self._bench.build, self.rows.parts(row)
        if build is not None:
            held = build.with_parts(bought(build, parts))
            self.hold_wanted.emit(held, f"with {name_of(parts)}")

    def _take_out(self, row: int) -> None:
        if self.rows.count_in(row):
            self._session.builds.take_out(self._bench.slot, self.rows.part(row))

    def _type(self, text: str) -> None:
        self.focus_field()
        if text:
            self.field.deselect()
            self.field.insert(text)

    def _give_up(self) -> None:
        """Show all rows again; then go back to what is in the slot; then to the slots."""
        now = self.rows.row_now
        if self.field.text():
            self.field.clear()
        elif now >= 0 and self.table.currentIndex().row() != now:
            self.table.stand_on(now)
        else:
            self._bench.try_parts(())
            self.left_behind.emit()

    def _bring_demo(self) -> None:
        from pennyspeed.resources import path

        self._session.imports.import_file(path(f"demo/parts/{self._bench.slot}.csv"))
