"""Window body: the columns' common background, and the splitter between plot and shelf."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSplitter, QSplitterHandle, QWidget

from pennyspeed.desktop.widgets.painter import painting


class SplitHandle(QSplitterHandle):
    """A rule between plot and shelf that can be moved."""

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            painter.fill(0, self.height() // 2, self.width(), 1, painter.theme.rule)


class Splitter(QSplitter):
    """Plot above, shelf below."""

    resized = Signal()

    def createHandle(self) -> QSplitterHandle:
        return SplitHandle(self.orientation(), self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()


class WindowBody(QWidget):
    """What everything lies on; the lines between the columns are its own ground.

    Signals
    -------
    painted()
        The first time that it was painted.
    resized()
    """

    painted = Signal()
    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_painted = False

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "rule"):
            if not self._is_painted:
                self._is_painted = True
                QTimer.singleShot(0, self.painted.emit)
