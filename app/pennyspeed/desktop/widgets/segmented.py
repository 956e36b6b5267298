"""Segmented control: a few words in a row of which one holds."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QGroupBox, QSizePolicy, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import PUSHING
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.theme import px

GAP, LINE, ROW = 20, 3, 28


class Segment(QAbstractButton):
    """One of the words, as a screen reader meets it; the control paints it and works it."""

    def __init__(self, key: str, text: str, control: QWidget) -> None:
        super().__init__(control)
        self.key = key
        self.setText(text)
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The control paints all words at once."""


class SegmentedControl(Scaled, QGroupBox):
    """The words, the one that holds underlined; chosen by arrow keys or a click.

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
        self._segments: list[Segment] = []
        self._place = 0
        self._room = math.inf
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        fixed = QSizePolicy.Policy.Fixed
        self.setSizePolicy(fixed, fixed)

    @property
    def key(self) -> str:
        """The key of the one that holds."""
        return self._segments[self._place].key if self._segments else ""

    def offer(self, options: Sequence[tuple[str, str]]) -> None:
        """Offer keys and their words; the one that holds stays where it is among them."""
        if options == [(one.key, one.text()) for one in self._segments]:
            return
        held = self.key
        for one in self._segments:
            one.hide()
            one.deleteLater()
        self._segments = [Segment(key, text, self) for key, text in options]
        for one in self._segments:
            one.toggled.connect(self._toggled)
            one.show()
        keys = [key for key, _ in options]
        self._place = keys.index(held) if held in keys else 0
        self._renew()

    def choose(self, key: str) -> None:
        """Let another one hold."""
        place = [one.key for one in self._segments].index(key)
        if place != self._place:
            self._place = place
            self._renew()
            self.chosen.emit(key)

    def _toggled(self, holds: bool) -> None:
        if holds:
            self.choose(next(one.key for one in self._segments if one.isChecked()))

    def step(self, by: int = 1) -> None:
        """Go on to the next one, round the end."""
        if self._segments:
            self.choose(self._segments[(self._place + by) % len(self._segments)].key)

    def limit(self, room: float) -> None:
        """Go on in another row where the words are wider than so many pixels."""
        if room != self._room:
            self._room = room
            self._renew()

    def _renew(self) -> None:
        text = ""
        if self._segments:
            holds = self._segments[self._place]
            holds.setChecked(True)
            text = holds.text()
        self.setAccessibleName(f"{self._title}: {text}")
        self.updateGeometry()
        self.rescale()
        self.update()

    # Layout ---------------------------------------------------------------------------------

    def _boxes(self) -> list[QRectF]:
        """Return where each word stands, from the leading edge."""
        x = first = theme.metrics("label").horizontalAdvance(self._title) + px(GAP)
        y = 0
        boxes = []
        for one in self._segments:
            width = theme.metrics("label_strong").horizontalAdvance(one.text())
            if x > first and x + width > self._room - px(4):
                x, y = first, y + px(ROW)
            boxes.append(QRectF(x, y, width, px(ROW)))
            x += width + px(GAP)
        return boxes

    def rescale(self) -> None:
        # Half of the gap beside a word is its own.
        half = px(GAP) // 2
        for one, box in zip(self._segments, self._boxes(), strict=True):
            place(one, box.toAlignedRect().adjusted(-half, 0, half, 0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.rescale()

    def sizeHint(self) -> QSize:
        boxes = self._boxes()
        width = max((box.right() for box in boxes), default=0.0)
        height = boxes[-1].bottom() if boxes else px(ROW)
        return QSize(round(width) + px(4), round(height))

    def minimumSizeHint(self) -> QSize:
        return QSize(-1, -1)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colours = painter.theme
            first = baseline(0, px(ROW), "label")
            painter.text(0, first, self._title, "label", colours.ink3)
            for one, box in zip(self._segments, self._boxes(), strict=True):
                line, x = first + box.top(), box.left()
                if not one.isChecked():
                    painter.text(x, line, one.text(), "label", colours.ink2)
                    continue
                width = painter.text(x, line, one.text(), "label_strong", colours.ink)
                painter.fill(x, line + px(4), width, px(LINE), colours.accent)
                if self.hasFocus():
                    for y in (box.top() + px(3), box.bottom() - 1):
                        painter.fill(x - px(4), y, width + px(8), 1, colours.accent)

    # Hands ----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        forward, back = Qt.Key.Key_Right, Qt.Key.Key_Left
        if self.isRightToLeft():
            forward, back = back, forward
        if event.key() in (forward, *PUSHING):
            self.step(1)
        elif event.key() == back:
            self.step(-1)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            for one in self._segments:
                if one.geometry().contains(event.position().toPoint()):
                    self.choose(one.key)
