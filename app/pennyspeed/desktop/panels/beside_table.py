"""The table of builds beside each other: one column each, what differs marked and semibold."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.pieces import SlimBar
from pennyspeed.desktop.plots.beside import pen_of
from pennyspeed.desktop.sheet import Sheet, baseline
from pennyspeed.desktop.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.services.comparison import LETTERS, PARTS, SAME, Cell, Comparison, Row

MARGIN, ROW, HEAD, SIDE, COLUMN, GAP = 24, 21, 80, 176, 124, 8
SIGN = 14
Index = QModelIndex | QPersistentModelIndex


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
            self.rows = comparison.differing if only_differing else comparison.rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 – Qt's own signature
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() or self.comparison is None else len(self.comparison.names)

    def cell(self, row: int, column: int) -> Cell:
        """Return what stands in a cell."""
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
                return f"{text}: {speed} in this road"
        if not across and section < len(self.rows):
            row = self.rows[section]
            if role == Qt.ItemDataRole.DisplayRole:
                return row.label
            if role == Qt.ItemDataRole.AccessibleTextRole:
                return f"{row.label}, {'differs' if row.differs else 'alike'}"
            if role == Qt.ItemDataRole.ToolTipRole:
                return row.help or row.label
        return None


class BesideHeader(QHeaderView):
    """Builds across: line, letter, name and speed; labels down, with the sign of what differs."""

    def __init__(self, orientation: Qt.Orientation, table: BesideTable) -> None:
        super().__init__(orientation, table)
        self._table = table
        self.setMinimumSectionSize(8)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)

    def sizeHint(self) -> QSize:
        # Its own way of finding out asks every section.
        if self.orientation() == Qt.Orientation.Horizontal:
            return QSize(self.length(), px(HEAD))
        return QSize(px(SIDE), self.length())

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.orientation() == Qt.Orientation.Horizontal:
            view = self.viewport()
            painter = QPainter(view)
            wide = view.width() - px(MARGIN)
            left = 0 if self.layoutDirection() == Qt.LayoutDirection.LeftToRight else px(MARGIN)
            painter.fillRect(left, view.height() - 1, wide, 1, theme.current().line)
            painter.end()

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        painter.fillRect(rect, theme.current().ground)
        painter.save()
        painter.setClipRect(rect)
        painter.translate(rect.x(), rect.y())
        sheet = Sheet(painter, rect.width(), self)
        if self.orientation() == Qt.Orientation.Horizontal:
            self._paint_build(sheet, section)
        else:
            self._paint_label(sheet, section)
        painter.restore()

    def _paint_build(self, sheet: Sheet, section: int) -> None:
        model = self._table.beside
        comparison, colours, painter = model.comparison, sheet.theme, sheet.painter
        assert comparison is not None
        letter = model.letters[section]
        colour = colours.ink if section else colours.accent
        wide = sheet.width - px(24)
        here = self._table.currentIndex().column() == section and self._table.hasFocus()
        if here:
            sheet.fill(0, 0, sheet.width - px(16), px(HEAD), colours.tint)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(pen_of(LETTERS.index(letter), colours))
        start = sheet.left(px(GAP))
        end = start + wide * (-1 if sheet.mirrored else 1)
        painter.drawLine(QPointF(start, px(6) + 0.5), QPointF(end, px(6) + 0.5))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        line = px(10) + baseline(0, px(26), "name")
        width = sheet.text(px(GAP), line, letter, "heading", colour)
        x = px(GAP) + width + px(10)
        role = "name" if section else "name_chosen"
        room = wide - width - px(10)
        sheet.text(x, line, comparison.names[section], role, colour, room=room)
        line = px(36) + baseline(0, px(38), "beside")
        width = sheet.text(px(GAP), line, comparison.speeds[section], "beside", colours.ink)
        unit = model.measures.speed_unit.symbol
        sheet.text(px(GAP) + width + px(6), line, unit, "label", colours.ink2)

    def _paint_label(self, sheet: Sheet, section: int) -> None:
        model = self._table.beside
        row, colours = model.rows[section], sheet.theme
        line = baseline(0, px(ROW), "label")
        if row.differs:
            paint_differs(sheet, px(12), line - theme.metrics("label").capHeight() / 2)
        room = sheet.width - px(MARGIN) - px(4)
        colour = colours.ink2 if row.differs else colours.ink3
        sheet.text(px(MARGIN), line, row.label, "label", colour, room=room)
        if self._table.begins_group(section):
            sheet.fill(px(MARGIN), 0, sheet.width, 1, colours.rule)


def paint_differs(sheet: Sheet, x: float, y: float) -> None:
    """Draw the crossed equals sign that says 'this differs'."""
    painter, unit = sheet.painter, px(100) / 100
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(sheet.theme.ink, 1.5 * unit, c=Qt.PenCapStyle.FlatCap))
    middle = round(sheet.left(x))
    for up in (-2, 2):
        at = round(y) + up * unit
        painter.drawLine(QPointF(middle - 4.5 * unit, at), QPointF(middle + 4.5 * unit, at))
    painter.drawLine(
        QPointF(middle - 2 * unit, round(y) + 5 * unit),
        QPointF(middle + 2 * unit, round(y) - 5 * unit),
    )
    painter.restore()


class BesideCorner(QWidget):
    """The heading over the labels."""

    def __init__(self, table: BesideTable) -> None:
        super().__init__(table)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        line = px(10) + baseline(0, px(26), "heading")
        room = self.width() - px(MARGIN)
        sheet.text(px(MARGIN), line, "Beside each other", "heading", sheet.theme.ink, room=room)
        line = px(36) + baseline(0, px(38), "beside")
        sheet.text(px(MARGIN), line, "in this road", "label", sheet.theme.ink2, room=room)
        sheet.fill(px(MARGIN), self.height() - 1, self.width(), 1, sheet.theme.line)
        painter.end()


class BesideTable(QTableView):
    """Builds beside each other.

    Signals
    -------
    moved()
        The keyboard stands on another cell.
    restore_wanted(str), removed(str)
        Of a held build, by its letter.
    hold_wanted()
        Space: hold the car as it is.
    switched()
        Show all rows, or only those that differ.
    left_behind()
    """

    moved = Signal()
    restore_wanted = Signal(str)
    removed = Signal(str)
    hold_wanted = Signal()
    switched = Signal()
    left_behind = Signal()

    def __init__(self, model: BesideModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.beside = model
        self.setModel(model)
        self.setHorizontalHeader(BesideHeader(Qt.Orientation.Horizontal, self))
        self.setVerticalHeader(BesideHeader(Qt.Orientation.Vertical, self))
        self._corner = BesideCorner(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setCornerWidget(QWidget(self))
        self.setVerticalScrollBar(SlimBar("ground", self))
        self.setHorizontalScrollBar(SlimBar("ground", self, Qt.Orientation.Horizontal))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setTabKeyNavigation(False)
        self.setAccessibleName("builds beside each other")
        model.modelReset.connect(self.lay_out)
        self.restyle()

    # Layout ---------------------------------------------------------------------------------

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.horizontalHeader().setFixedHeight(px(HEAD))
        self.verticalHeader().setFixedWidth(px(SIDE))
        self.lay_out()
        self._corner.update()

    def lay_out(self) -> None:
        """Share the width among the builds; where they are many, they scroll."""
        count = max(self.beside.columnCount(), 1)
        room = self.width() - px(SIDE) - px(GAP)
        # Whole columns only; of few builds each has no more than a quarter.
        shown = min(max(count, 4), max(room // px(COLUMN), 1))
        wide = max(room // shown, px(COLUMN))
        self.horizontalHeader().setDefaultSectionSize(wide)
        self.updateGeometries()
        self._corner.setGeometry(self._corner_rect())
        self.viewport().update()

    def natural_height(self) -> int:
        """Return the height at which every row shows."""
        bar = px(8) if self.horizontalScrollBar().maximum() > 0 else 0
        return px(HEAD) + px(ROW) * self.beside.rowCount() + bar

    def begins_group(self, row: int) -> bool:
        """Tell whether a row is the first of its group, but not of the table."""
        rows = self.beside.rows
        return row > 0 and rows[row].group != rows[row - 1].group

    def _corner_rect(self) -> QRect:
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        return QRect(self.width() - px(SIDE) if mirrored else 0, 0, px(SIDE), px(HEAD))

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self.lay_out()

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        view = self.viewport()
        painter = QPainter(view)
        sheet = Sheet(painter, view.width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        model = self.beside
        for row in range(model.rowCount()):
            top = self.rowViewportPosition(row)
            if top + px(ROW) < 0 or top > view.height():
                continue
            if self.begins_group(row):
                sheet.fill(0, top, sheet.width - px(MARGIN), 1, sheet.theme.rule)
            for column in range(model.columnCount()):
                self._paint_cell(painter, row, column, top)
        painter.end()

    def _paint_cell(self, painter: QPainter, row: int, column: int, top: int) -> None:
        model, colours = self.beside, theme.current()
        left, wide = self.columnViewportPosition(column), self.columnWidth(column)
        if left + wide < 0 or left > self.viewport().width():
            return
        painter.save()
        painter.translate(left, top)
        sheet = Sheet(painter, wide, self)
        index = self.currentIndex()
        here = self.hasFocus() and (row, column) == (index.row(), index.column())
        if here:
            sheet.fill(0, 0, wide - px(16), px(ROW), colours.tint)
            for y in (0, px(ROW) - 1):
                sheet.fill(0, y, wide - px(16), 1, colours.accent)
        one, cell = model.rows[row], model.cell(row, column)
        room = wide - px(GAP) - px(12)
        line = baseline(0, px(ROW), "label")
        if cell.levels:
            self._paint_checks(sheet, cell, line, room)
        else:
            text = model.text(row, column)
            role = "label" if cell.same else "label_strong"
            is_grey = cell.same and (column > 0 or not one.differs)
            colour = colours.ink3 if is_grey else colours.ink
            sheet.text(px(GAP), line, text, role, colour, room=room)
        painter.restore()

    @staticmethod
    def _paint_checks(sheet: Sheet, cell: Cell, line: float, room: float) -> None:
        x = float(px(GAP))
        role = "label" if cell.same else "label_strong"
        side = px(SIGN)
        texts = [text for _, text in cell.levels]
        advance = theme.metrics(role).horizontalAdvance
        if sum(advance(text) + side + px(14) for text in texts) - px(10) > room:
            # The signs say which is which, so the counts alone will do.
            texts = [text.split()[0] if text[0].isdigit() else "" for text in texts]
        for (level, _), text in zip(cell.levels, texts, strict=True):
            sheet.sign(x, (px(ROW) - side) / 2, side, level)
            x += side + px(4)
            x += sheet.text(x, line, text, role, theme.sign_colour(level, sheet.theme)) + px(10)

    # Hands ----------------------------------------------------------------------------------

    @property
    def letter_here(self) -> str:
        """The letter of the column that the keyboard stands in, "" where it stands nowhere."""
        column = self.currentIndex().column()
        return self.beside.letters[column] if 0 <= column < len(self.beside.letters) else ""

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        self.horizontalHeader().viewport().update()
        self.moved.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        letter = event.text().upper()
        here = self.letter_here
        if event.text() == "=":
            self.switched.emit()
        elif plain and letter in LETTERS[1:] and letter:
            self.restore_wanted.emit(letter)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain and here > LETTERS[0]:
            self.restore_wanted.emit(here)
        elif key == Qt.Key.Key_Delete and plain and here > LETTERS[0]:
            self.removed.emit(here)
        elif key == Qt.Key.Key_Space and plain:
            self.hold_wanted.emit()
        elif key == Qt.Key.Key_Escape:
            self.left_behind.emit()
        elif plain and event.text() and event.text().isprintable():
            event.ignore()
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters put the car back to a held state."""

    def focusInEvent(self, event: Any) -> None:
        super().focusInEvent(event)
        self.viewport().update()
        self.horizontalHeader().viewport().update()

    def focusOutEvent(self, event: Any) -> None:
        super().focusOutEvent(event)
        self.viewport().update()
        self.horizontalHeader().viewport().update()
