"""A field of a line of money edited in its row and, where that shows, in its column."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.money.money_fields import LineItem, items_of
from pennyspeed.desktop.money.money_table import MARGIN, ROW, MoneyTable
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.cell_editor import PAD, CellEditor
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.money.lines import HERE
from pennyspeed.services.money.line_changes import edited

COLUMNS = {"amount": "price", "so_far": "price"}
"""Columns that show what is worked out, and the field it comes from."""
CAME = {"arrives": "arrived"}
"""The same of a line that is here."""


class MoneyCellEditor(CellEditor):
    """One field of a line over its cell.

    Enter keeps, Escape goes back, Tab keeps and goes on to the next field, those without a column
    among them; up and down keep and go to the same field of the next line. Bad input says one
    sentence below and keeps the text.

    Parameters
    ----------
    session : Session
    table : MoneyTable
    """

    given_up = Signal(str)
    """Escape: the field of that word for `fresh` was left as it was."""

    def __init__(self, session: Session, table: MoneyTable) -> None:
        super().__init__(table)
        self._session, self._table = session, table
        self._item: LineItem | None = None
        self._merge = ""
        self.editor = LineEdit("", self)
        self._line.insertWidget(0, self.editor)
        self.editor.installEventFilter(self)
        self.editor.textEdited.connect(self._remark.clear)
        session.bench.build_changed.connect(self._changed_elsewhere)
        table.verticalScrollBar().valueChanged.connect(lambda _: self._place())

    @property
    def item(self) -> LineItem | None:
        """What is edited, None while nothing is."""
        return self._item

    @property
    def is_open(self) -> bool:
        return self._item is not None

    @property
    def _stops(self) -> list[QWidget]:
        return [self.editor]

    # Opening and closing --------------------------------------------------------------------

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
        self._remark.clear()
        self._item = next(item for item in items_of(index) if item.key == key)
        self._merge = merge
        self._label.say(self._item.label)
        self.editor.setAccessibleName(f"{self._item.label} of {build.lines[index].called}")
        self.editor.setAccessibleDescription(self._item.help)
        self.editor.setToolTip(self._item.help)
        self.editor.setText(self._item.text(build, self._session.bench.measures))
        self.editor.selectAll()
        self._come_up(self.editor)

    def _forget(self) -> None:
        self._item, self._merge = None, ""

    def rescale(self) -> None:
        super().rescale()
        self._fit(self.editor, self.editor.text())
        self._place()

    def _place(self) -> None:
        """Stand over the cell; beside the name where the field has no column of its own."""
        item, table = self._item, self._table
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
        self._stand_at(x, y, width, px(ROW))

    # Keeping --------------------------------------------------------------------------------

    def _store(self) -> bool:
        item, build, measures = self._item, self._session.bench.build, self._session.bench.measures
        if item is None or build is None:
            return True
        was, typed = item.text(build, measures), self.editor.text()
        if typed == was:
            return True
        after = item.take(build, typed, measures)
        if after == build:
            return True
        deed = edited(build, after, item.index, item.label, was, item.text(after, measures))
        return self._session.builds.change(after, deed.did, deed.undid, merge=self._merge)

    def _go_on(self, step: int) -> None:
        """Keep, and go to the next field or the one before."""
        item = self._item
        if item is not None and self.keep():
            keys = [one.key for one in items_of(item.index)]
            self.edit(item.index, keys[(keys.index(item.key) + step) % len(keys)])

    def _go_down(self, step: int) -> None:
        """Keep, and go to the same field of the line below or above."""
        item, model = self._item, self._table.money
        if item is None or not self.keep():
            return
        row = model.row_of(f"line {item.index}") + step
        if 0 <= row < model.rowCount():
            index = model.rows[row].index
            if index is not None:
                self._table.stand_on(row)
                self.edit(index, item.key)

    def _changed_elsewhere(self) -> None:
        if not self._is_storing:
            self.close_up(stay=self.isAncestorOf(self.window().focusWidget() or self._table))

    # Hands ----------------------------------------------------------------------------------

    def _press(self, watched: QObject, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Escape:
            merge = self._merge
            self.close_up()
            if merge:
                self.given_up.emit(merge)
            return True
        return super()._press(watched, event)
