"""Over a cell: what the small editors share that stand where a table shows a value."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.error_tip import ErrorTip
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.errors import UserError

PAD, ROOM = 8, 32
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
"""Why the keyboard may be elsewhere although the person goes on here."""


class EditorError(QObject):
    """One sentence about bad input, below an editor; above it where there is no room below."""

    def __init__(self, editor: QWidget) -> None:
        super().__init__(editor)
        self._editor = editor
        self._remark: ErrorTip | None = None

    @property
    def text(self) -> str:
        """What it says, or ""."""
        return self._remark.text if self._remark is not None else ""

    def say(self, sentence: str) -> None:
        """Show the sentence."""
        editor, window, gap = self._editor, self._editor.window(), px(4)
        if self._remark is None:
            self._remark = ErrorTip(window)
        remark = self._remark
        remark.say(sentence, editor.mapTo(window, QPoint(0, editor.height() + gap)))
        if remark.geometry().bottom() > window.height():
            remark.move(remark.x(), editor.mapTo(window, QPoint(0, -gap)).y() - remark.height())

    def clear(self) -> None:
        """Take the sentence away."""
        if self._remark is not None:
            self._remark.hide()
            self._remark.deleteLater()
            self._remark = None


class CellEditor(Scaled, QWidget):
    """Editors and a word that says what they are about, over a cell of a table.

    Enter keeps, Escape goes back, Tab keeps and goes on, up and down keep and go to the row
    below or above. Bad input says one sentence below and keeps the text.
    """

    own: tuple[Qt.Key, ...] = (Qt.Key.Key_Escape, *TABS, *ENTERS)
    """Keys that are no shortcuts of the window here."""
    least, edge = 96, 1
    """An editor's least width, and the margin above and below it."""

    def __init__(self, table: QAbstractItemView) -> None:
        super().__init__(table)
        self._over = table
        self._remark = EditorError(self)
        self._is_storing = False
        self._label = Label("label", self, quiet=True)
        self._line = QHBoxLayout(self)
        self._line.addWidget(self._label)
        self.hide()

    @property
    def complaint(self) -> str:
        """The sentence about bad input, or ""."""
        return self._remark.text

    # For an editor to say -------------------------------------------------------------------

    @property
    def is_open(self) -> bool:
        """Whether something is edited."""
        raise NotImplementedError

    @property
    def _stops(self) -> list[QWidget]:
        """What is typed in or chosen from."""
        raise NotImplementedError

    def _store(self) -> bool:
        """Store what was typed; False or UserError where it is no good."""
        raise NotImplementedError

    def _forget(self) -> None:
        """Edit nothing from now on."""
        raise NotImplementedError

    def _go_on(self, step: int) -> None:
        raise NotImplementedError

    def _go_down(self, step: int) -> None:
        raise NotImplementedError

    # Opening and closing --------------------------------------------------------------------

    def rescale(self) -> None:
        self._line.setContentsMargins(px(PAD), px(self.edge), px(PAD), px(self.edge))
        self._line.setSpacing(px(PAD))

    def _fit(self, editor: QWidget, text: str) -> None:
        wide = round(theme.metrics("body").horizontalAdvance(text)) + px(ROOM)
        editor.setFixedWidth(max(wide, px(self.least)))

    def _come_up(self, editor: QWidget) -> None:
        self.rescale()
        self.show()
        self.raise_()
        editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def _stand_at(self, x: int, y: int, width: int, height: int) -> None:
        """Stand at a place of the table's view, all of it in sight."""
        view = self._over.viewport()
        x = min(max(x, 0), view.width() - width)
        y = min(max(y, 0), max(view.height() - height, 0))
        self.setGeometry(view.x() + x, view.y() + y, width, height)
        self._line.activate()

    def close_up(self, stay: bool = True) -> None:
        """Close without keeping; with `stay` the keyboard goes back to the row."""
        if not self.is_open:
            return
        self._forget()
        if stay:
            self._over.setFocus(Qt.FocusReason.OtherFocusReason)
        self._remark.clear()
        self.hide()

    # Keeping --------------------------------------------------------------------------------

    def keep(self) -> bool:
        """Store what was typed; tell whether it was any good."""
        if not self.is_open:
            return True
        self._is_storing = True
        try:
            return self._store()
        except UserError as error:
            self._remark.say(str(error))
            return False
        finally:
            self._is_storing = False

    def _finish(self) -> None:
        if self.keep():
            self.close_up()

    def _left(self, reason: Qt.FocusReason) -> None:
        """Keep what is good when the keyboard goes elsewhere."""
        if reason not in STAYS and not self._is_storing and self.keep():
            self.close_up(stay=False)

    # Hands ----------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not self.is_open or watched not in self._stops:
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() in self.own:
                event.accept()
        elif event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            return self._press(watched, event)
        elif event.type() == QEvent.Type.FocusOut:
            assert isinstance(event, QFocusEvent)
            self._left(event.reason())
        return False

    def _press(self, watched: QObject, event: QKeyEvent) -> bool:
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.close_up()
        elif key in ENTERS:
            self._finish()
        elif key in TABS:
            self._go_on(1 if key == Qt.Key.Key_Tab else -1)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down) and isinstance(watched, LineEdit):
            self._go_down(1 if key == Qt.Key.Key_Down else -1)
        else:
            return False
        return True

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            focus_ring(painter, self)
