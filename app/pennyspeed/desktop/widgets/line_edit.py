"""Line edit: a line to type in, with a rule below instead of a frame."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QPaintEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, painting

CONTROL = Qt.KeyboardModifier.ControlModifier


class LineEdit(QLineEdit):
    """A line to type in, with a rule below instead of a frame."""

    def __init__(self, hint: str, parent: QWidget | None = None, role: str = "body") -> None:
        super().__init__(parent)
        self.setFrame(False)
        self.setPlaceholderText(hint)
        if role != "body":
            self.setFont(theme.font(role))

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            # With nothing typed to undo, undo is the window's; Ctrl+K always is, though some
            # systems cut the rest of a line with it.
            undoes = event.matches(QKeySequence.StandardKey.Undo) and not self.isUndoAvailable()
            redoes = event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()
            finds = event.key() == Qt.Key.Key_K and event.modifiers() == CONTROL
            if undoes or redoes or finds:
                event.ignore()
                return False
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        with painting(self) as painter:
            rule_below(painter, self)


def rule_below(painter: Painter, widget: QWidget) -> None:
    """Draw the rule below what takes a value, stronger where the keyboard is."""
    thick, colour = 1, painter.theme.line
    if widget.hasFocus():
        thick, colour = 2, painter.theme.accent
    painter.fill(0, widget.height() - thick, widget.width(), thick, colour)
