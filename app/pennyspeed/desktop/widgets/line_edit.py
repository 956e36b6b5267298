"""Line edit: a line to type in, with a rule below instead of a frame."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from pennyspeed.desktop.widgets import theme

CONTROL = Qt.KeyboardModifier.ControlModifier


class LineEdit(QLineEdit):
    """A line to type in, with a rule below instead of a frame."""

    def __init__(self, hint: str, parent: QWidget | None = None, role: str = "body") -> None:
        super().__init__(parent)
        self._role = role
        self.setFrame(False)
        self.setPlaceholderText(hint)
        self.restyle()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.setFont(theme.font(self._role))
        self.update()

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
        qt_painter = QPainter(self)
        colours = theme.current()
        thick = 2 if self.hasFocus() else 1
        colour = colours.accent if self.hasFocus() else colours.line
        qt_painter.fillRect(0, self.height() - thick, self.width(), thick, colour)
        qt_painter.end()

    def focusInEvent(self, event: object) -> None:
        super().focusInEvent(event)  # type: ignore[arg-type]
        self.update()

    def focusOutEvent(self, event: object) -> None:
        super().focusOutEvent(event)  # type: ignore[arg-type]
        self.update()
