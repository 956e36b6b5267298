"""Painted list: rows of their own heights below each other, placed and scrolled here, not by Qt."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QRect, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QListView, QWidget

from pennyspeed.desktop.widgets.model_index import Index
from pennyspeed.desktop.widgets.scrolling import ScrollBar


class PaintedList(QListView):
    """A column of rows that a panel paints; arrow keys, Home and End go from row to row."""

    def __init__(self, model: QAbstractItemModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModel(model)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(ScrollBar("side", self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)

    # For a panel to say ---------------------------------------------------------------------

    def span(self, row: int) -> tuple[int, int]:
        """Return where a row begins below the first, and how high it is."""
        raise NotImplementedError

    def line_height(self) -> int:
        """Return how far one turn of the wheel goes."""
        raise NotImplementedError

    # Placing and scrolling ------------------------------------------------------------------

    @property
    def count(self) -> int:
        """How many rows there are."""
        return self.model().rowCount()

    def needed(self) -> int:
        """Return the height that all rows need."""
        return sum(self.span(self.count - 1)) if self.count else 0

    def visualRect(self, index: Index) -> QRect:
        if not 0 <= index.row() < self.count:
            return QRect()
        top, high = self.span(index.row())
        return QRect(0, top - self.verticalOffset(), self.viewport().width(), high)

    def indexAt(self, point: Any) -> QModelIndex:
        y = point.y() + self.verticalOffset()
        for row in range(self.count):
            top, high = self.span(row)
            if top <= y < top + high:
                return self.model().index(row, 0)
        return QModelIndex()

    def doItemsLayout(self) -> None:
        """Rows are placed here, not by Qt, whose delayed layout would paint a second time."""

    def verticalOffset(self) -> int:
        return self.verticalScrollBar().value()

    def updateGeometries(self) -> None:
        bar = self.verticalScrollBar()
        bar.setRange(0, max(self.needed() - self.viewport().height(), 0))
        bar.setPageStep(self.viewport().height())
        bar.setSingleStep(self.line_height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.updateGeometries()

    def scrollTo(
        self,
        index: Index,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        rect, bar = self.visualRect(index), self.verticalScrollBar()
        if rect.top() < 0:
            bar.setValue(bar.value() + rect.top())
        elif rect.bottom() >= self.viewport().height():
            bar.setValue(bar.value() + rect.bottom() + 1 - self.viewport().height())

    # Hands ----------------------------------------------------------------------------------

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        last, here = self.count - 1, self.currentIndex().row()
        rows = {
            Qt.Key.Key_Up: here - 1,
            Qt.Key.Key_Down: here + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }
        if event.key() not in rows or last < 0:
            event.ignore()
            return
        index = self.model().index(min(max(rows[Qt.Key(event.key())], 0), last), 0)
        self.setCurrentIndex(index)
        self.scrollTo(index)
