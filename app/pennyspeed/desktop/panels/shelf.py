"""The shelf: the catalogue's parts for the chosen slot, narrowed by typing, put in by Enter."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.shelf_model import ShelfModel
from pennyspeed.desktop.panels.shelf_table import HEAD as COLUMN_HEAD
from pennyspeed.desktop.panels.shelf_table import MARGIN, ROW, ShelfTable
from pennyspeed.desktop.pieces import LineField, Push, Wording
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.sheet import CENTRE, Sheet
from pennyspeed.desktop.table import Stock
from pennyspeed.desktop.theme import px
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts import Part

HEAD = 40


class Empty(QWidget):
    """What stands where no row is: why, and what would help.

    Signals
    -------
    brought()
        The person asks for the demo parts.
    """

    brought = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._title, self._help = "", ""
        self._push = Push("bring in the demo parts", self)
        self._push.clicked.connect(self.brought)

    def say(self, title: str, help: str, offers_demo: bool) -> None:
        """Show a sentence and what would help."""
        self._title, self._help = title, help
        self.setAccessibleName(f"{title} {help}")
        self._push.setVisible(offers_demo)
        self.update()

    def resizeEvent(self, event: object) -> None:
        hint = self._push.sizeHint()
        x = (self.width() - hint.width()) // 2
        self._push.setGeometry(x, self._middle() + px(40), hint.width(), hint.height())

    def _middle(self) -> int:
        return max(px(32), self.height() // 2 - px(24))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        middle, room = self._middle(), self.width() - 2 * px(MARGIN)
        at = self.width() / 2
        sheet.text(at, middle, self._title, "heading", sheet.theme.ink, CENTRE, room)
        sheet.text(at, middle + px(24), self._help, "body", sheet.theme.ink2, CENTRE, room)
        painter.end()


class ShelfPanel(QWidget):
    """Heading, narrowing field and table.

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
    """

    left_behind = Signal()
    edit_wanted = Signal(object)
    new_wanted = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stocks: dict[tuple[str, bool], tuple[list[Part], Stock]] = {}
        self._archived = False
        self._standing: Part | None = None
        self.model = ShelfModel(self)
        self.table = ShelfTable(self.model, self)
        self.field = LineField("type to narrow", self)
        self.field.setAccessibleName("narrow the shelf")
        self.field.setClearButtonEnabled(False)
        self._title = Wording("heading", self)
        self._note = Wording("label", self, quiet=True)
        self._new = Push("new part", self)
        self._new.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._empty = Empty(self)
        self._head = QHBoxLayout()
        self._head.addWidget(self._title)
        self._head.addWidget(self._note, 1)
        self._head.addWidget(self._new)
        self._head.addWidget(self.field)
        self._pile = QStackedLayout()
        self._pile.addWidget(self.table)
        self._pile.addWidget(self._empty)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addLayout(self._head)
        self._column.addLayout(self._pile, 1)

        self.field.textChanged.connect(self._narrow)
        self.field.installEventFilter(self)
        self.table.put_in.connect(self._put_in)
        self.table.taken_out.connect(self._take_out)
        self.table.edit_wanted.connect(lambda row: self.edit_wanted.emit(self.model.part(row)))
        self.table.typed.connect(self._type)
        self.table.left_behind.connect(self._leave)
        self.table.row_changed.connect(self._row_changed)
        self._new.clicked.connect(lambda: self.new_wanted.emit(self._session.slot))
        self._empty.brought.connect(self._bring_demo)
        session.build_changed.connect(self._build_changed)
        session.slot_changed.connect(self._slot_changed)
        session.parts_changed.connect(self._parts_changed)
        session.measures_changed.connect(self.refresh)
        self.restyle()

    # Showing --------------------------------------------------------------------------------

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self._head.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._head.setSpacing(px(16))
        self.field.setFixedSize(px(176), px(28))
        for one in (self._title, self._note, self._new, self.field, self._empty):
            one.restyle() if hasattr(one, "restyle") else one.update()
        for one in (self._title, self._note):
            one.setFixedHeight(px(HEAD))
        self.table.restyle()

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), px(HEAD) + px(COLUMN_HEAD) + 3 * px(ROW))

    @staticmethod
    def whole_rows(height: float) -> int:
        """Return the height next to `height` at which no row is cut."""
        over = px(HEAD) + px(COLUMN_HEAD)
        return over + max(round((height - over) / px(ROW)), 3) * px(ROW)

    def refresh(self) -> None:
        """Take the chosen slot's parts from the session."""
        slot, archived = self._session.slot, self._archived
        if not self._session.has_parts(slot, archived):
            return
        stock = self._stock(slot, archived)
        forecast = self._session.forecast
        self.model.show_build(self._session.build, forecast.costs if forecast else None)
        self.model.show_stock(stock)
        self._say()
        if self.table.currentIndex().row() < 0 or self._standing is None:
            self._stand()

    @property
    def shows_archived(self) -> bool:
        """Whether archived parts are listed."""
        return self._archived

    def show_archived(self, archived: bool) -> None:
        """List archived parts too, or hide them."""
        if archived != self._archived:
            self._archived = archived
            self.refresh()

    def _stock(self, slot: str, archived: bool) -> Stock:
        parts = self._session.parts(slot, archived)
        known = self._stocks.get((slot, archived))
        measures: Measures = self._session.measures
        if known is None or known[0] is not parts or known[1].measures != measures:
            known = parts, Stock(BY_KEY[slot], parts, measures)
            self._stocks[slot, archived] = known
        return known[1]

    def _say(self) -> None:
        model, kind = self.model, self.model.stock.kind
        shown, total = model.rowCount(), model.total
        plural = kind.plural[0].upper() + kind.plural[1:]
        self._title.say(f"{plural} that could go in")
        column, order = model.sorted_by
        way = "" if order == Qt.SortOrder.AscendingOrder else ", largest first"
        count = f"{shown:,}" if shown == total else f"{shown:,} of {total:,}"
        self._note.say(f"{count} on the shelf, by {model.columns[column].title}{way}", count)
        if shown:
            self._pile.setCurrentWidget(self.table)
        elif total:
            typed = self.field.text().strip()
            help = f"Escape shows all {total:,} again."
            self._empty.say(f"No {kind.label} on the shelf has “{typed}” in it", help, False)
            self._pile.setCurrentWidget(self._empty)
        elif self._session.is_open:
            help = "Write one down with Ctrl+Shift+N, or bring a file in with Ctrl+O."
            self._empty.say(f"No {kind.plural} on the shelf yet", help, True)
            self._pile.setCurrentWidget(self._empty)

    def _stand(self) -> None:
        """Put the keyboard on the part in the slot, or on the first row."""
        row = self.model.row_of(self._standing)
        if row < 0:
            row = self.model.row_now
        self.table.stand_on(max(row, 0))

    # Hearing --------------------------------------------------------------------------------

    def _build_changed(self) -> None:
        if self.model.stock.kind.key != self._session.slot:
            self.refresh()
            return
        forecast = self._session.forecast
        self.model.show_build(self._session.build, forecast.costs if forecast else None)

    def _slot_changed(self) -> None:
        self._standing = None
        self.table.setCurrentIndex(self.model.index(-1, -1))
        if self.field.text():
            self.field.clear()
        self.refresh()

    def _parts_changed(self, kind_key: str) -> None:
        if kind_key == self._session.slot:
            self.refresh()
            self._stand()

    def _narrow(self, text: str) -> None:
        self.model.narrow(text)
        self._say()
        self._stand()

    def _row_changed(self, row: int) -> None:
        if row < 0:
            return
        self._standing = self.model.part(row)
        kind = self.model.stock.kind
        inside = self.model.count_in(row) and not kind.many
        self._session.try_part(None if inside else self._standing)

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
        self._say()

    def turn_round(self) -> None:
        """Sort the other way round."""
        self.table.turn_round()
        self._say()

    def part_here(self) -> Part | None:
        """Return the part that the keyboard stands on."""
        row = self.table.currentIndex().row()
        return self.model.part(row) if row >= 0 else None

    def _put_in(self, row: int) -> None:
        self._session.put_in(self.model.part(row))

    def _take_out(self, row: int) -> None:
        if self.model.count_in(row):
            self._session.take_out(self._session.slot, self.model.part(row))

    def _type(self, text: str) -> None:
        self.focus_field()
        if text:
            self.field.deselect()
            self.field.insert(text)

    def _leave(self) -> None:
        if self.field.text():
            self.field.clear()
        else:
            self.left_behind.emit()

    def _bring_demo(self) -> None:
        from pennyspeed.resources import path

        self._session.bring(path(f"demo/parts/{self._session.slot}.csv"))

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

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme.current().ground)
        painter.end()
