"""The table of money: lines by date or as they stand, or sums, worked by the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import QAbstractItemView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from pennyspeed.desktop.charts.strokes import paint_circle
from pennyspeed.desktop.money.money_model import MoneyModel
from pennyspeed.desktop.money.money_widths import GAP, LATE, SIGN, shared
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import Painter, baseline, fitted
from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.desktop.widgets.tables.titled_table import HEAD, MARGIN, TitledTable
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.services.money.money_rows import MoneyRow

ROW, BAR = 26, 4


class _Cells(QStyledItemDelegate):
    """Paints one cell of the table."""

    def __init__(self, table: MoneyTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(self, qt_painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        rect: QRect = option.rect
        qt_painter.save()
        qt_painter.setClipRect(rect)
        qt_painter.translate(rect.x(), rect.y())
        self._table.paint_cell(Painter(qt_painter, rect.width(), self._table), index)
        qt_painter.restore()


class MoneyTable(OwnKeys, TitledTable):
    """Rows of money, one of which has the keyboard, in one of its columns.

    Signals
    -------
    edit_wanted()
        A double click on a row.

    Attributes
    ----------
    handler : KeyHandler or None
        Does what the keys of :data:`pennyspeed.desktop.money.MONEY` ask for.
    """

    edit_wanted = Signal()
    handler: KeyHandler | None = None

    row_height, gap, title_lift = ROW, GAP, 0

    def __init__(self, model: MoneyModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.money = model
        self.setItemDelegate(_Cells(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setAccessibleName("lines of money")
        model.modelReset.connect(self.lay_out)
        model.dataChanged.connect(self.viewport().update)
        self.rescale()

    # Layout ---------------------------------------------------------------------------------

    def title(self, column: int) -> tuple[str, bool]:
        return self.money.columns[column].title, self.money.columns[column].numeric

    def lay_out(self) -> None:
        """Give the columns their width; some stay out on a tight one."""
        room = self.viewport().width() - px(MARGIN) - self.right_margin
        widths = shared(self.money, room)
        for i in range(len(self.money.columns)):
            self.setColumnHidden(i, i not in widths)
        for i, width in widths.items():
            before = px(MARGIN) if i == self.first else 0
            after = self.right_margin if i == self.last else px(GAP)
            self.setColumnWidth(i, before + width + after)
        self.settle()

    @property
    def right_margin(self) -> int:
        """What stays free behind the last column, beside the scroll bar."""
        return px(MARGIN) - (self.width() - self.viewport().width())

    @property
    def first(self) -> int:
        """The first column that shows."""
        shown = (i for i in range(len(self.money.columns)) if not self.isColumnHidden(i))
        return next(shown, 0)

    @property
    def last(self) -> int:
        """The last column that shows."""
        shown = [i for i in range(len(self.money.columns)) if not self.isColumnHidden(i)]
        return shown[-1] if shown else 0

    def natural_height(self) -> int:
        """Return the height at which every row shows."""
        return px(HEAD) + px(ROW) * max(self.money.rowCount(), 1)

    # Painting -------------------------------------------------------------------------------

    def paint_cell(self, painter: Painter, index: Index) -> None:
        """Paint one cell; the sheet begins at its corner."""
        place, column = index.row(), self.money.columns[index.column()]
        row, colours = self.money.rows[place], painter.theme
        here = self.currentIndex()
        is_here = here.row() == place
        qt_painter = painter.qt_painter
        ground = colours.tint if is_here else colours.ground
        painter.fill(0, 0, painter.width, px(ROW), ground)
        left, right = self.edges(index.column())
        if index.column() == self.first:
            if is_here:
                painter.fill(0, 0, px(BAR), px(ROW), colours.accent)
            if row.key in self.money.marked:
                painter.sign(px(8), (px(ROW) - px(12)) / 2, px(12), Level.OK)
        line = baseline(0, px(ROW), "body")
        text, role, colour = row.cells[column.key], "body", colours.ink
        strong = ("name", "amount")
        if column.key in strong:
            role = "name_chosen" if is_here else "name"
        elif column.key in ("part", "from", "price", "so_far", "lines"):
            colour = colours.ink2
        if column.key == "status":
            at = QPointF(painter.left(left + px(5)), px(ROW) / 2)
            paint_circle(qt_painter, at, px(5), row.sign, colours.ink2, ground)
            left += px(SIGN)
        if column.key == "name":
            self._paint_name(painter, row, line, left, right, role)
        elif column.numeric:
            if column.key == "arrives" and row.is_late:
                role, colour = "name_chosen", colours.watch
                side = px(14)
                end = right - px(LATE)
                painter.figure(end, end - left, line, text, role, colour)
                painter.sign(right - side, (px(ROW) - side) / 2, side, Level.WARN)
            else:
                painter.figure(right, right - left, line, text, role, colour, right - left)
        else:
            painter.text(left, line, text, role, colour, room=right - left)
        if is_here and self.hasFocus():
            for y in (0, px(ROW) - 1):
                painter.fill(0, y, painter.width, 1, colours.accent)
            if here.column() == index.column() and row.index is not None:
                self._paint_here(painter, left, right)

    def _paint_here(self, painter: Painter, left: int, right: int) -> None:
        """Underline the column in which Enter would edit."""
        painter.fill(left, px(ROW) - px(4), right - left, px(2), painter.theme.accent)

    @staticmethod
    def _paint_name(
        painter: Painter, row: MoneyRow, line: float, left: int, right: int, role: str
    ) -> None:
        notes, room = ", ".join(row.notes), right - left
        text = row.cells["name"]
        if not notes:
            painter.text(left, line, text, role, painter.theme.ink, room=room)
            return
        both = theme.words(text, role).width + px(8) + theme.words(notes, "label").width
        name_room = room if both <= room else max(room * 0.5, room - both + theme.words(
            text, role).width)  # fmt: skip
        width = fitted(text, role, name_room).width
        painter.text(left, line, text, role, painter.theme.ink, room=name_room)
        rest = room - width - px(8)
        colour = painter.theme.watch if row.is_late else painter.theme.ink2
        painter.text(left + width + px(8), line, notes, "label", colour, room=rest)

    # Hands ----------------------------------------------------------------------------------

    def stand_on(self, row: int, column: int = -1) -> None:
        """Put the keyboard on a row."""
        count = self.money.rowCount()
        if count:
            place = min(max(row, 0), count - 1)
            across = column if column >= 0 else self.currentIndex().column()
            across = min(max(across, self.first), self.last)
            self.setCurrentIndex(self.money.index(place, across))

    def focusInEvent(self, event: QFocusEvent) -> None:
        if not self.currentIndex().isValid():
            self.stand_on(0)
        super().focusInEvent(event)

    def is_own(self, event: QKeyEvent) -> bool:
        # F2 renames the build elsewhere.
        return event.key() == Qt.Key.Key_F2 and not event.modifiers()

    def do_key(self, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Escape and self.money.marked:
            self.money.clear_marks()
            return True
        return self.handler is not None and self.handler.act(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self.indexAt(event.position().toPoint()).isValid():
            self.edit_wanted.emit()
