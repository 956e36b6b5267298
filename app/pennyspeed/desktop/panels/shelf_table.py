"""The shelf's table: painted row by row, worked by arrow keys and Enter."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.shelf_model import NOW, ShelfModel
from pennyspeed.desktop.pieces import SlimBar
from pennyspeed.desktop.sheet import RIGHT, Sheet, baseline
from pennyspeed.desktop.table import Index
from pennyspeed.desktop.theme import px

MARGIN, GAP, BAR = 24, 12, 4
ROW, HEAD = 32, 24
NAME_ROOM = (136, 320)
SAMPLE = 256
"""Rows whose texts are measured for a column's width."""


class ShelfHeader(QHeaderView):
    """Column titles; the one that sorts stands in ink, with a mark that points the way."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(8)
        self.setDefaultAlignment(Qt.AlignmentFlag.AlignVCenter)
        self.setAccessibleName("column titles")

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), px(HEAD))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        model = self.model()
        assert isinstance(model, ShelfModel)
        painter.fillRect(rect, theme.current().ground)
        painter.save()
        painter.translate(rect.x(), rect.y())
        sheet = Sheet(painter, rect.width(), self)
        column = model.columns[section]
        sorting, order = model.sorted_by
        is_sorting = section == sorting
        role = "label_strong" if is_sorting else "label"
        colour = sheet.theme.ink if is_sorting else sheet.theme.ink3
        line = baseline(0, rect.height(), "label")
        if column.numeric:
            width = sheet.text(rect.width(), line, column.title, role, colour, RIGHT)
            mark = rect.width() - width - px(10)
        else:
            start = px(MARGIN) if section == 0 else px(GAP)
            width = sheet.text(start, line, column.title, role, colour)
            mark = start + width + px(4)
        if is_sorting:
            self._mark(painter, sheet.left(mark, px(7)), line, order)
        painter.restore()

    def _mark(self, painter: QPainter, x: float, line: float, order: Qt.SortOrder) -> None:
        wide, high = px(7), px(5)
        top = line - high - px(2)
        if order == Qt.SortOrder.AscendingOrder:
            points = [(x, top + high), (x + wide, top + high), (x + wide / 2, top)]
        else:
            points = [(x, top), (x + wide, top), (x + wide / 2, top + high)]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.current().ink)
        painter.drawPolygon(QPolygonF([QPointF(*point) for point in points]))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)


class ShelfTable(QTableView):
    """Rows of parts.

    Signals
    -------
    put_in(int)
        Enter or a double click on that row.
    taken_out(int)
        Delete on a row whose part is in the build.
    edit_wanted(int)
        F2 on that row.
    typed(str)
        Letters that belong into the narrowing field.
    left_behind()
        The person goes back to the slots.
    row_changed(int)
        The keyboard stands on another row.
    """

    put_in = Signal(int)
    taken_out = Signal(int)
    edit_wanted = Signal(int)
    typed = Signal(str)
    left_behind = Signal()
    row_changed = Signal(int)

    def __init__(self, model: ShelfModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shelf = model
        self.setModel(model)
        self.setHorizontalHeader(ShelfHeader(self))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(8)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(SlimBar("ground", self))
        self.setShowGrid(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setTabKeyNavigation(False)
        self.setAccessibleName("the shelf")
        self.setSortingEnabled(False)
        self.horizontalHeader().sectionClicked.connect(self._header_clicked)
        model.modelReset.connect(self.lay_out)
        self.restyle()

    # Layout ---------------------------------------------------------------------------------

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.horizontalHeader().setFixedHeight(px(HEAD))
        self.lay_out()
        self.viewport().update()

    def lay_out(self) -> None:
        """Give every column its width; figures that have no room stay out, the last first."""
        model = self.shelf
        columns = model.columns
        wants = [self._width_of(i) for i in range(len(columns))]
        room = self.viewport().width() - px(MARGIN)
        name = min(max(wants[0], px(NAME_ROOM[0])), px(NAME_ROOM[1]))
        fields = len(model.stock.columns)
        used = name + sum(wants[fields:])
        for i in range(1, fields):
            fits = used + wants[i] <= room
            if fits:
                used += wants[i]
            self.setColumnHidden(i, not fits)
            if not fits:
                for rest in range(i + 1, fields):
                    self.setColumnHidden(rest, True)
                break
        shown = [i for i in range(1, len(columns)) if not self.isColumnHidden(i)]
        slack = max(room - used, 0)
        share = slack // (len(shown) + 1)
        self.setColumnWidth(0, name + slack - share * len(shown))
        for i in shown:
            self.setColumnWidth(i, wants[i] + share)

    def _width_of(self, column: int) -> int:
        model = self.shelf
        title = theme.metrics("label_strong").horizontalAdvance(model.columns[column].title) + px(
            12
        )
        count = model.rowCount()
        step = max(count // SAMPLE, 1)
        texts = {model.text(row, column) for row in range(0, count, step)}
        longest = sorted(texts, key=len, reverse=True)[:8]
        widest = max((theme.metrics("figure").horizontalAdvance(t) for t in longest), default=0)
        lead = px(MARGIN) if column == 0 else 0
        return round(max(title, widest)) + px(GAP) + lead

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.lay_out()

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        width = self.viewport().width()
        sheet = Sheet(painter, width, self)
        region, asked = event.region(), event.rect()
        painter.fillRect(asked, sheet.theme.ground)
        model, high = self.shelf, px(ROW)
        first = self.rowAt(max(asked.top(), 0))
        if first >= 0:
            columns = [
                (i, self._start(i), self.columnWidth(i), model.columns[i].numeric)
                for i in range(len(model.columns))
                if not self.isColumnHidden(i)
            ]
            money = [column for column in columns if column[0] >= model.money_from]
            current = self.currentIndex().row()
            focused = self.hasFocus()
            # After a swap most rows are asked for their money only.
            name = round(sheet.left(px(MARGIN), 1))
            for row in range(first, model.rowCount()):
                top = self.rowViewportPosition(row)
                if top > asked.bottom():
                    break
                is_whole = region.contains(QPoint(name, top + high // 2))
                shown = columns if is_whole else money
                self._paint_row(sheet, row, top, high, shown, row == current, focused)
        painter.end()

    def _start(self, column: int) -> int:
        left = self.columnViewportPosition(column)
        if self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            return self.viewport().width() - left - self.columnWidth(column)
        return left

    def _paint_row(
        self,
        sheet: Sheet,
        row: int,
        top: int,
        high: int,
        columns: list[tuple[int, int, int, bool]],
        chosen: bool,
        focused: bool,
    ) -> None:
        model, colours = self.shelf, sheet.theme
        inside = model.count_in(row)
        if chosen:
            sheet.fill(0, top, sheet.width, high, colours.tint)
            sheet.fill(0, top, px(BAR), high, colours.accent)
            if focused:
                sheet.fill(0, top, sheet.width, 1, colours.accent)
                sheet.fill(0, top + high - 1, sheet.width, 1, colours.accent)
        line = baseline(top, high, "body")
        part = model.part(row)
        strong = bool(inside) or chosen
        ink = colours.ink3 if part.archived else colours.ink
        name_role = "name_chosen" if strong else "name"
        figure_role = "figure" if strong else "body"
        if inside:
            sheet.dot(px(13), line - theme.metrics("body").capHeight() / 2, px(4), colours.accent)
        for column, start, width, numeric in columns:
            text = model.text(row, column)
            if column == 0:
                name = f"{text}  (archived)" if part.archived else text
                room = width - px(MARGIN) - px(8)
                sheet.text(start + px(MARGIN), line, name, name_role, ink, room=room)
                continue
            colour = colours.ink3 if model.is_dim(row, column) else ink
            role = figure_role
            if text == NOW or (inside and model.columns[column].key == "change"):
                colour, role = colours.accent, "figure"
            elif model.is_over(row, column):
                colour, role = colours.watch, "figure"
            if numeric:
                sheet.text(start + width, line, text, role, colour, RIGHT, width - px(8))
            else:
                sheet.text(start + px(GAP), line, text, role, colour, room=width - px(GAP))

    # Hands ----------------------------------------------------------------------------------

    def stand_on(self, row: int) -> None:
        """Put the keyboard on a row, scrolled into the middle where it was out of sight."""
        if not 0 <= row < self.shelf.rowCount():
            return
        index = self.shelf.index(row, 0)
        self.setCurrentIndex(index)
        view = self.viewport().rect()
        if not view.contains(self.visualRect(index)):
            self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)

    def dataChanged(self, first: Index, last: Index, roles: Sequence[int] = ()) -> None:
        """Ask for the cells between to be painted anew, and no others."""
        rows = self.viewport().rect()
        top = max(self.rowViewportPosition(first.row()), 0)
        bottom = self.rowViewportPosition(last.row()) + px(ROW)
        left = self._start(first.column()) if first.column() else 0
        width = rows.width() - left
        if self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            left = 0
        self.viewport().update(QRect(left, top, width, min(bottom, rows.height()) - top))

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        self.row_changed.emit(current.row())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            self.put_in.emit(index.row())

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_F2:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.currentIndex().row()
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        back = (
            Qt.Key.Key_Right
            if self.layoutDirection() == Qt.LayoutDirection.RightToLeft
            else Qt.Key.Key_Left
        )
        key = event.key()
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and row >= 0:
            self.put_in.emit(row)
        elif key == Qt.Key.Key_Delete and row >= 0 and plain:
            self.taken_out.emit(row)
        elif key == Qt.Key.Key_F2 and row >= 0:
            self.edit_wanted.emit(row)
        elif (key == back and plain) or key == Qt.Key.Key_Escape:
            self.left_behind.emit()
        elif control and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.sort_beside(-1 if key == Qt.Key.Key_Left else 1)
        elif plain and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            event.accept()
        elif event.text() and event.text().isprintable() and not control:
            self.typed.emit("" if event.text() == "/" else event.text().strip())
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters narrow the shelf instead."""

    # Sorting --------------------------------------------------------------------------------

    def sort_beside(self, step: int) -> None:
        """Sort by the next column shown, or the one before."""
        shown = [i for i in range(len(self.shelf.columns)) if not self.isColumnHidden(i)]
        column, order = self.shelf.sorted_by
        place = shown.index(column) if column in shown else 0
        self.sort_by(shown[(place + step) % len(shown)], order)

    def turn_round(self) -> None:
        """Sort the other way round."""
        column, order = self.shelf.sorted_by
        up = Qt.SortOrder.AscendingOrder
        self.sort_by(column, Qt.SortOrder.DescendingOrder if order == up else up)

    def sort_by(self, column: int, order: Qt.SortOrder) -> None:
        """Sort, and keep the row that the keyboard stands on in sight."""
        self.shelf.sort(column, order)
        self.horizontalHeader().viewport().update()
        self.viewport().update()
        self.scrollTo(self.currentIndex())

    def _header_clicked(self, column: int) -> None:
        if column == self.shelf.sorted_by[0]:
            self.turn_round()
        else:
            self.sort_by(column, Qt.SortOrder.AscendingOrder)
