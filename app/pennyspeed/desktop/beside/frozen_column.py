"""The column of the car now, which stays in sight where the others scroll under it."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QTableView

from pennyspeed.desktop.widgets.theme import px


class FrozenColumn:
    """The first column of a table."""

    def __init__(self, table: QTableView) -> None:
        self._table = table

    @property
    def covers(self) -> bool:
        """Whether others have scrolled under it."""
        bar = self._table.horizontalScrollBar()
        return bar.value() > 0 and self._table.model().columnCount() > 0

    def rect(self, height: int) -> QRect:
        """Return where it stands, of that height."""
        table = self._table
        wide = table.columnWidth(0)
        left = table.viewport().width() - wide if table.isRightToLeft() else 0
        return QRect(left, 0, wide, height)

    def edge(self, height: int) -> QRect:
        """Return the rule under which the other columns go."""
        own = self.rect(height)
        return QRect(own.left() if self._table.isRightToLeft() else own.right(), 0, px(1), height)

    def beside(self) -> QRect:
        """Return what of the viewport the other columns may cover."""
        view = self._table.viewport().rect()
        wide = self.rect(view.height()).width()
        left, right = (0, -wide) if self._table.isRightToLeft() else (wide, 0)
        return view.adjusted(left, 0, right, 0)

    def column_at(self, x: int) -> int:
        """Return the column in sight there, −1 where there is none."""
        own = self.rect(1)
        return 0 if own.left() <= x <= own.right() else self._table.columnAt(x)
