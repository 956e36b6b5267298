"""Where the gear chart's cells stand in its table, whichever way the language runs."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect
from PySide6.QtWidgets import QTableView

from pennyspeed.desktop.widgets.theme import px

MARGIN, HEAD, GROUP, SIDE = 24, 44, 20, 72
ROW = 36


class GearGrid:
    """Places of cells in a table's viewport.

    Parameters
    ----------
    table : QTableView
        Whose rows are :data:`ROW` high.
    """

    def __init__(self, table: QTableView) -> None:
        self.table = table

    @property
    def is_mirrored(self) -> bool:
        """Whether the first column is the rightmost."""
        return self.table.isRightToLeft()

    @property
    def view(self) -> QRect:
        return self.table.viewport().rect()

    def box(self, row: int, column: int) -> QRect:
        """Return where a cell stands."""
        table, high = self.table, px(ROW)
        left, top = table.columnViewportPosition(column), table.rowViewportPosition(row)
        return QRect(left, top, table.columnWidth(column), high)

    def corner(self, row: int, column: int) -> QPointF:
        """Return where a corner of the grid stands."""
        model = self.table.model()
        rows, columns = model.rowCount(), model.columnCount()
        one = self.box(min(row, rows - 1), min(column, columns - 1))
        y = one.top() + (one.height() if row == rows else 0)
        after = column == columns
        x = one.left() + (one.width() if after != self.is_mirrored else 0)
        return QPointF(x, y)

    def beyond(self) -> int:
        """Return where the last column ends."""
        last = self.box(0, self.table.model().columnCount() - 1)
        return last.left() + (0 if self.is_mirrored else last.width())

    def in_sight(self) -> tuple[range, range]:
        """Return the rows and columns that show at least in part."""
        model, view = self.table.model(), self.view
        tops = [self.box(row, 0) for row in range(model.rowCount())]
        sides = [self.box(0, column) for column in range(model.columnCount())]
        rows = [one.bottom() >= 0 and one.top() < view.height() for one in tops]
        columns = [one.right() >= 0 and one.left() < view.width() for one in sides]
        return _span(rows), _span(columns)

    def is_whole(self, row: int, column: int) -> bool:
        """Tell whether no edge of the viewport cuts a cell; half a figure reads as another."""
        return self.view.contains(self.box(row, column))


def _span(shows: list[bool]) -> range:
    """Return the places from the first that shows to the last."""
    places = [i for i, one in enumerate(shows) if one]
    return range(places[0], places[-1] + 1) if places else range(0)
