"""Options: a few words in a row of which one holds, chosen by arrow keys, a letter or a click."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, baseline
from pennyspeed.desktop.widgets.theme import px

GAP, LINE, ROW = 20, 3, 28


class SegmentedControl(QWidget):
    """The words, the one that holds underlined.

    Parameters
    ----------
    title : str
        Stands before them.

    Signals
    -------
    chosen(str)
        The key of the one that holds from now on.
    """

    chosen = Signal(str)

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = title
        self._options: list[tuple[str, str]] = []
        self._place = 0
        self._room = math.inf
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        fixed = QSizePolicy.Policy.Fixed
        self.setSizePolicy(fixed, fixed)

    @property
    def key(self) -> str:
        """The key of the one that holds."""
        return self._options[self._place][0] if self._options else ""

    def offer(self, options: Sequence[tuple[str, str]]) -> None:
        """Offer keys and their words; the one that holds stays where it is among them."""
        held = self.key
        self._options = list(options)
        keys = [key for key, _ in options]
        self._place = keys.index(held) if held in keys else 0
        self._renew()

    def choose(self, key: str) -> None:
        """Let another one hold."""
        place = [one for one, _ in self._options].index(key)
        if place != self._place:
            self._place = place
            self._renew()
            self.chosen.emit(key)

    def step(self, by: int = 1) -> None:
        """Go on to the next one, round the end."""
        if self._options:
            self.choose(self._options[(self._place + by) % len(self._options)][0])

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self._renew()

    def limit(self, room: float) -> None:
        """Go on in another row where the words are wider than so many pixels."""
        if room != self._room:
            self._room = room
            self._renew()

    def _renew(self) -> None:
        text = self._options[self._place][1] if self._options else ""
        self.setAccessibleName(f"{self._title}: {text}")
        self.updateGeometry()
        self.update()

    # Painting -------------------------------------------------------------------------------

    def _boxes(self) -> list[QRectF]:
        """Return where each option stands, from the leading edge."""
        x = first = theme.metrics("label").horizontalAdvance(self._title) + px(GAP)
        y = 0
        boxes = []
        for _, text in self._options:
            width = theme.metrics("label_strong").horizontalAdvance(text)
            if x > first and x + width > self._room - px(4):
                x, y = first, y + px(ROW)
            boxes.append(QRectF(x, y, width, px(ROW)))
            x += width + px(GAP)
        return boxes

    def sizeHint(self) -> QSize:
        boxes = self._boxes()
        width = max((box.right() for box in boxes), default=0.0)
        height = boxes[-1].bottom() if boxes else px(ROW)
        return QSize(round(width) + px(4), round(height))

    def paintEvent(self, event: QPaintEvent) -> None:
        qt_painter = QPainter(self)
        painter = Painter(qt_painter, self.width(), self)
        colours = painter.theme
        first = baseline(0, px(ROW), "label")
        painter.text(0, first, self._title, "label", colours.ink3)
        for i, (box, (_, text)) in enumerate(zip(self._boxes(), self._options, strict=True)):
            holds = i == self._place
            line = first + box.top()
            role, colour = ("label_strong", colours.ink) if holds else ("label", colours.ink2)
            width = painter.text(box.left(), line, text, role, colour)
            if holds:
                y = line + px(4)
                painter.fill(box.left(), y, width, px(LINE), colours.accent)
                if self.hasFocus():
                    for level in (box.top() + px(3), box.bottom() - 1):
                        painter.fill(box.left() - px(4), level, width + px(8), 1, colours.accent)
        qt_painter.end()

    # Hands ----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        forward, back = Qt.Key.Key_Right, Qt.Key.Key_Left
        if mirrored:
            forward, back = back, forward
        if event.key() in (forward, Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.step(1)
        elif event.key() == back:
            self.step(-1)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        x = event.position().x()
        if self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            x = self.width() - x
        y, half = event.position().y(), px(GAP) / 2
        for (key, _), box in zip(self._options, self._boxes(), strict=True):
            if box.left() - half <= x <= box.right() + half and box.top() <= y < box.bottom():
                self.choose(key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()
