"""A cell of a table, edited where it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from pennyspeed.desktop.widgets.cell_editor import ENTERS, CellEditor
from pennyspeed.desktop.widgets.form import FormRow
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.editing.form_fields import FormField

if TYPE_CHECKING:
    from pennyspeed.desktop.widgets.tables.editable_table import EditableTable

PAD = 4


class TableCellEditor(CellEditor):
    """The line to type in over a cell; Tab goes to the next cell that can be edited."""

    finishing = (*ENTERS, Qt.Key.Key_F2)
    is_bare = True

    def __init__(self, table: EditableTable) -> None:
        super().__init__(table)
        self._table = table
        self._cell = (-1, -1)
        for bar in (table.verticalScrollBar(), table.horizontalScrollBar()):
            bar.valueChanged.connect(lambda _: self.place())

    def open(self, row: int, column: int, text: str | None = None) -> None:
        """Open over a cell, with `text` typed already."""
        model = self._table.entries_model
        cell, head = model.cell(row, column), model.heads[column]
        self._cell = row, column
        field = FormField(head.title, head.title, head.help, cell.typed or "")
        self.open_field(field, text=text, is_figure=head.numeric)

    def place(self) -> None:
        if not self.is_open:
            return
        table, (row, column) = self._table, self._cell
        rect = table.visualRect(table.entries_model.index(row, column))
        left, right = table.inside(column, rect.width())
        wide = max(right - left + 2 * px(PAD), px(self.least))
        is_numeric = table.entries_model.heads[column].numeric
        start = right + px(PAD) - wide if is_numeric else left - px(PAD)
        if table.isRightToLeft():
            start = rect.width() - start - wide
        self.stand_at(rect.x() + start, rect.y(), wide, rect.height())

    def store(self, row: FormRow) -> bool:
        if self._table.take is not None:
            self._table.take(*self._cell, row.text)
        return True

    def go_on(self, step: int) -> None:
        self._go(0, step)

    def go_down(self, step: int) -> None:
        self._go(step, 0)

    def _go(self, rows: int, columns: int) -> None:
        """Keep, and edit another cell; the row may stand elsewhere once it is kept."""
        if not self.keep():
            return
        table, column = self._table, self._cell[1]
        row = table.currentIndex().row() + rows
        if columns:
            column = table.next_editable(row, column, columns)
        self.close_up()
        if table.can_edit(row, column):
            table.stand_on(row, column)
            table.edit_here()
