"""What builds beside each other show, cell by cell, and what a screen reader says of it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.comparison import PARTS, SAME, Cell, Comparison, Row


class BesideModel(QAbstractTableModel):
    """Rows of a comparison; the first column is the car now."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.comparison: Comparison | None = None
        self.letters: list[str] = []
        self.rows: tuple[Row, ...] = ()
        self.measures = Measures()

    def take(
        self,
        comparison: Comparison | None,
        letters: list[str],
        measures: Measures,
        only_differing: bool,
    ) -> None:
        """Show another comparison."""
        self.beginResetModel()
        self.comparison, self.letters, self.measures = comparison, letters, measures
        if comparison is None:
            self.rows = ()
        else:
            # Where nothing differs there would be nowhere to stand.
            self.rows = (comparison.differing if only_differing else ()) or comparison.rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 – Qt's own signature
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() or self.comparison is None else len(self.comparison.names)

    def begins_group(self, row: int) -> bool:
        """Tell whether a row is the first of its group, but not of the table."""
        return row > 0 and self.rows[row].group != self.rows[row - 1].group

    def cell(self, row: int, column: int) -> Cell:
        return self.rows[row].cells[column]

    def text(self, row: int, column: int) -> str:
        """Return what a cell shows: of rows in which all parts are alike, that once."""
        one = self.rows[row]
        if column and not one.differs and one.group == PARTS:
            return SAME
        return one.cells[column].text

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        one, cell = self.rows[row], self.cell(row, column)
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(row, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return cell.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            said = f"{self.letters[column]}, {one.label}: {cell.text}"
            return said if cell.same else f"{said}, differs"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        comparison = self.comparison
        if comparison is None or section < 0:
            return None
        across = orientation == Qt.Orientation.Horizontal
        if across and section < len(comparison.names):
            text = f"{self.letters[section]} {comparison.names[section]}"
            if role == Qt.ItemDataRole.DisplayRole:
                return text
            if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
                speed = f"{comparison.speeds[section]} {self.measures.speed_unit.symbol}"
                return f"{text}: {speed} on this road"
        if not across and section < len(self.rows):
            row = self.rows[section]
            if role == Qt.ItemDataRole.DisplayRole:
                return row.label
            if role == Qt.ItemDataRole.AccessibleTextRole:
                return f"{row.label}, {'differs' if row.differs else 'alike'}"
            if role == Qt.ItemDataRole.ToolTipRole:
                return row.help or row.label
        return None
