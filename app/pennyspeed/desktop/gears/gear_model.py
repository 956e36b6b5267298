"""What the gear chart's table shows, cell by cell, and what a screen reader says of it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.services.gears.gear_cells import SHOWS, SPEED, GearCells
from pennyspeed.services.gears.suited_gears import teeth


class GearModel(QAbstractTableModel):
    """Cells of a chart; what a screen reader says stands in its own role."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cells: GearCells | None = None
        self.show_what = SPEED

    @property
    def has_modules(self) -> bool:
        """Whether gears of several modules stand in it."""
        return self.cells is not None and self.cells.has_modules

    def take(self, cells: GearCells | None) -> None:
        """Show other cells."""
        self.beginResetModel()
        self.cells = cells
        self.endResetModel()

    def show(self, what: str) -> None:
        """Show another figure in every cell."""
        if what not in SHOWS:
            raise ValueError(f"{what!r}: expected one of {', '.join(SHOWS)}")
        if what != self.show_what:
            self.show_what = what
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, self.columnCount() - 1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 – Qt's own signature
        return 0 if self.cells is None or parent.isValid() else len(self.cells.spurs)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if self.cells is None or parent.isValid() else len(self.cells.pinions)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        cells = self.cells
        if cells is None or not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return cells.texts(self.show_what, row, column)[0]
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return cells.say(row, column)
        if role == Qt.ItemDataRole.AccessibleDescriptionRole:
            return cells.say_more(row, column)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        cells = self.cells
        if cells is None:
            return None
        parts = cells.pinions if orientation == Qt.Orientation.Horizontal else cells.spurs
        if not 0 <= section < len(parts):
            return None
        part = parts[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return str(teeth(part))
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            price = cells.price(part)
            text = f"{part.kind.label} {part.name}, {price} {cells.build.currency}"
            if orientation == Qt.Orientation.Vertical:
                text += f", teeth left on the pinion: {cells.teeth_left(section)}"
            return text
        return None
