"""Editable table: words and amounts, whose cells are edited where they stand."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting, wrapped
from pennyspeed.desktop.widgets.tables.editable_table_model import (
    ColumnHead,
    EditableTableModel,
    TableRow,
)
from pennyspeed.desktop.widgets.tables.painted_table import is_enter, is_plain
from pennyspeed.desktop.widgets.tables.table_cell_editor import TableCellEditor
from pennyspeed.desktop.widgets.tables.titled_table import MARGIN, TitledTable
from pennyspeed.desktop.widgets.theme import px

SIGN, BAR = 14, 4
MEASURED = 200
"""So many rows say how wide a column is."""
MANY = 2000
"""Of more rows than this the place is kept, not the row."""
LEAST, WIDEST = 40, 360


class EditableTable(OwnKeys, TitledTable):
    """A table of declared columns; Enter edits a cell that can be edited, else it acts.

    Parameters
    ----------
    name : str
        What a screen reader calls it.
    empty : str
        What it says while it has no rows.

    Attributes
    ----------
    take : callable or None
        Called with row, column and what was typed; raises BadInput where that is none.

    Signals
    -------
    acted(int)
        Enter was pressed on a row, at a cell that is not edited.
    removed(int)
        The row is to go.
    new_wanted()
        A row is to be added.
    """

    acted = Signal(int)
    removed = Signal(int)
    new_wanted = Signal()

    def __init__(
        self, name: str, heads: Sequence[ColumnHead], empty: str = "", parent: QWidget | None = None
    ) -> None:
        self.entries_model = EditableTableModel(heads)
        super().__init__(self.entries_model, parent)
        self.entries_model.setParent(self)
        self._empty = empty
        self.take: Callable[[int, int, str], None] | None = None
        self.setAccessibleName(name)
        self.editor = TableCellEditor(self)
        self.rescale()

    # Rows -----------------------------------------------------------------------------------

    def show_entries(
        self, entries: Sequence[TableRow], heads: Sequence[ColumnHead] | None = None
    ) -> None:
        """Show other rows, with the keyboard on the row where it was."""
        before, column = self.key_here, max(self.currentIndex().column(), 0)
        place = self.currentIndex().row()
        if heads is None:
            self.entries_model.take(entries)
        else:
            self.entries_model.take_heads(heads, entries)
        self.lay_out()
        if 0 < len(entries) <= MANY:
            found = (i for i, entry in enumerate(entries) if entry.key == before)
            place = next(found, place)
        if len(entries):
            column = min(column, self.entries_model.columnCount() - 1)
            self.stand_on(min(max(place, 0), len(entries) - 1), column)
        self.viewport().update()

    @property
    def key_here(self) -> Hashable:
        """The key of the row that the keyboard stands on; None where it stands nowhere."""
        row = self.currentIndex().row()
        return (
            self.entries_model.entries[row].key
            if 0 <= row < self.entries_model.rowCount()
            else None
        )

    def stand_on(self, row: int, column: int | None = None) -> None:
        """Put the keyboard's place on a row."""
        here = max(self.currentIndex().column(), 0) if column is None else column
        self.setCurrentIndex(self.entries_model.index(row, here))

    def stand_on_key(self, key: Hashable, column: int = 0) -> bool:
        """Put the keyboard's place on the row of a key; tell whether there is one."""
        for row, entry in enumerate(self.entries_model.entries):
            if entry.key == key:
                self.stand_on(row, column)
                return True
        return False

    # Layout ---------------------------------------------------------------------------------

    def title(self, column: int) -> tuple[str, bool]:
        head = self.entries_model.heads[column]
        return head.title, head.numeric

    def lay_out(self) -> None:
        """Give each column what it needs, and what is to spare to those that grow."""
        model = self.entries_model
        wide = [self._needed(column) for column in range(model.columnCount())]
        growing = [i for i, head in enumerate(model.heads) if head.grows]
        spare = self.viewport().width() - sum(wide)
        for left, column in zip(range(len(growing), 0, -1), growing, strict=True):
            share = round(spare / left)
            least = px(3 * LEAST) + sum(self._beside(column))
            new = max(wide[column] + share, min(wide[column], least))
            spare -= new - wide[column]
            wide[column] = new
        header = self.horizontalHeader()
        for column, width in enumerate(wide):
            header.resizeSection(column, width)
        self.settle()

    def _beside(self, column: int) -> tuple[int, int]:
        left, right = self.inside(column, 0)
        return left, -right

    def _needed(self, column: int) -> int:
        model = self.entries_model
        advance = theme.metrics("figure").horizontalAdvance
        texts: list[float] = [theme.metrics("label").horizontalAdvance(model.heads[column].title)]
        for row in range(min(model.rowCount(), MEASURED)):
            cell = model.cell(row, column)
            sign = px(SIGN + 6) if cell.level is not None else 0
            texts.append(advance(cell.text) + sign)
        most = px(WIDEST)
        return round(min(max(*texts, px(LEAST)), most)) + 1 + sum(self._beside(column))

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        view = self.viewport()
        with painting(view, "ground") as painter:
            count = self.entries_model.rowCount()
            if not count:
                room = view.width() - 2 * px(MARGIN)
                for i, text in enumerate(wrapped(self._empty, "body", room)):
                    line = baseline(px(8) + i * px(20), px(20), "body")
                    painter.text(px(MARGIN), line, text, "body", painter.theme.ink2)
            first = max(self.rowAt(0), 0)
            for row in range(first, count):
                top = self.rowViewportPosition(row)
                if top > view.height():
                    break
                self._paint_row(painter.qt_painter, painter, row, top)
        self.frame_focus()

    def _paint_row(self, qt_painter: QPainter, painter: Painter, row: int, top: int) -> None:
        colours, current = painter.theme, self.currentIndex()
        here = row == current.row()
        here = here and self.has_keyboard
        if here:
            painter.fill(0, top, painter.width, px(self.row_height), colours.tint)
            painter.fill(0, top, px(BAR), px(self.row_height), colours.accent)
        for column in range(self.entries_model.columnCount()):
            wide, left = self.columnWidth(column), self.columnViewportPosition(column)
            if left + wide < 0 or left > self.viewport().width():
                continue
            qt_painter.save()
            qt_painter.translate(left, top)
            is_current = here and column == current.column()
            self._paint_cell(Painter(qt_painter, wide, self), row, column, here, is_current)
            qt_painter.restore()

    def _paint_cell(
        self, painter: Painter, row: int, column: int, chosen: bool, is_current: bool
    ) -> None:
        cell, colours = self.entries_model.cell(row, column), painter.theme
        left, right = self.inside(column, round(painter.width))
        if is_current:
            for y in (0, px(self.row_height) - 1):
                painter.fill(left - px(4), y, right - left + px(8), 1, colours.accent)
        if cell.level is not None:
            painter.sign(left, (px(self.row_height) - px(SIGN)) / 2, px(SIGN), cell.level)
            left += px(SIGN + 6)
        role = "figure" if chosen or cell.tone == "strong" else "body"
        colour = colours.ink3 if cell.tone == "quiet" else colours.ink
        if cell.level is not None:
            colour = theme.sign_colour(cell.level, colours)
        line = baseline(0, px(self.row_height), role)
        if self.entries_model.heads[column].numeric:
            painter.figure(right, right - left, line, cell.text, role, colour, right - left)
        else:
            painter.text(left, line, cell.text, role, colour, room=right - left)

    # Hands ----------------------------------------------------------------------------------

    @property
    def has_keyboard(self) -> bool:
        """Whether the keyboard is here: of several tables on a page only one shows its row."""
        return self.hasFocus() or self.editor.has_keyboard

    def can_edit(self, row: int, column: int) -> bool:
        """Tell whether a cell can be edited."""
        is_there = (
            0 <= row < self.entries_model.rowCount()
            and 0 <= column < self.entries_model.columnCount()
        )
        return (
            is_there
            and self.take is not None
            and self.entries_model.cell(row, column).typed is not None
        )

    def edit_here(self, text: str | None = None) -> bool:
        """Edit the cell that the keyboard stands on, with `text` typed already."""
        index = self.currentIndex()
        if not self.can_edit(index.row(), index.column()):
            return False
        self.scrollTo(index)
        self.editor.open(index.row(), index.column(), text)
        return True

    def next_editable(self, row: int, column: int, step: int) -> int:
        """Return the next column of a row that can be edited, −1 where there is none."""
        column += step
        while 0 <= column < self.entries_model.columnCount():
            if self.can_edit(row, column):
                return column
            column += step
        return -1

    def is_own(self, event: QKeyEvent) -> bool:
        here = self.currentIndex()
        # A digit begins an amount here, where it is a view's key elsewhere.
        begins = event.text().isdigit() and self.can_edit(here.row(), here.column())
        return begins or event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_F2)

    def do_key(self, event: QKeyEvent) -> bool:
        key, row = event.key(), self.currentIndex().row()
        if is_enter(event) or key == Qt.Key.Key_F2:
            if not self.edit_here() and row >= 0 and key != Qt.Key.Key_F2:
                self.acted.emit(row)
        elif key == Qt.Key.Key_Delete and is_plain(event) and row >= 0:
            self.removed.emit(row)
        elif is_plain(event) and (event.text().lower() == "n" or key == Qt.Key.Key_Insert):
            self.new_wanted.emit()
        elif is_plain(event) and event.text().isdigit():
            self.edit_here(event.text())
        else:
            return False
        return True

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        row = self.rowAt(round(event.position().y()))
        if row >= 0 and not self.edit_here():
            self.acted.emit(row)
