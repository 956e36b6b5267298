"""The table of builds beside each other: one column each, what differs marked and semibold."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QWidget

from pennyspeed.desktop.beside import BESIDE
from pennyspeed.desktop.beside.beside_header import GAP, HEAD, MARGIN, ROW, SIDE, BesideHeader
from pennyspeed.desktop.beside.beside_model import BesideModel
from pennyspeed.desktop.beside.frozen_column import FrozenColumn
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.tables.model_index import Index
from pennyspeed.desktop.widgets.tables.painted_table import PaintedTable, is_enter, is_plain
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.prediction.comparison import LETTERS, Cell

COLUMN = 124
SIGN = 14


class BesideTable(PaintedTable):
    """Builds beside each other; where they are many they scroll, but the car now stays in sight.

    Signals
    -------
    restore_wanted(str), removed(str)
        Of a held build, by its letter.
    hold_wanted()
        Space: hold the car as it is.
    switched()
        Show all rows, or only those that differ.
    """

    restore_wanted = Signal(str)
    removed = Signal(str)
    hold_wanted = Signal()
    switched = Signal()

    def __init__(self, model: BesideModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.beside, self.frozen = model, FrozenColumn(self)
        self.setHorizontalHeader(BesideHeader(Qt.Orientation.Horizontal, model, self.frozen, self))
        self.setVerticalHeader(BesideHeader(Qt.Orientation.Vertical, model, self.frozen, self))
        self.setAccessibleName("builds beside each other")
        model.modelReset.connect(self.lay_out)
        self.horizontalScrollBar().valueChanged.connect(lambda _: self._show_keyboard())
        self._keys = KeyHandler(BESIDE, hold=self.hold_wanted.emit, remove=self._remove)
        self.rescale()

    # Layout ---------------------------------------------------------------------------------

    def rescale(self) -> None:
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.horizontalHeader().setFixedHeight(px(HEAD))
        self.verticalHeader().setFixedWidth(px(SIDE))
        self.lay_out()

    def lay_out(self) -> None:
        """Share the width among the builds; where they are many, they scroll."""
        count = max(self.beside.columnCount(), 1)
        room = self.width() - px(SIDE) - px(GAP)
        # Whole columns only; of few builds each has no more than a quarter.
        shown = min(max(count, 4), max(room // px(COLUMN), 1))
        wide = max(room // shown, px(COLUMN))
        self.horizontalHeader().setDefaultSectionSize(wide)
        self.settle()

    def paint_corner(self, painter: Painter, height: int) -> None:
        line = px(10) + baseline(0, px(26), "heading")
        room = painter.width - px(MARGIN)
        painter.text(px(MARGIN), line, "Beside each other", "heading", painter.theme.ink, room=room)
        line = px(36) + baseline(0, px(38), "beside")
        painter.text(px(MARGIN), line, "on this road", "label", painter.theme.ink2, room=room)
        painter.fill(px(MARGIN), height - 1, painter.width, 1, painter.theme.line)

    def over_rows(self) -> int:
        """Return the height of what is not a row."""
        return px(HEAD) + (px(8) if self.horizontalScrollBar().maximum() > 0 else 0)

    def natural_height(self) -> int:
        """Return the height at which every row shows."""
        return self.over_rows() + px(ROW) * self.beside.rowCount()

    # The column that stays ------------------------------------------------------------------

    def indexAt(self, point: QPoint) -> QModelIndex:
        return self.beside.index(self.rowAt(point.y()), self.frozen.column_at(point.x()))

    def visualRect(self, index: Index) -> QRect:
        rect = super().visualRect(index)
        return rect if index.column() else rect.translated(self.frozen.rect(1).x() - rect.x(), 0)

    def scrollTo(
        self,
        index: Index,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Bring a cell into sight, beside the column that stays and not under it."""
        bar = self.horizontalScrollBar()
        before = bar.value()
        super().scrollTo(index, hint)
        bar.setValue(min(bar.value(), index.column() - 1) if index.column() else before)

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        view = self.viewport()
        with painting(view, "ground") as painter:
            model = self.beside
            for row in range(model.rowCount()):
                top = self.rowViewportPosition(row)
                if top + px(ROW) < 0 or top > view.height():
                    continue
                if model.begins_group(row):
                    painter.fill(0, top, painter.width - px(MARGIN), 1, painter.theme.rule)
                if self.frozen.covers:
                    painter.qt_painter.setClipRect(self.frozen.beside())
                for column in range(1 if self.frozen.covers else 0, model.columnCount()):
                    self._paint_cell(painter.qt_painter, row, column, top)
                if self.frozen.covers:
                    painter.qt_painter.setClipping(False)
                    self._paint_cell(painter.qt_painter, row, 0, top)
            if self.frozen.covers:
                painter.qt_painter.fillRect(self.frozen.edge(view.height()), painter.theme.line)
        self.frame_focus()

    def _paint_cell(self, qt_painter: QPainter, row: int, column: int, top: int) -> None:
        model, colours = self.beside, theme.current()
        wide = self.columnWidth(column)
        left = self.columnViewportPosition(column) if column else self.frozen.rect(1).x()
        if left + wide < 0 or left > self.viewport().width():
            return
        qt_painter.save()
        qt_painter.translate(left, top)
        painter = Painter(qt_painter, wide, self)
        index = self.currentIndex()
        here = self.hasFocus() and (row, column) == (index.row(), index.column())
        if here:
            painter.fill(0, 0, wide - px(16), px(ROW), colours.tint)
            for y in (0, px(ROW) - 1):
                painter.fill(0, y, wide - px(16), 1, colours.accent)
        one, cell = model.rows[row], model.cell(row, column)
        room = wide - px(GAP) - px(12)
        line = baseline(0, px(ROW), "label")
        if cell.levels:
            self._paint_checks(painter, cell, line, room)
        else:
            text = model.text(row, column)
            role = "label" if cell.same else "label_strong"
            is_grey = cell.same and (column > 0 or not one.differs)
            colour = colours.ink3 if is_grey else colours.ink
            painter.text(px(GAP), line, text, role, colour, room=room)
        qt_painter.restore()

    @staticmethod
    def _paint_checks(painter: Painter, cell: Cell, line: float, room: float) -> None:
        x = float(px(GAP))
        role = "label" if cell.same else "label_strong"
        side = px(SIGN)
        texts = [text for _, text in cell.levels]
        advance = theme.metrics(role).horizontalAdvance
        if sum(advance(text) + side + px(14) for text in texts) - px(10) > room:
            # The signs say which is which, so the counts alone will do.
            texts = [text.split()[0] if text[0].isdigit() else "" for text in texts]
        for (level, _), text in zip(cell.levels, texts, strict=True):
            painter.sign(x, (px(ROW) - side) / 2, side, level)
            x += side + px(4)
            x += painter.text(x, line, text, role, theme.sign_colour(level, painter.theme)) + px(10)

    # Hands ----------------------------------------------------------------------------------

    @property
    def letter_here(self) -> str:
        """The letter of the column that the keyboard stands in, "" where it stands nowhere."""
        column = self.currentIndex().column()
        return self.beside.letters[column] if 0 <= column < len(self.beside.letters) else ""

    def do_key(self, event: QKeyEvent) -> bool:
        letter, here = event.text().upper(), self.letter_here
        # On some keyboards another key makes it.
        if event.text() == "=":
            self.switched.emit()
        elif is_plain(event) and letter and letter in LETTERS[1:]:
            self.restore_wanted.emit(letter)
        elif is_enter(event) and here > LETTERS[0]:
            self.restore_wanted.emit(here)
        else:
            return self._keys.act(event)
        return True

    def _remove(self) -> None:
        if self.letter_here > LETTERS[0]:
            self.removed.emit(self.letter_here)
