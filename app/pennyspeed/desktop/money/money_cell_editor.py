"""A field of a line of money edited in its row and, where that shows, in its column."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal

from pennyspeed.desktop.money import MONEY_CELL
from pennyspeed.desktop.money.money_table import ROW, MoneyTable
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.cell_editor import PAD, CellEditor
from pennyspeed.desktop.widgets.form import FormRow
from pennyspeed.desktop.widgets.tables.titled_table import MARGIN
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.money.lines import HERE
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.editing.line_fields import LineItem, items_of
from pennyspeed.services.money.line_changes import edited

COLUMNS = {"amount": "price", "so_far": "price"}
"""Columns that show what is worked out, and the field it comes from."""
CAME = {"arrives": "arrived"}
"""The same of a line that is here."""


class MoneyCellEditor(CellEditor):
    """One field of a line over its cell.

    Tab goes on to the next field, those without a column among them, up and down to the same
    field of the next line.

    Parameters
    ----------
    session : Session
    table : MoneyTable
    """

    keys = MONEY_CELL
    given_up = Signal(str)
    """Escape: the field of that word for `fresh` was left as it was."""

    def __init__(self, session: Session, table: MoneyTable) -> None:
        super().__init__(table)
        self._session, self._table = session, table
        self._item: LineItem | None = None
        self._merge = ""
        session.bench.build_changed.connect(self.close_outdated)
        table.verticalScrollBar().valueChanged.connect(lambda _: self.place())

    @property
    def item(self) -> LineItem | None:
        """What is edited, None while nothing is."""
        return self._item if self.is_open else None

    def edit_cell(self, index: int, column: str) -> None:
        """Open the field of the build's line that a column shows."""
        build = self._session.bench.build
        if build is not None:
            is_here = build.lines[index].status in HERE
            fields = COLUMNS | CAME if is_here else COLUMNS
            self.edit(index, fields.get(column, column))

    def edit(self, index: int, key: str, merge: str = "") -> None:
        """Open a field of the build's line; with `merge` what is typed joins the step before."""
        build = self._session.bench.build
        if build is None:
            return
        item = self._item = next(item for item in items_of(index) if item.key == key)
        self._merge = merge
        name = f"{item.label} of {build.lines[index].called}"
        text = item.text(build, self._session.bench.measures)
        self.open_field(FormField(key, name, item.help, text), item.label)

    def place(self) -> None:
        """Stand over the cell; beside the name where the field has no column of its own."""
        item, table = self.item, self._table
        if item is None:
            return
        model = table.money
        shown_by = (COLUMNS | CAME).items()
        keys = [item.key, *(column for column, key in shown_by if key == item.key)]
        places = [model.column_of(key) for key in keys]
        column = next((i for i in places if i >= 0 and not table.isColumnHidden(i)), -1)
        width = min(self._line.sizeHint().width(), table.viewport().width())
        if column < 0:
            column = model.column_of("name")
        x = table.columnViewportPosition(column)
        shift = px(MARGIN) - px(PAD) if column == table.first else -px(PAD)
        if table.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            x += table.columnWidth(column) - width - shift
        else:
            x += shift
        y = table.rowViewportPosition(model.row_of(f"line {item.index}"))
        self.stand_at(x, y, width, px(ROW))

    def store(self, row: FormRow) -> bool:
        item, build, measures = self._item, self._session.bench.build, self._session.bench.measures
        if item is None or build is None:
            return True
        was, after = item.text(build, measures), item.take(build, row.text, measures)
        if after == build:
            return True
        deed = edited(build, after, item.index, item.label, was, item.text(after, measures))
        return self._session.builds.change(after, deed.did, deed.undid, merge=self._merge)

    def go_on(self, step: int) -> None:
        item = self._item
        if item is not None and self.keep():
            keys = [one.key for one in items_of(item.index)]
            self.edit(item.index, keys[(keys.index(item.key) + step) % len(keys)])

    def go_down(self, step: int) -> None:
        item, model = self._item, self._table.money
        if item is None or not self.keep():
            return
        row = model.row_of(f"line {item.index}") + step
        if 0 <= row < model.rowCount():
            index = model.rows[row].index
            if index is not None:
                self._table.stand_on(row)
                self.edit(index, item.key)

    def give_up(self) -> None:
        super().give_up()
        if self._merge:
            self.given_up.emit(self._merge)
