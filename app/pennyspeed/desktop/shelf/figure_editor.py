"""A figure of a part edited on the shelf, in its row and, where that shows, in its column."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shelf import FIGURE
from pennyspeed.desktop.shelf.row_painter import MARGIN, ROW
from pennyspeed.desktop.shelf.shelf_table import ShelfTable
from pennyspeed.desktop.widgets.cell_editor import ENTERS, PAD, CellEditor
from pennyspeed.desktop.widgets.form import FormRow
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.editing.part_fields import currency_of, form_field, keys_of, with_typed


class FigureEditor(CellEditor):
    """One figure and where it comes from, over its cell.

    Tab goes on to the source and then to the next figure, up and down to the same figure of the
    next part.

    Parameters
    ----------
    session : Session
    table : ShelfTable

    Signals
    -------
    form_wanted(Part, str)
        The person goes on in the part's form, at the figure of that key.
    """

    keys = FIGURE
    form_wanted = Signal(object, str)
    finishing = (*ENTERS, Qt.Key.Key_F3)
    own = (Qt.Key.Key_F2,)
    least, edge = 104, 2

    def __init__(self, session: Session, table: ShelfTable) -> None:
        super().__init__(table)
        self._session, self._table = session, table
        self._part: Part | None = None
        self._last: dict[str, str] = {}
        session.catalogue.parts_changed.connect(self._changed_elsewhere)
        session.bench.slot_changed.connect(lambda _: self.close_up(stay=False))
        session.bench.measures_changed.connect(lambda: self.close_up(stay=False))
        table.sight_changed.connect(self.place)
        table.shelf.modelReset.connect(self.place)

    def chosen(self, part: Part, column: str = "") -> str:
        """Return the key to start at: the column's, else the one last edited, else the first."""
        keys = keys_of(part.kind)
        if column in keys and column != keys[0]:
            return column
        return self._last.get(part.kind_key, keys[1])

    def edit(self, part: Part, key: str) -> None:
        """Open over the figure of that key in the part's row."""
        self._part, self._last[part.kind_key] = part, key
        currency = currency_of(part, self._session.bench.build)
        field = form_field(key, part.kind, part, currency, self._session.bench.measures)
        self.setAccessibleName(f"{field.label} of {part.name}")
        is_figure = key in {field.key for field in part.kind.fields}
        self.open_field(field, field.label, is_figure=is_figure)

    def place(self) -> None:
        """Stand over the cell; beside the name where the figure has no column of its own."""
        part, row, table = self._part, self.row, self._table
        if part is None or row is None:
            return
        keys = [column.key for column in table.rows.columns]
        column = keys.index(row.key) if row.key in keys else -1
        place = table.rows.row_of(part)
        view = table.viewport()
        width = min(self._line.sizeHint().width(), view.width())
        inner = px(PAD) + row.editor.width()
        is_mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        if column > 0 and not table.isColumnHidden(column):
            x = table.columnViewportPosition(column)
            x += inner - width if is_mirrored else table.columnWidth(column) - inner
        else:
            x = view.width() - width - px(MARGIN) if is_mirrored else px(MARGIN)
            if column != 0:
                x += (-1 if is_mirrored else 1) * table.columnWidth(0) // 2
        y = table.rowViewportPosition(place) if place >= 0 else self.y() - view.y()
        self.stand_at(x, y, width, px(ROW))

    def store(self, row: FormRow) -> bool:
        part, session = self._part, self._session
        if part is not None:
            currency = currency_of(part, session.bench.build)
            after = with_typed(
                part, row.key, row.text, row.chosen_source, currency, session.bench.measures
            )
            if after != part:
                self._part = session.catalogue.save_part(after)
        return True

    def finish(self) -> None:
        super().finish()
        place = -1 if self.is_open or self._part is None else self._table.rows.row_of(self._part)
        if place >= 0:
            self._table.stand_on(place)

    def go_on(self, step: int) -> None:
        if self.keep() and self._part is not None and self.row is not None:
            keys = keys_of(self._part.kind)
            self.edit(self._part, keys[(keys.index(self.row.key) + step) % len(keys)])

    def go_down(self, step: int) -> None:
        if not self.keep() or self._part is None or self.row is None:
            return
        rows = self._table.rows
        place = rows.row_of(self._part) + step
        if 0 <= place < len(rows):
            self._table.stand_on(place)
            self.edit(rows.part(place), self.row.key)

    def _changed_elsewhere(self, kind_key: str) -> None:
        if self._part is not None and self._part.kind_key == kind_key:
            self.close_outdated()

    def press(self, watched: QObject, event: QKeyEvent) -> bool:
        row, key = self.row, event.key()
        if row is None:
            return False
        if event.modifiers() & Qt.KeyboardModifier.AltModifier:
            mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
            if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
                self.go_on(1 if (key == Qt.Key.Key_Right) != mirrored else -1)
                return True
            return False
        if key != Qt.Key.Key_F2:
            return super().press(watched, event)
        if self.keep():
            self.close_up()
            self.form_wanted.emit(self._part, row.key)
        return True
