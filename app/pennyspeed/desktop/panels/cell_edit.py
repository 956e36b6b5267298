"""A figure of a part edited on the shelf, in its row and, where that shows, in its column."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.form import SOURCE, FormRow
from pennyspeed.desktop.panels.part_rows import currency_of, keys_of, row_of, with_row
from pennyspeed.desktop.panels.shelf_places import MARGIN, ROW
from pennyspeed.desktop.panels.shelf_table import ShelfTable
from pennyspeed.desktop.pieces import LineField, Remark, Wording, focus_ring
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.theme import px
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.parts import Part

PAD, LEAST, ROOM = 8, 104, 32
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)


class CellEdit(QWidget):
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

    def __init__(self, session: Session, table: ShelfTable) -> None:
        super().__init__(table)
        self._session, self._table = session, table
        self._part: Part | None = None
        self._last: dict[str, str] = {}
        self._remark: Remark | None = None
        self._is_storing = False
        self.row: FormRow | None = None
        self._label = Wording("label", self, quiet=True)
        self._line = QHBoxLayout(self)
        self._line.addWidget(self._label)
        self.hide()
        session.parts_changed.connect(self._changed_elsewhere)
        session.slot_changed.connect(lambda _: self.close_up(stay=False))
        session.measures_changed.connect(lambda: self.close_up(stay=False))
        table.sight_changed.connect(self._place)
        table.shelf.modelReset.connect(self._place)

    @property
    def is_open(self) -> bool:
        """Whether a figure is edited."""
        return self._part is not None

    @property
    def complaint(self) -> str:
        """The sentence about bad input, or ""."""
        return self._remark.text if self._remark is not None else ""

    def chosen(self, part: Part, column: str = "") -> str:
        """Return the key to start at: the column's, else the one last edited, else the first."""
        keys = keys_of(part.kind)
        if column in keys and column != keys[0]:
            return column
        return self._last.get(part.kind_key, keys[1])

    # Opening and closing --------------------------------------------------------------------

    def edit(self, part: Part, key: str) -> None:
        """Open over the figure of that key in the part's row."""
        before = self._stops()
        self._quieten()
        self._part, self._last[part.kind_key] = part, key
        currency = currency_of(part, self._session.build)
        row = self.row = row_of(key, part.kind, part, currency, self._session.measures, self)
        self._label.say(row.label)
        self.setAccessibleName(f"{row.label} of {part.name}")
        for one in before:
            self._line.removeWidget(one)
        for one in self._stops():
            one.installEventFilter(self)
            # The words last: what is typed shall end where the figure ended.
            self._line.insertWidget(self._line.count() - 1, one)
            one.show()
        if isinstance(row.editor, LineField):
            row.editor.textEdited.connect(self._quieten)
            if key in {field.key for field in part.kind.fields}:
                row.editor.setAlignment(Qt.AlignmentFlag.AlignRight)
            row.editor.selectAll()
        self.restyle()
        self.show()
        self.raise_()
        row.editor.setFocus(Qt.FocusReason.OtherFocusReason)
        # Only now: the keyboard would go astray with what had it.
        self._let_go(before)

    def close_up(self, stay: bool = True) -> None:
        """Close without keeping; with `stay` the keyboard goes back to the row."""
        if self._part is None:
            return
        self._part = None
        if stay:
            self._table.setFocus(Qt.FocusReason.OtherFocusReason)
        self._quieten()
        self.hide()
        self._let_go(self._stops())
        self.row = None

    def _let_go(self, stops: list[QWidget]) -> None:
        for one in stops:
            one.removeEventFilter(self)
            self._line.removeWidget(one)
            one.hide()
            one.deleteLater()

    def _stops(self) -> list[QWidget]:
        row = self.row
        return [] if row is None else [one for one in (row.editor, row.source) if one is not None]

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self._line.setContentsMargins(px(PAD), px(2), px(PAD), px(2))
        self._line.setSpacing(px(PAD))
        self._label.restyle()
        row = self.row
        if row is None:
            return
        row.editor.restyle()
        wide = round(theme.metrics("body").horizontalAdvance(row.text)) + px(ROOM)
        row.editor.setFixedWidth(max(wide, px(LEAST)))
        if row.source is not None:
            row.source.restyle()
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
        y = min(max(y, 0), max(view.height() - px(ROW), 0))
        x = min(max(x, 0), view.width() - width)
        self.setGeometry(view.x() + x, view.y() + y, width, px(ROW))
        self._line.activate()
        if self._remark is not None:
            self._complain(self._remark.text)

    # Keeping --------------------------------------------------------------------------------

    def keep(self) -> bool:
        """Store what was typed; tell whether it was any good."""
        part, row, session = self._part, self.row, self._session
        if part is None or row is None:
            return True
        self._is_storing = True
        try:
            after = with_row(part, row, currency_of(part, session.build), session.measures)
            if after != part:
                self._part = session.save_part(after)
        except UserError as error:
            self._complain(str(error))
            return False
        finally:
            self._is_storing = False
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
        row = self.row
        if row is None or watched not in (row.editor, row.source):
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            own = (Qt.Key.Key_Escape, Qt.Key.Key_F2, Qt.Key.Key_F3, *TABS, *ENTERS)
            # On the source a digit would be a view's key.
            if event.key() in own or (watched is row.source and event.text().isalnum()):
                event.accept()
        elif event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            return self._press(row, watched, event)
        elif event.type() == QEvent.Type.FocusOut:
            assert isinstance(event, QFocusEvent)
            self._left(event.reason())
        return False

    def _press(self, row: FormRow, watched: QObject, event: QKeyEvent) -> bool:
        key, step = event.key(), 0
        if event.modifiers() & Qt.KeyboardModifier.AltModifier:
            mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
            if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
                self._go_on(1 if (key == Qt.Key.Key_Right) != mirrored else -1)
                return True
            return False
        if key == Qt.Key.Key_Escape:
            self.close_up()
        elif key in ENTERS or key == Qt.Key.Key_F3:
            self._finish()
        elif key == Qt.Key.Key_F2:
            part = self._part
            if self.keep() and part is not None:
                part = self._part or part
                self.close_up()
                self.form_wanted.emit(part, row.key)
        elif key == Qt.Key.Key_Tab and watched is row.editor and row.source is not None:
            row.source.setFocus(Qt.FocusReason.TabFocusReason)
        elif key == Qt.Key.Key_Backtab and watched is row.source:
            row.editor.setFocus(Qt.FocusReason.BacktabFocusReason)
        elif key in TABS:
            step = 1 if key == Qt.Key.Key_Tab else -1
            self._go_on(step, to_source=step < 0)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down) and isinstance(watched, LineField):
            self._go_down(1 if key == Qt.Key.Key_Down else -1)
        else:
            return False
        return True

    def _left(self, reason: Qt.FocusReason) -> None:
        """Keep what is good when the keyboard goes elsewhere."""
        kept = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
        now = self.window().focusWidget()
        if reason in kept or self._part is None or (now is not None and self.isAncestorOf(now)):
            return
        if not self._is_storing and self.keep():
            self.close_up(stay=False)

    def _complain(self, sentence: str) -> None:
        window = self.window()
        if self._remark is None:
            self._remark = Remark(window)
        remark, gap = self._remark, px(4)
        remark.say(sentence, self.mapTo(window, QPoint(0, self.height() + gap)))
        if remark.geometry().bottom() > window.height():
            remark.move(remark.x(), self.mapTo(window, QPoint(0, -gap)).y() - remark.height())

    def _quieten(self) -> None:
        if self._remark is not None:
            self._remark.hide()
            self._remark.deleteLater()
            self._remark = None

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme.current().ground)
        focus_ring(painter, self)
        painter.end()
