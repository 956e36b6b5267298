"""Titled table: a painted table with a title above each column and nothing beside its rows."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QRect, Qt
from PySide6.QtWidgets import QHeaderView, QWidget

from pennyspeed.desktop.widgets.painter import Painter, baseline
from pennyspeed.desktop.widgets.tables.painted_table import PaintedTable, TableHeader
from pennyspeed.desktop.widgets.theme import px

MARGIN, HEAD = 24, 28


class TitleHeader(TableHeader):
    """The titles, with a rule below."""

    def __init__(self, table: TitledTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._table = table

    def extent(self) -> int:
        return px(HEAD)

    def paint_section(self, painter: Painter, rect: QRect, section: int) -> None:
        table, colours = self._table, painter.theme
        title, is_numeric = table.title(section)
        left, right = table.edges(section)
        line = baseline(0, rect.height() - table.title_lift, "label")
        room = right - left
        if is_numeric:
            painter.figure(right, room, line, title, "label", colours.ink3, room)
        else:
            painter.text(left, line, title, "label", colours.ink3, room=room)
        end = right if section == table.last else rect.width()
        painter.fill(left, rect.height() - 1, end - left, 1, colours.line)


class TitledTable(PaintedTable):
    """A table whose first and last columns keep the page's margins.

    Attributes
    ----------
    row_height, gap : int
        Of a row, and between two columns, at 100 % text.
    title_lift : int
        So much the titles stand above the middle.
    """

    row_height, gap, title_lift = 28, 16, 1

    def __init__(self, model: QAbstractTableModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.setHorizontalHeader(TitleHeader(self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setMinimumSectionSize(1)

    def title(self, column: int) -> tuple[str, bool]:
        """Return a column's title, and whether it holds figures."""
        raise NotImplementedError

    def paint_corner(self, painter: Painter, height: int) -> None:
        """There is no corner, as there are no headers beside the rows."""

    def rescale(self) -> None:
        self.verticalHeader().setDefaultSectionSize(px(self.row_height))
        self.horizontalHeader().setFixedHeight(px(HEAD))
        self.lay_out()

    @property
    def first(self) -> int:
        """The first column that shows."""
        return 0

    @property
    def last(self) -> int:
        """The last column that shows."""
        return self.model().columnCount() - 1

    @property
    def right_margin(self) -> int:
        """What stays free behind the last column."""
        return px(MARGIN)

    def inside(self, column: int, width: int) -> tuple[int, int]:
        """Return where the text of a cell of that width may begin and end."""
        left = px(MARGIN) if column == self.first else 0
        return left, width - (self.right_margin if column == self.last else px(self.gap))

    def edges(self, column: int) -> tuple[int, int]:
        """Return where the text of a column's cells may begin and end."""
        return self.inside(column, self.columnWidth(column))
