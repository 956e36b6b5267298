"""What an editable table shows, cell by cell, and what a screen reader says of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.domain.checks import SIGN_WORDS
from pennyspeed.services.table_rows import Cell as Cell
from pennyspeed.services.table_rows import ColumnHead as ColumnHead
from pennyspeed.services.table_rows import TableRow as TableRow


class EditableTableModel(QAbstractTableModel):
    """Rows of text below declared columns."""

    def __init__(self, heads: Sequence[ColumnHead], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heads = tuple(heads)
        self.entries: Sequence[TableRow] = ()

    def take(self, entries: Sequence[TableRow]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self.entries = entries
        self.endResetModel()

    def take_heads(self, heads: Sequence[ColumnHead], entries: Sequence[TableRow]) -> None:
        """Show other columns."""
        self.beginResetModel()
        self.heads, self.entries = tuple(heads), entries
        self.endResetModel()

    def cell(self, row: int, column: int) -> Cell:
        return self.entries[row].cells[column]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 – Qt's own signature
        return 0 if parent.isValid() else len(self.entries)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        cell = self.cell(index.row(), index.column())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return cell.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            sign = "" if cell.level is None else f", {SIGN_WORDS[cell.level]}"
            title = self.heads[index.column()].title
            return f"{title}: {cell.text or 'blank'}{sign}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.heads):
            return None
        head = self.heads[section]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return head.title
        if role == Qt.ItemDataRole.ToolTipRole:
            return head.help
        return None
