"""What a ledger shows, cell by cell, and what a screen reader says of it."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.model_index import Index
from pennyspeed.domain.checks import Level


@dataclass(frozen=True, slots=True)
class ColumnHead:
    """One column.

    Attributes
    ----------
    title, help : str
        The header, and one sentence about it.
    numeric : bool
        Whether its figures stand to the right.
    grows : bool
        Whether it takes width that is to spare, and gives it up first.
    """

    title: str
    help: str
    numeric: bool = False
    grows: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell.

    Attributes
    ----------
    text : str
    level : Level or None
        Its sign stands before the text.
    typed : str or None
        The text as it is edited; None where it cannot be.
    tone : str
        "strong", "quiet", or "" for plain.
    """

    text: str = ""
    level: Level | None = None
    typed: str | None = None
    tone: str = ""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row.

    Attributes
    ----------
    key : hashable
        What it stands for: where rows are renewed, the keyboard stays with it.
    """

    key: Hashable
    cells: tuple[Cell, ...]


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
        """Return what stands in a cell."""
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
            sign = "" if cell.level is None else f", {theme.SIGN_WORDS[cell.level]}"
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
