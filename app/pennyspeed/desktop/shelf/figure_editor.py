"""A figure of a part edited on the shelf, in its row and, where that shows, in its column."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts.part_rows import currency_of, keys_of, row_of, with_row
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shelf.shelf_places import MARGIN, ROW
from pennyspeed.desktop.shelf.shelf_table import ShelfTable
from pennyspeed.desktop.widgets.cell_editor import PAD, CellEditor
from pennyspeed.desktop.widgets.form import SOURCE, FormRow
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.parts.parts import Part


class FigureEditor(CellEditor):
    """One figure and where it comes from, over its cell.

    Enter keeps, Escape goes back, Tab goes on to the source and then to the next figure, up and
    down keep and go to the same figure of the next part. Bad input says one sentence below and
    keeps the text.

    Parameters
    ----------
    session : Session
    table : ShelfTable

    Signals
    -------
    form_wanted(Part, str)
        The person goes on in the part's form, at the figure of that key.
    """

    form_wanted = Signal(object, str)
    own = (*CellEditor.own, Qt.Key.Key_F2, Qt.Key.Key_F3)
    least, edge = 104, 2

    def __init__(self, session: Session, table: ShelfTable) -> None:
        super().__init__(table)
        self._session, self._table = session, table
        self._part: Part | None = None
        self._last: dict[str, str] = {}
        self.row: FormRow | None = None
        session.catalogue.parts_changed.connect(self._changed_elsewhere)
        session.bench.slot_changed.connect(lambda _: self.close_up(stay=False))
        session.bench.measures_changed.connect(lambda: self.close_up(stay=False))
        table.sight_changed.connect(self._place)
        table.shelf.modelReset.connect(self._place)

    @property
    def is_open(self) -> bool:
        """Whether a figure is edited."""
        return self._part is not None

    def chosen(self, part: Part, column: str = "") -> str:
        """Return the key to start at: the column's, else the one last edited, else the first."""
        keys = keys_of(part.kind)
        if column in keys and column != keys[0]:
            return column
        return self._last.get(part.kind_key, keys[1])

    # Opening and closing --------------------------------------------------------------------

    def edit(self, part: Part, key: str) -> None:
        """Open over the figure of that key in the part's row."""
        before = self._stops
        self._remark.clear()
        self._part, self._last[part.kind_key] = part, key
        currency = currency_of(part, self._session.bench.build)
        row = self.row = row_of(key, part.kind, part, currency, self._session.bench.measures, self)
        self._label.say(row.label)
        self.setAccessibleName(f"{row.label} of {part.name}")
        for one in before:
            self._line.removeWidget(one)
        for one in self._stops:
            one.installEventFilter(self)
            # The words last: what is typed shall end where the figure ended.
            self._line.insertWidget(self._line.count() - 1, one)
            one.show()
        if isinstance(row.editor, LineEdit):
            row.editor.textEdited.connect(self._remark.clear)
            if key in {field.key for field in part.kind.fields}:
                row.editor.setAlignment(Qt.AlignmentFlag.AlignRight)
            row.editor.selectAll()
        self._come_up(row.editor)
        # Only now: the keyboard would go astray with what had it.
        self._let_go(before)

    def close_up(self, stay: bool = True) -> None:
        if self.is_open:
            super().close_up(stay)
            self._let_go(self._stops)
            self.row = None

    def _forget(self) -> None:
        self._part = None

    def _let_go(self, stops: list[QWidget]) -> None:
        for one in stops:
            one.removeEventFilter(self)
            self._line.removeWidget(one)
            one.hide()
            one.deleteLater()

    @property
    def _stops(self) -> list[QWidget]:
        row = self.row
        return [] if row is None else [one for one in (row.editor, row.source) if one is not None]

    def rescale(self) -> None:
        super().rescale()
        row = self.row
        if row is None:
            return
        self._fit(row.editor, row.text)
        if row.source is not None:
            row.source.setFixedWidth(px(SOURCE))
        self._place()

    def _place(self) -> None:
        """Stand over the cell; beside the name where the figure has no column of its own."""
        part, row, table = self._part, self.row, self._table
        if part is None or row is None:
            return
        keys = [column.key for column in table.shelf.columns]
        column = keys.index(row.key) if row.key in keys else -1
        place = table.shelf.row_of(part)
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
        self._stand_at(x, y, width, px(ROW))
        if self.complaint:
            self._remark.say(self.complaint)

    # Keeping --------------------------------------------------------------------------------

    def _store(self) -> bool:
        part, row, session = self._part, self.row, self._session
        if part is None or row is None:
            return True
        after = with_row(part, row, currency_of(part, session.bench.build), session.bench.measures)
        if after != part:
            self._part = session.catalogue.save_part(after)
        return True

    def _finish(self) -> None:
        if self.keep():
            part = self._part
            self.close_up()
            place = -1 if part is None else self._table.shelf.row_of(part)
            if place >= 0:
                self._table.stand_on(place)

    def _go_on(self, step: int, to_source: bool = False) -> None:
        """Keep, and go to the next figure or the one before."""
        if not self.keep() or self._part is None or self.row is None:
            return
        keys = keys_of(self._part.kind)
        key = keys[(keys.index(self.row.key) + step) % len(keys)]
        self.edit(self._part, key)
        if to_source and self.row.source is not None:
            self.row.source.setFocus(Qt.FocusReason.BacktabFocusReason)

    def _go_down(self, step: int) -> None:
        """Keep, and go to the same figure of the row below or above."""
        if not self.keep() or self._part is None or self.row is None:
            return
        model = self._table.shelf
        place = model.row_of(self._part) + step
        if 0 <= place < model.rowCount():
            self._table.stand_on(place)
            self.edit(model.part(place), self.row.key)

    def _changed_elsewhere(self, kind_key: str) -> None:
        if self._part is not None and self._part.kind_key == kind_key and not self._is_storing:
            self.close_up(stay=self.isAncestorOf(self.window().focusWidget() or self))

    # Hands ----------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            # On the source a digit would be a view's key.
            if self.row is not None and watched is self.row.source and event.text().isalnum():
                event.accept()
        return super().eventFilter(watched, event)

    def _press(self, watched: QObject, event: QKeyEvent) -> bool:
        row, part, key = self.row, self._part, event.key()
        if row is None or part is None:
            return False
        if event.modifiers() & Qt.KeyboardModifier.AltModifier:
            mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
            if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
                self._go_on(1 if (key == Qt.Key.Key_Right) != mirrored else -1)
                return True
            return False
        if key == Qt.Key.Key_F3:
            self._finish()
        elif key == Qt.Key.Key_F2:
            if self.keep():
                part = self._part or part
                self.close_up()
                self.form_wanted.emit(part, row.key)
        elif key == Qt.Key.Key_Tab and watched is row.editor and row.source is not None:
            row.source.setFocus(Qt.FocusReason.TabFocusReason)
        elif key == Qt.Key.Key_Backtab and watched is row.source:
            row.editor.setFocus(Qt.FocusReason.BacktabFocusReason)
        elif key == Qt.Key.Key_Backtab:
            self._go_on(-1, to_source=True)
        else:
            return super()._press(watched, event)
        return True

    def _left(self, reason: Qt.FocusReason) -> None:
        now = self.window().focusWidget()
        if now is None or not self.isAncestorOf(now):
            super()._left(reason)
