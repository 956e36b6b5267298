"""A field of a line of money edited in its row and, where that shows, in its column."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.money_deeds import edited
from pennyspeed.desktop.money_fields import LineItem, items_of
from pennyspeed.desktop.panels.money_table import MARGIN, ROW, MoneyTable
from pennyspeed.desktop.pieces import LineField, Remark, Wording, focus_ring
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.theme import px
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.lines import HERE

PAD, LEAST, ROOM = 8, 96, 32
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
COLUMNS = {"amount": "price", "so_far": "price"}
"""Columns that show what is worked out, and the field it comes from."""
CAME = {"arrives": "arrived"}
"""The same of a line that is here."""


class MoneyEdit(QWidget):
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
        self._remark: Remark | None = None
        self._is_storing = False
        self.editor = LineField("", self)
        self._label = Wording("label", self, quiet=True)
        self._line = QHBoxLayout(self)
        self._line.addWidget(self.editor)
        self._line.addWidget(self._label)
        self.editor.installEventFilter(self)
        self.editor.textEdited.connect(self._quieten)
        self.hide()
        session.build_changed.connect(self._changed_elsewhere)
        table.verticalScrollBar().valueChanged.connect(lambda _: self._place())

    @property
    def item(self) -> LineItem | None:
        """What is edited, None while nothing is."""
        return self._item

    @property
    def complaint(self) -> str:
        """The sentence about bad input, or ""."""
        return self._remark.text if self._remark is not None else ""

    # Opening and closing --------------------------------------------------------------------

    def edit_cell(self, index: int, column: str) -> None:
        """Open the field of the build's line that a column shows."""
        build = self._session.build
        if build is not None:
            is_here = build.lines[index].status in HERE
            fields = COLUMNS | CAME if is_here else COLUMNS
            self.edit(index, fields.get(column, column))

    def edit(self, index: int, key: str, merge: str = "") -> None:
        """Open a field of the build's line; with `merge` what is typed joins the step before."""
        build = self._session.build
        if build is None:
            return
        self._quieten()
        self._item = next(item for item in items_of(index) if item.key == key)
        self._merge = merge
        self._label.say(self._item.label)
        self.editor.setAccessibleName(f"{self._item.label} of {build.lines[index].called}")
        self.editor.setAccessibleDescription(self._item.help)
        self.editor.setToolTip(self._item.help)
        self.editor.setText(self._item.text(build, self._session.measures))
        self.editor.selectAll()
        self.restyle()
        self.show()
        self.raise_()
        self.editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def close_up(self, stay: bool = True) -> None:
        """Close without keeping; with `stay` the keyboard goes back to the row."""
        if self._item is None:
            return
        self._item, self._merge = None, ""
        if stay:
            self._table.setFocus(Qt.FocusReason.OtherFocusReason)
        self._quieten()
        self.hide()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self._line.setContentsMargins(px(PAD), px(1), px(PAD), px(1))
        self._line.setSpacing(px(PAD))
        self._label.restyle()
        self.editor.restyle()
        wide = round(theme.metrics("body").horizontalAdvance(self.editor.text())) + px(ROOM)
        self.editor.setFixedWidth(max(wide, px(LEAST)))
        self._place()

    def _place(self) -> None:
        """Stand over the cell; beside the name where the field has no column of its own."""
        item, table = self._item, self._table
        if item is None:
            return
        model, view = table.money, table.viewport()
        shown_by = (COLUMNS | CAME).items()
        keys = [item.key, *(column for column, key in shown_by if key == item.key)]
        places = [model.column_of(key) for key in keys]
        column = next((i for i in places if i >= 0 and not table.isColumnHidden(i)), -1)
        width = min(self._line.sizeHint().width(), view.width())
        if column < 0:
            column = model.column_of("name")
        x = table.columnViewportPosition(column)
        shift = px(MARGIN) - px(PAD) if column == table.first else -px(PAD)
        if table.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            x += table.columnWidth(column) - width - shift
        else:
            x += shift
        x = min(max(x, 0), view.width() - width)
        y = table.rowViewportPosition(model.row_of(f"line {item.index}"))
        y = min(max(y, 0), max(view.height() - px(ROW), 0))
        self.setGeometry(view.x() + x, view.y() + y, width, px(ROW))
        self._line.activate()

    # Keeping --------------------------------------------------------------------------------

    def keep(self) -> bool:
        """Store what was typed; tell whether it was any good."""
        item, build, measures = self._item, self._session.build, self._session.measures
        if item is None or build is None:
            return True
        was, typed = item.text(build, measures), self.editor.text()
        if typed == was:
            return True
        self._is_storing = True
        try:
            after = item.take(build, typed, measures)
            if after != build:
                now = item.text(after, measures)
                deed = edited(build, after, item.index, item.label, was, now)
                if not self._session.change(after, deed.did, deed.undid, merge=self._merge):
                    return False
        except UserError as error:
            self._complain(str(error))
            return False
        finally:
            self._is_storing = False
        return True

    def _finish(self) -> None:
        if self.keep():
            self.close_up()

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

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self._item is None or watched is not self.editor:
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() in (Qt.Key.Key_Escape, *TABS, *ENTERS):
                event.accept()
        elif event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            return self._press(event)
        elif event.type() == QEvent.Type.FocusOut:
            assert isinstance(event, QFocusEvent)
            kept = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
            if event.reason() not in kept and not self._is_storing and self.keep():
                self.close_up(stay=False)
        return False

    def _press(self, event: QKeyEvent) -> bool:
        key = event.key()
        if key == Qt.Key.Key_Escape:
            merge = self._merge
            self.close_up()
            if merge:
                self.given_up.emit(merge)
        elif key in ENTERS:
            self._finish()
        elif key in TABS:
            self._go_on(1 if key == Qt.Key.Key_Tab else -1)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._go_down(1 if key == Qt.Key.Key_Down else -1)
        else:
            return False
        return True

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
