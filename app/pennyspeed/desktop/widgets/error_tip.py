"""Error tip: one sentence about bad input, beside the place."""

from __future__ import annotations

from PySide6.QtCore import QPoint
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import painting, wrapped
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level


class ErrorTip:
    """One sentence about bad input, below a widget; above it where there is no room below."""

    def __init__(self, place: QWidget) -> None:
        self._place = place
        self._plate: _Plate | None = None

    @property
    def text(self) -> str:
        """What it says, or ""."""
        return self._plate.text if self._plate is not None else ""

    def say(self, sentence: str) -> None:
        """Show the sentence."""
        place, window, gap = self._place, self._place.window(), px(4)
        plate = self._plate = self._plate or _Plate(window)
        plate.say(sentence, place.mapTo(window, QPoint(0, place.height() + gap)))
        if plate.geometry().bottom() > window.height():
            plate.move(plate.x(), place.mapTo(window, QPoint(0, -gap)).y() - plate.height())

    def clear(self) -> None:
        """Take the sentence away."""
        if self._plate is not None:
            self._plate.hide()
            self._plate.deleteLater()
            self._plate = None


class _Plate(QWidget):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.text = ""
        self._lines: list[str] = []

    def say(self, sentence: str, below: QPoint) -> None:
        """Show the sentence with its leading corner near `below`, inside the parent."""
        self.text = sentence
        self.setAccessibleName(sentence)
        room = self.window().width() - px(16)
        self._lines = wrapped(sentence, "label_strong", min(px(480), room) - px(44))
        widest = max(theme.metrics("label_strong").horizontalAdvance(text) for text in self._lines)
        width, height = round(widest) + px(44), px(20) * len(self._lines) + px(12)
        x = max(min(below.x(), room + px(8) - width), px(8))
        self.setGeometry(x, below.y(), width, height)
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            painter.frame(self.rect(), painter.theme.stop)
            painter.sign(px(8), px(8), px(16), Level.STOP)
            ink = painter.theme.ink
            painter.lines(px(32), px(6), px(20), self._lines, "label_strong", ink)
