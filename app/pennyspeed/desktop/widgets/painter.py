"""Painter: words, rules and signs by their distance from the leading edge.

What is painted through it stands mirrored where the language runs from right to left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from typing import Literal

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.theme import CENTRE as CENTRE
from pennyspeed.desktop.widgets.theme import LEFT as LEFT
from pennyspeed.desktop.widgets.theme import RIGHT as RIGHT
from pennyspeed.desktop.widgets.theme import Words
from pennyspeed.domain.checks import Level

Ground = Literal["ground", "side", "rule"]
"""The colours of the theme that a widget may stand on."""


@lru_cache(maxsize=2048)
def _cut(text: str, role: str, room: float, percent: int) -> str:
    return theme.metrics(role).elidedText(text, Qt.TextElideMode.ElideRight, room)


def fitted(text: str, role: str, room: float) -> Words:
    """Return the words of `text`, cut with an ellipsis where they are wider than `room`."""
    whole = theme.words(text, role)
    if whole.width <= room:
        return whole
    return theme.words(_cut(text, role, max(room, 0.0), theme.keeper().text_percent), role)


def wrapped(text: str, role: str, room: float) -> list[str]:
    """Return `text` in lines of at most `room`; a word that is wider stands alone."""
    return list(_wrapped(text, role, round(room), theme.keeper().text_percent))


@lru_cache(maxsize=512)
def _wrapped(text: str, role: str, room: int, percent: int) -> tuple[str, ...]:
    advance = theme.metrics(role).horizontalAdvance
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and advance(longer) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    return (*lines, line) if line else tuple(lines)


class Painter:
    """A painter over a rectangle, with distances from its leading edge.

    Parameters
    ----------
    width : float
        Of the rectangle; its top is 0.
    widget : QWidget
        Whose layout direction holds.
    """

    __slots__ = ("mirrored", "qt_painter", "theme", "width")

    def __init__(self, qt_painter: QPainter, width: float, widget: QWidget) -> None:
        self.qt_painter = qt_painter
        self.width = width
        self.mirrored = widget.isRightToLeft()
        self.theme = theme.current()

    def left(self, x: float, width: float = 0.0) -> float:
        """Return where something of that width begins on the screen."""
        return self.width - x - width if self.mirrored else x

    def text(
        self,
        x: float,
        baseline: float,
        text: str,
        role: str,
        colour: QColor,
        align: float = LEFT,
        room: float | None = None,
    ) -> float:
        """Write a text that begins at, is centred on or ends at `x`; return its width."""
        words = theme.words(text, role) if room is None else fitted(text, role, room)
        if self.mirrored:
            x, align = self.width - x, RIGHT - align
        words.draw(self.qt_painter, x, baseline, colour, align)
        return words.width

    def lines(
        self,
        x: float,
        top: float,
        pitch: float,
        texts: Sequence[str],
        role: str,
        colour: QColor,
        room: float | None = None,
    ) -> float:
        """Write texts below each other, each in a row `pitch` high; return where they end."""
        for text in texts:
            self.text(x, baseline(top, pitch, role), text, role, colour, room=room)
            top += pitch
        return top

    def figure(
        self,
        end: float,
        wide: float,
        baseline: float,
        text: str,
        role: str,
        colour: QColor,
        room: float | None = None,
    ) -> float:
        """Write a figure in a column of that width that ends at `end`; return its width.

        Digits read from left to right in any language: the last one stands to the right.
        """
        if self.mirrored:
            return self.text(end - wide, baseline, text, role, colour, LEFT, room)
        return self.text(end, baseline, text, role, colour, RIGHT, room)

    def fill(self, x: float, y: float, width: float, height: float, colour: QColor) -> None:
        """Fill a rectangle on whole pixels."""
        box = QRect(round(self.left(x, width)), round(y), round(width), round(height))
        self.qt_painter.fillRect(box, colour)

    def frame(self, box: QRect, colour: QColor) -> None:
        """Draw a frame one pixel wide just inside a rectangle."""
        self.qt_painter.setPen(colour)
        self.qt_painter.setBrush(Qt.BrushStyle.NoBrush)
        self.qt_painter.drawRect(box.adjusted(0, 0, -1, -1))

    def sign(self, x: float, y: float, side: float, level: Level) -> None:
        """Draw a check's sign."""
        theme.paint_sign(
            self.qt_painter, QRectF(self.left(x, side), y, side, side), level, self.theme
        )

    def icon(self, x: float, y: float, side: int, name: str, colour: QColor) -> None:
        drawing = theme.icon(name, colour, side)
        self.qt_painter.drawPixmap(QPointF(round(self.left(x, side)), round(y)), drawing)

    def dot(self, x: float, y: float, radius: float, colour: QColor) -> None:
        qt_painter = self.qt_painter
        qt_painter.save()
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        qt_painter.setPen(Qt.PenStyle.NoPen)
        qt_painter.setBrush(colour)
        qt_painter.drawEllipse(QPointF(self.left(x), y), radius, radius)
        qt_painter.restore()


@contextmanager
def painting(widget: QWidget, ground: Ground | None = None) -> Iterator[Painter]:
    """Yield a painter over a widget, filled with a colour of the theme where one is named."""
    qt_painter = QPainter(widget)
    painter = Painter(qt_painter, widget.width(), widget)
    if ground is not None:
        qt_painter.fillRect(widget.rect(), getattr(painter.theme, ground))
    try:
        yield painter
    finally:
        qt_painter.end()


def baseline(top: float, height: float, role: str) -> float:
    """Return the baseline of a line of text centred in a row."""
    measures = theme.metrics(role)
    return round(top + (height + measures.capHeight()) / 2)
