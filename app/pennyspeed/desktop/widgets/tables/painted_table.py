"""Painted table: what the tables share that a panel paints whole, cells and headers alike."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, painting
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.scrolling import ScrollBar, frame_focus, make_bare
from pennyspeed.desktop.widgets.tables.model_index import Index


class TableHeader(QHeaderView):
    """A header whose sections are painted through a sheet."""

    def __init__(self, orientation: Qt.Orientation, grid: QWidget) -> None:
        super().__init__(orientation, grid)
        self.setMinimumSectionSize(8)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)

    @property
    def is_across(self) -> bool:
        """Whether it stands above the columns."""
        return self.orientation() == Qt.Orientation.Horizontal

    def extent(self) -> int:
        """Return its height above the columns, or its width beside the rows."""
        raise NotImplementedError

    def paint_section(self, painter: Painter, rect: QRect, section: int) -> None:
        """Paint one section; the sheet begins at its corner."""
        raise NotImplementedError

    def sizeHint(self) -> QSize:
        # Its own way of finding out asks every section.
        if self.is_across:
            return QSize(self.length(), self.extent())
        return QSize(self.extent(), self.length())

    def paintSection(self, qt_painter: QPainter, rect: QRect, section: int) -> None:
        qt_painter.fillRect(rect, theme.current().ground)
        qt_painter.save()
        qt_painter.setClipRect(rect)
        qt_painter.translate(rect.x(), rect.y())
        self.paint_section(Painter(qt_painter, rect.width(), self), rect, section)
        qt_painter.restore()


class TableCorner(QWidget):
    """What stands where both headers meet."""

    def __init__(self, grid: PaintedTable) -> None:
        super().__init__(grid)
        self._grid = grid

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            self._grid.paint_corner(painter, self.height())


class PlainTable(Scaled, QTableView):
    """A table without frame or grid, in which nothing is edited and whole rows scroll."""

    def __init__(self, model: QAbstractTableModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModel(model)
        make_bare(self)
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)

    def lay_out(self) -> None:
        """Give the columns their width."""
        raise NotImplementedError

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        self.frame_focus()

    def frame_focus(self) -> None:
        """Frame the table where it has the keyboard and its row is out of sight."""
        row = self.currentIndex().row()
        frame_focus(self, self.rowViewportPosition(row), self.rowHeight(row))

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        if self.hasFocus():
            self.viewport().update()

    def keyboardSearch(self, search: str) -> None:
        """Letters are the panel's."""


class PaintedTable(PlainTable):
    """A table with own headers and an own corner; one cell has the keyboard.

    Signals
    -------
    moved()
        The keyboard stands on another cell.
    left_behind()
        The person goes back.
    """

    moved = Signal()
    left_behind = Signal()

    def __init__(self, model: QAbstractTableModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.setCornerButtonEnabled(False)
        self.setCornerWidget(QWidget(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setHorizontalScrollBar(ScrollBar("ground", self, Qt.Orientation.Horizontal))
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self._corner = TableCorner(self)

    # For a table to say ---------------------------------------------------------------------

    def paint_corner(self, painter: Painter, height: int) -> None:
        """Paint where both headers meet."""
        raise NotImplementedError

    def do_key(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; False where it asks for nothing here."""
        raise NotImplementedError

    # Layout ---------------------------------------------------------------------------------

    def settle(self) -> None:
        """Take up other widths and heights, and what they mean for the corner."""
        self.updateGeometries()
        wide, high = self.verticalHeader().width(), self.horizontalHeader().height()
        place(self._corner, QRect(0, 0, wide, high))
        self._corner.update()
        self.viewport().update()

    # Hands ----------------------------------------------------------------------------------

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self._show_keyboard()
        self.moved.emit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._show_keyboard()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._show_keyboard()

    def _show_keyboard(self) -> None:
        for one in (self, self.horizontalHeader(), self.verticalHeader()):
            one.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self.do_key(event):
            return
        if event.key() == Qt.Key.Key_Escape:
            self.left_behind.emit()
        elif is_plain(event) and event.text() and event.text().isprintable():
            event.ignore()
        else:
            super().keyPressEvent(event)


def is_plain(event: QKeyEvent) -> bool:
    """Tell whether a key was pressed with no other held down."""
    return not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier


def is_enter(event: QKeyEvent) -> bool:
    """Tell whether Enter was pressed with no other key held down."""
    return event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and is_plain(event)
