"""Button: a verb to push, and the marks that say what can be pushed and what has the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px

PUSHING = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
"""Keys that push what has the keyboard."""


class Button(QAbstractButton):
    """A button that is a verb, underlined by dots; Enter, Space or a click pushes it."""

    def __init__(self, text: str, parent: QWidget | None = None, role: str = "body") -> None:
        super().__init__(parent)
        self._role = role
        self.say(text)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        fixed = QSizePolicy.Policy.Fixed
        self.setSizePolicy(fixed, fixed)

    def say(self, text: str) -> None:
        """Show another verb."""
        self.setText(text)
        self.setAccessibleName(text)

    def sizeHint(self) -> QSize:
        width = theme.metrics(self._role).horizontalAdvance(self.text())
        return QSize(round(width) + px(8), px(28))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colours = painter.theme
            colour = colours.ink if self.isEnabled() else colours.ink3
            line = baseline(0, self.height(), self._role)
            width = painter.text(px(4), line, self.text(), self._role, colour)
            if self.hasFocus():
                focus_ring(painter, self)
            dotted(painter, px(4), line + px(4), width)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in PUSHING:
            self.click()
        else:
            # Arrow keys are the panel's; Qt's own buttons would pass the keyboard on.
            event.ignore()


def dotted(painter: Painter, x: float, y: float, width: float) -> None:
    """Draw a dotted rule, which says 'this can be changed'."""
    step, dot = px(3), px(1)
    for i in range(int(width // step) + 1):
        painter.fill(x + i * step, y, dot, dot, painter.theme.line)


def focus_ring(painter: Painter, widget: QWidget) -> None:
    """Draw the frame that says where the keyboard is."""
    painter.frame(widget.rect(), painter.theme.accent)
