"""The shelf's rows as Qt's views and screen readers read them."""

from __future__ import annotations

from typing import Any

import numpy as np
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt, Signal

from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.services.shelf.answer_columns import CHECK
from pennyspeed.services.shelf.answers import Answers
from pennyspeed.services.shelf.shelf_rows import ShelfRows
from pennyspeed.services.shelf.stock import Stock

_NO_INDEX = QModelIndex()


class ShelfModel(QAbstractTableModel):
    """Tells views what changes in the rows; text and sort key are two roles.

    Signals
    -------
    arranged()
        Other rows are shown, or in another order.
    """

    arranged = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows = ShelfRows()

    # What is shown ----------------------------------------------------------------------------

    def show_stock(self, stock: Stock) -> None:
        """Show other parts; what they bring is not known yet."""
        if stock is not self.rows.stock:
            self.beginResetModel()
            self.rows.show_stock(stock)
            self.endResetModel()
            self.arranged.emit()

    def show_build(self, build: Build | None) -> None:
        """Show which parts are in a build; answers, order and rows stay until new ones come.

        Without a build there are none to come: the parts stand alone.
        """
        rows = self.rows
        terms, were_in, had_answers = rows.terms, set(rows.inside), rows.answers is not None
        rows.show_build(build)
        if terms != rows.terms or (had_answers and build is None):
            self.beginResetModel()
            rows.name_columns()
            rows.arrange()
            self.endResetModel()
            self.arranged.emit()
            return
        for row in map(rows.row_at, were_in ^ set(rows.inside)):
            if row >= 0:
                self.dataChanged.emit(self.index(row, 0), self.index(row, len(rows.columns) - 1))

    def show_answers(self, answers: Answers) -> None:
        """Show what the whole car would do with each row; rows take their new order."""
        self.rows.answers, self.rows.is_late = answers, False
        self.sort_anew()

    def show_late(self) -> None:
        """Mark the answers as those of another build."""
        self.rows.is_late = True
        self.show_filled_in()

    def narrow(self, text: str) -> None:
        """Keep the parts in which every word of `text` is found."""
        text = text.strip().casefold()
        if text != self.rows.narrowing:
            self.rows.narrowing = text
            self._reset_rows()

    def show_fitting(self, fits_only: bool) -> None:
        """Leave out what does not fit, or show it."""
        if fits_only != self.rows.fits_only:
            self.rows.fits_only = fits_only
            self._reset_rows()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort by a column; what does not fit comes last, and what is not known among each."""
        if 0 <= column < len(self.rows.columns):
            self.rows.sort(column, order == Qt.SortOrder.DescendingOrder)
            self.sort_anew(always=True)

    @property
    def sorted_by(self) -> tuple[int, Qt.SortOrder]:
        """The column that orders the rows, and which way."""
        column, falls = self.rows.sorted_by
        return column, Qt.SortOrder.DescendingOrder if falls else Qt.SortOrder.AscendingOrder

    def _reset_rows(self) -> None:
        self.beginResetModel()
        self.rows.arrange()
        self.endResetModel()
        self.arranged.emit()

    def sort_anew(self, always: bool = False) -> None:
        """Put the rows in their order, what was filled in too; whoever holds one keeps it."""
        before, after = self.rows.order, self.rows.arrangement.rows(self.rows.answers)
        if len(after) != len(before) or not np.array_equal(np.sort(after), np.sort(before)):
            self.beginResetModel()
            self.rows.order = after
            self.endResetModel()
        elif always or not np.array_equal(after, before):
            self.layoutAboutToBeChanged.emit()
            self.rows.order = after
            place = np.empty(self.rows.total, dtype=int)
            place[after] = np.arange(len(after))
            old = self.persistentIndexList()
            new = [self.index(int(place[before[one.row()]]), one.column()) for one in old]
            self.changePersistentIndexList(old, new)
            self.layoutChanged.emit()
        else:
            self.show_filled_in()
            return
        self.arranged.emit()

    def show_filled_in(self) -> None:
        """Show answers that were filled in; rows stay where they are."""
        if len(self.rows):
            last = self.index(len(self.rows) - 1, len(self.rows.columns) - 1)
            self.dataChanged.emit(self.index(0, self.rows.answers_from), last)

    # Qt's own ---------------------------------------------------------------------------------

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.rows.columns)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        rows, row, column = self.rows, index.row(), index.column()
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return rows.text(row, column)
            case Qt.ItemDataRole.AccessibleTextRole:
                return rows.spoken(row) if column == 0 else self._said(row, column)
            case Qt.ItemDataRole.ToolTipRole:
                return rows.hint(row, column) or None
            case Qt.ItemDataRole.TextAlignmentRole:
                is_figure = rows.columns[column].numeric
                side = Qt.AlignmentFlag.AlignRight if is_figure else Qt.AlignmentFlag.AlignLeft
                return side | Qt.AlignmentFlag.AlignVCenter
            case Qt.ItemDataRole.UserRole:
                return float(rows.keys(column)[rows.place(row)])
            case _:
                return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.rows.columns):
            return None
        column = self.rows.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        return column.help if role == Qt.ItemDataRole.ToolTipRole else None

    def _said(self, row: int, column: int) -> str:
        one, text = self.rows.columns[column], self.rows.text(row, column)
        if one.key == CHECK:
            level = self.rows.level(row)
            sign = "" if level in (None, Level.OK) else f"{theme.SIGN_WORDS[level]}: "
            text = f"{sign}{text}"
        return f"{one.title}: {text}"
