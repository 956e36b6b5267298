"""The model of the money table: rows of texts, which of them are marked, and how they are said."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt

from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.services.money.money_rows import MoneyRow, MoneyRows
from pennyspeed.services.shelf.stock import Column


class MoneyModel(QAbstractTableModel):
    """Rows of money; lines of the build can be marked."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.columns: tuple[Column, ...] = ()
        self.rows: tuple[MoneyRow, ...] = ()
        self.marked: set[str] = set()

    def take(self, found: MoneyRows) -> None:
        """Show other rows; marks stay on those that are still there."""
        self.beginResetModel()
        self.columns, self.rows = found.columns, found.rows
        self.marked &= {row.key for row in self.rows}
        self.endResetModel()

    def turn_mark(self, row: int) -> None:
        """Mark a line, or take its mark away; sums and orders have none."""
        one = self.rows[row]
        if one.index is not None:
            self.marked ^= {one.key}
            self.dataChanged.emit(self.index(row, 0), self.index(row, len(self.columns) - 1))

    def clear_marks(self) -> None:
        """Take every mark away."""
        if self.marked:
            self.marked.clear()
            self.dataChanged.emit(
                self.index(0, 0), self.index(len(self.rows) - 1, len(self.columns) - 1)
            )

    def places(self, row: int) -> list[int]:
        """Return the build's lines that a key acts on: the marked ones, else that of a row."""
        marked = [one.index for one in self.rows if one.key in self.marked]
        if not marked and 0 <= row < len(self.rows):
            marked = [self.rows[row].index]
        return [index for index in marked if index is not None]

    def row_of(self, key: str) -> int:
        """Return the place of a row, −1 where it is gone."""
        return next((i for i, row in enumerate(self.rows) if row.key == key), -1)

    def column_of(self, key: str) -> int:
        """Return the place of a column, −1 where there is none."""
        return next((i for i, column in enumerate(self.columns) if column.key == key), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 – Qt's own signature
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.columns)

    def text(self, row: int, column: int) -> str:
        """Return what a cell shows."""
        return self.rows[row].cells[self.columns[column].key]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, column = self.rows[index.row()], self.columns[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.cells[column.key]
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.sentence(index.row())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            said = f"{column.title}: {row.cells[column.key] or 'none'}"
            if column.key == "name" and row.notes:
                said = f"{said}, {', '.join(row.notes)}"
            return f"{said}, marked" if row.key in self.marked else said
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.numeric else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def sentence(self, row: int) -> str:
        """Return all that a row says, hidden columns included."""
        one = self.rows[row]
        told = [
            f"{column.title} {one.cells[column.key]}"
            for column in self.columns
            if one.cells[column.key] and column.key not in ("name", "status")
        ]
        status = one.cells.get("status", "")
        lead = [one.cells["name"], *([status] if status else []), *one.notes]
        return f"{', '.join(lead)}: {'; '.join(told)}"

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{column.title}: {column.help}"
        return None
