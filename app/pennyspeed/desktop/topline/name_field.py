"""What else stands in the top line: the build's name, and words that open something."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.inline.inline_field import PAD, InlineField
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import PUSHING, Button, focus_ring
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.editing.build_fields import NAME


class NameField(InlineField):
    """The build's name: Enter, Space or a click opens the builds, F2 renames."""

    menu_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(session, NAME, parent)
        self.setToolTip("The builds: Enter opens them, F2 renames this one.")

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(min(hint.width() + px(20), px(264)), hint.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            room = self.width() - px(20) - 2 * px(PAD)
            line = baseline(0, self.height(), "build")
            width = painter.text(px(PAD), line, self.value, "build", painter.theme.ink, room=room)
            side = px(16)
            x = px(PAD) + width + px(6)
            painter.icon(x, line - px(6) - side / 2, side, "chevron-down", painter.theme.ink)
            if self.hasFocus():
                focus_ring(painter, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (*PUSHING, Qt.Key.Key_Down):
            self.click()
        elif event.key() == Qt.Key.Key_F2:
            self.edit()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            super().keyPressEvent(event)
        else:
            event.ignore()

    def activate(self) -> None:
        self.menu_wanted.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.menu_wanted.emit()


class MenuButton(Button):
    """A word in the top line that opens something.

    Signals
    -------
    moved(int)
        The person goes to the neighbour before (−1) or after (1).
    """

    moved = Signal(int)

    def __init__(self, text: str, help: str, parent: QWidget) -> None:
        super().__init__(text, parent)
        self.setToolTip(help)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)

    def sizeHint(self) -> QSize:
        width = theme.metrics("body").horizontalAdvance(self.text())
        return QSize(round(width) + 2 * px(PAD) + px(20), px(32))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            line = baseline(0, self.height(), "body")
            width = painter.text(px(PAD), line, self.text(), "body", painter.theme.ink2)
            side = px(14)
            x = px(PAD) + width + px(4)
            painter.icon(x, line - px(5) - side / 2, side, "chevron-down", painter.theme.ink2)
            if self.hasFocus():
                focus_ring(painter, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        if event.key() == Qt.Key.Key_Down:
            self.click()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.moved.emit(1 if (event.key() == Qt.Key.Key_Right) != mirrored else -1)
        else:
            super().keyPressEvent(event)
