"""Painted list: a list view whose rows one delegate measures and paints whole."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractItemModel, QRect, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from pennyspeed.desktop.widgets.painter import Ground, Painter, painting
from pennyspeed.desktop.widgets.scrolling import frame_focus, make_bare
from pennyspeed.desktop.widgets.tables.model_index import Index

STEPS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End)


class RowDelegate(QStyledItemDelegate):
    """Measures and paints the rows of a :class:`PaintedList`."""

    def __init__(self, view: PaintedList) -> None:
        super().__init__(view)
        self._view = view

    def row_height(self, row: int) -> int:
        """Return how high a row is."""
        raise NotImplementedError

    def paint_row(self, painter: Painter, row: int, height: int, has_focus: bool) -> None:
        """Paint a row whose top is 0; `has_focus` tells whether the keyboard is on it."""
        raise NotImplementedError

    def is_current(self, row: int) -> bool:
        """Tell whether a row is the current one, wherever the keyboard is."""
        return row == self._view.currentIndex().row()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(1, self.row_height(index.row()))

    def paint(self, qt_painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        rect: QRect = option.rect
        has_focus = bool(option.state & QStyle.StateFlag.State_HasFocus)
        qt_painter.save()
        qt_painter.translate(rect.topLeft())
        painter = Painter(qt_painter, rect.width(), self._view)
        self.paint_row(painter, index.row(), rect.height(), has_focus)
        qt_painter.restore()


class PaintedList(QListView):
    """A column of painted rows; arrow keys, Home and End go from row to row.

    Parameters
    ----------
    ground : Ground
        The colour behind the rows, as the theme calls it.
    """

    def __init__(
        self, model: QAbstractItemModel, ground: Ground, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._ground: Ground = ground
        self.setModel(model)
        make_bare(self, ground)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        # Laid out only when it is painted, a list would paint a second time.
        model.modelReset.connect(self.executeDelayedItemsLayout)

    def needed_height(self) -> int:
        """Return the height that all rows need."""
        return sum(self.sizeHintForRow(row) for row in range(self.model().rowCount()))

    def dataChanged(self, first: Index, last: Index, roles: Sequence[int] = ()) -> None:
        """Have these rows painted anew; Qt would lay out and paint all of them."""
        for row in range(first.row(), last.row() + 1):
            self.viewport().update(self.visualRect(self.model().index(row, 0)))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self.viewport(), self._ground):
            pass
        super().paintEvent(event)
        row = self.visualRect(self.currentIndex())
        frame_focus(self, row.top(), row.height())

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        # What Qt moves on the screen may be old, where rows changed since.
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in STEPS and self.model().rowCount():
            super().keyPressEvent(event)
            event.accept()
        else:
            event.ignore()
