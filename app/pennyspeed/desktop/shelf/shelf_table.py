"""The shelf's table: a plot across its rows, worked by arrow keys and Enter."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QPoint, QRect, Qt, Signal, SignalInstance
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QWidget

from pennyspeed.desktop.shelf import SHELF
from pennyspeed.desktop.shelf.row_painter import HEAD, MARGIN, ROW, RowPainter, strip
from pennyspeed.desktop.shelf.shelf_header import ShelfHeader
from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.desktop.shelf.shelf_widths import Widths
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.desktop.widgets.tables.painted_table import PlainTable, is_plain
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.shelf.answer_columns import BAND, BEST_FIRST
from pennyspeed.services.shelf.band_scale import Scale, scale_of

VIEW_KEYS = tuple("123456789")
"""Never typed into the filter."""
UP, DOWN = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder


class ShelfTable(OwnKeys, PlainTable):
    """Rows of parts, each with what the whole car would do.

    Signals
    -------
    put_in(int)
        Enter or a double click on that row.
    taken_out(int)
        Delete on a row whose part is in the build.
    edit_wanted(int)
        F2 on that row.
    hold_wanted(int)
        Space on that row: the car with it is to be held beside.
    typed(str)
        Letters that belong into the narrowing field.
    left_behind()
        The person goes back to the slots.
    given_up()
        Escape.
    row_changed(int)
        The keyboard stands on another row.
    sight_changed()
        Other rows are in sight.
    sorted_anew()
        Another column sorts, or the other way round.
    """

    put_in = Signal(int)
    taken_out = Signal(int)
    edit_wanted = Signal(int)
    hold_wanted = Signal(int)
    typed = Signal(str)
    left_behind = Signal()
    given_up = Signal()
    row_changed = Signal(int)
    sight_changed = Signal()
    sorted_anew = Signal()

    def __init__(self, model: ShelfModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.shelf, self.rows = model, model.rows
        self.scale: Scale | None = None
        self._widths = Widths(model.rows)
        self._painter = RowPainter(model.rows)
        self._header = ShelfHeader(model.rows, self)
        self.hidden: frozenset[str] = frozenset()
        self.setHorizontalHeader(self._header)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(8)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setAccessibleName("the shelf")
        self.setSortingEnabled(False)
        self.horizontalHeader().sectionClicked.connect(self._header_clicked)
        model.modelReset.connect(self.lay_out)
        model.arranged.connect(self.sight_changed)
        self.verticalScrollBar().valueChanged.connect(self.sight_changed)
        self._keys = KeyHandler(
            SHELF,
            put_in=self._sayer(self.put_in),
            edit=self._sayer(self.edit_wanted),
            hold=self._sayer(self.hold_wanted),
        )
        self.rescale()

    # Layout ---------------------------------------------------------------------------------

    def rescale(self) -> None:
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.horizontalHeader().setFixedHeight(px(HEAD))
        self.lay_out()

    def lay_out(self) -> None:
        """Give every column that has room its width, and hide the others."""
        widths = self._widths.share(self.viewport().width(), self.hidden)
        for i in range(len(self.rows.columns)):
            self.setColumnHidden(i, i not in widths)
        for i, width in widths.items():
            self.setColumnWidth(i, width)

    def hide_columns(self, keys: frozenset[str]) -> None:
        """Leave out the columns of these keys; what they leave free goes to the others."""
        if keys != self.hidden:
            self.hidden = keys
            self.lay_out()
            self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.sight_changed.emit()

    @property
    def in_sight(self) -> range:
        count = len(self.rows)
        first = max(self.rowAt(0), 0) if count else 0
        return range(first, min(first + self.rows_of_room, count))

    @property
    def rows_of_room(self) -> int:
        """How many rows there is room for."""
        return max(-(-self.viewport().height() // px(ROW)), 1)

    def settle_scale(self) -> None:
        """Let the strip's scale follow the rows in sight."""
        rows = self.rows
        bands = [rows.band(row) for row in self.in_sight]
        speeds = [speed for band in bands if band is not None for speed in band]
        scale = scale_of(speeds, (rows.target, rows.speed_now), self.scale)
        if scale != self.scale:
            self.scale = scale
            self._header.show_scale(scale)
            self.viewport().update()

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        self._paint_rows(event)
        self.frame_focus()

    def _paint_rows(self, event: QPaintEvent) -> None:
        with painting(self.viewport()) as painter:
            region, asked = event.region(), event.rect()
            painter.qt_painter.fillRect(asked, painter.theme.ground)
            rows, high = self.rows, px(ROW)
            first = self.rowAt(max(asked.top(), 0))
            if first < 0:
                return
            columns = [
                (i, self._start(i), self.columnWidth(i))
                for i in range(len(rows.columns))
                if not self.isColumnHidden(i)
            ]
            last = min(first + -(-asked.height() // high) + 1, len(rows))
            wide = self.viewport().width()
            tops = {row: self.rowViewportPosition(row) for row in range(first, last)}
            tops = {
                row: top
                for row, top in tops.items()
                if region.intersects(QRect(0, top, wide, high))
            }
            current, focused = self.currentIndex().row(), self.hasFocus()
            across = next(
                (strip(start, width) for i, start, width in columns if self._is_band(i)), None
            )
            for row, top in tops.items():
                self._painter.ground(painter, row, top, row == current, focused)
                if across is not None and self.scale is not None:
                    self._painter.band(painter, row, top, across, self.scale, row == current)
            if across is not None and self.scale is not None:
                bottom = self.rowViewportPosition(len(rows) - 1) + high
                self._painter.lines(
                    painter, min(bottom, self.viewport().height()), across, self.scale
                )
            # What hangs on the build changes more often than the rest.
            answers = [column for column in columns if column[0] >= rows.answers_from]
            name = round(painter.left(px(MARGIN), 1))
            for row, top in tops.items():
                is_whole = region.contains(QPoint(name, top + high // 2))
                self._painter.words(
                    painter, row, top, columns if is_whole else answers, row == current
                )
                if across is not None and self.scale is not None:
                    self._painter.ring(painter, row, top, across, self.scale)

    def _is_band(self, column: int) -> bool:
        return self.rows.columns[column].key == BAND

    def _start(self, column: int) -> int:
        left = self.columnViewportPosition(column)
        if self.isRightToLeft():
            return self.viewport().width() - left - self.columnWidth(column)
        return left

    # Hands ----------------------------------------------------------------------------------

    def stand_on(self, row: int) -> None:
        """Put the keyboard on a row, scrolled into the middle where it was out of sight."""
        if not 0 <= row < len(self.rows):
            return
        index = self.shelf.index(row, 0)
        self.setCurrentIndex(index)
        if not self.viewport().rect().contains(self.visualRect(index)):
            self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)

    def dataChanged(self, first: Index, last: Index, roles: Sequence[int] = ()) -> None:
        """Ask for the cells between to be painted anew, and no others."""
        rows = self.viewport().rect()
        top = max(self.rowViewportPosition(first.row()), 0)
        bottom = self.rowViewportPosition(last.row()) + px(ROW)
        left = self._start(first.column()) if first.column() else 0
        width = rows.width() - left
        if self.isRightToLeft():
            left = 0
        self.viewport().update(QRect(left, top, width, min(bottom, rows.height()) - top))

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        for row in (previous.row(), current.row()):
            if row >= 0:
                top, width = self.rowViewportPosition(row), self.viewport().width()
                self.viewport().update(QRect(0, top, width, px(ROW)))
        self.row_changed.emit(current.row())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            self.put_in.emit(index.row())

    def is_own(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_F2

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = is_plain(event)
        back = Qt.Key.Key_Right if self.isRightToLeft() else Qt.Key.Key_Left
        key = event.key()
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        row = self.currentIndex().row()
        if row >= 0 and self._keys.act(event):
            return
        if key == Qt.Key.Key_Delete and row >= 0 and plain:
            self.taken_out.emit(row)
        elif key == back and plain:
            self.left_behind.emit()
        elif key == Qt.Key.Key_Escape:
            self.given_up.emit()
        elif control and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.sort_beside(-1 if key == Qt.Key.Key_Left else 1)
        elif plain and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            event.accept()
        elif event.text() in VIEW_KEYS:
            event.ignore()
        elif event.text() and event.text().isprintable() and not control:
            self.typed.emit("" if event.text() == "/" else event.text().strip())
        else:
            super().keyPressEvent(event)

    def _sayer(self, signal: SignalInstance) -> Callable[[], None]:
        """Return what says a signal of the row that has the keyboard."""
        return lambda: signal.emit(self.currentIndex().row())

    # Sorting --------------------------------------------------------------------------------

    def sort_beside(self, step: int) -> None:
        """Sort by the next column shown, or the one before."""
        shown = [i for i in range(len(self.rows.columns)) if not self.isColumnHidden(i)]
        column, _ = self.rows.sorted_by
        place = shown.index(column) if column in shown else 0
        self._sort_first_by(shown[(place + step) % len(shown)])

    def turn_round(self) -> None:
        """Sort the other way round."""
        column, falls = self.rows.sorted_by
        self.sort_by(column, UP if falls else DOWN)

    def sort_by(self, column: int, order: Qt.SortOrder) -> None:
        """Sort, and keep the row that the keyboard stands on in sight."""
        self.shelf.sort(column, order)
        self.horizontalHeader().viewport().update()
        self.viewport().update()
        self.scrollTo(self.currentIndex())
        self.sorted_anew.emit()

    def _sort_first_by(self, column: int) -> None:
        """Sort by a column, the best first where more is better."""
        is_best = self.rows.columns[column].key in BEST_FIRST
        self.sort_by(column, DOWN if is_best else UP)

    def _header_clicked(self, column: int) -> None:
        if column == self.rows.sorted_by[0]:
            self.turn_round()
        else:
            self._sort_first_by(column)
