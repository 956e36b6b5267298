"""Sensitivity bars: what a tenth of each thing would bring in speed."""

from __future__ import annotations

import math

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.strokes import hatch
from pennyspeed.desktop.widgets.painter import CENTRE, LEFT, RIGHT, Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.services.charts.axes import round_step
from pennyspeed.services.prediction.sensitivity import STEP, Sensitivity, sentence

ROW = 20


class SensitivityBars(QWidget):
    """Bars from a middle line: to the right what is gained, to the left what is lost.

    A filled bar is a tenth more, a hatched one a tenth less; the figures stand beside them.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[Sensitivity] = []
        self._measures = Measures()
        self._place = 0
        self._top = 0
        self.setAccessibleName("what a tenth of each thing would bring")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(px(ROW) * 4)

    def show_rows(self, rows: list[Sensitivity], measures: Measures) -> None:
        """Show other bars."""
        self.rows, self._measures = rows, measures
        self._go(self._place)

    def figures(self, one: Sensitivity) -> tuple[str, str]:
        """Return both changes as they are written."""
        unit = self._measures.speed_unit
        return (
            self._measures.signed(one.up / unit.factor, 1),
            self._measures.signed(one.down / unit.factor, 1),
        )

    @property
    def _in_sight(self) -> int:
        return max((self.height() - px(ROW)) // px(ROW), 1)

    def _go(self, place: int) -> None:
        self._place = min(max(place, 0), max(len(self.rows) - 1, 0))
        least = self._place - self._in_sight + 1
        self._top = min(max(self._top, least), self._place)
        self._top = max(min(self._top, len(self.rows) - self._in_sight), 0)
        if self.rows:
            self.setAccessibleDescription(sentence(self.rows[self._place], self._measures))
        else:
            self.setAccessibleDescription("No whole car yet.")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(px(440), px(ROW) * 13)

    def resizeEvent(self, event: QEvent) -> None:
        self._go(self._place)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        places = {
            Qt.Key.Key_Up: self._place - 1,
            Qt.Key.Key_Down: self._place + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: len(self.rows) - 1,
            Qt.Key.Key_PageUp: self._place - self._in_sight,
            Qt.Key.Key_PageDown: self._place + self._in_sight,
        }
        if event.key() in places:
            self._go(places[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        row = int((event.position().y() - px(ROW)) // px(ROW)) + self._top
        if event.button() == Qt.MouseButton.LeftButton and 0 <= row < len(self.rows):
            self._go(row)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            if self.rows:
                self._paint_rows(painter)
            else:
                line = baseline(px(ROW), px(ROW), "body")
                text = "Once the car is whole, this tells what a tenth of each thing would bring."
                painter.text(0, line, text, "body", painter.theme.ink2, room=self.width())

    def _paint_rows(self, painter: Painter) -> None:
        colours, unit = painter.theme, self._measures.speed_unit
        label = px(132)
        column = px(72)
        right = self.width() - px(8)
        left, end = label + px(8), right - 2 * column - px(8)
        middle = round((left + end) / 2)
        line = baseline(0, px(ROW), "label")
        most = max(max(abs(one.up), abs(one.down)) for one in self.rows) / unit.factor
        # The scale's end is round, so that bars of two cars can be compared.
        tick = round_step(max(most, 0.1), 3)
        step = tick * math.ceil(max(most, 0.1) / tick - 1e-9)
        half = (end - left) / 2 - px(2)
        digits = 1 if tick < 1 else 0
        for x, text, side in (
            (left, self._measures.signed(-step, digits), LEFT),
            (middle, unit.symbol, CENTRE),
            (end, self._measures.signed(step, digits), RIGHT),
            (right - column, f"{100 * STEP:.0f} % more", RIGHT),
            (right, f"{100 * STEP:.0f} % less", RIGHT),
        ):
            painter.text(x, line, text, "label", colours.ink3, side)
        shown = self.rows[self._top : self._top + self._in_sight]
        for i, one in enumerate(shown):
            top = px(ROW) * (i + 1)
            is_here = self._top + i == self._place and self.hasFocus()
            if is_here:
                painter.fill(0, top, self.width(), px(ROW), colours.tint)
                painter.fill(0, top, self.width(), 1, colours.accent)
                painter.fill(0, top + px(ROW) - 1, self.width(), 1, colours.accent)
            line = baseline(top, px(ROW), "body")
            role = "name_chosen" if is_here else "body"
            painter.text(px(4), line, one.label, role, colours.ink, room=label)
            for x, text in zip((right - column, right), self.figures(one), strict=True):
                painter.text(x, line, text, "figure" if is_here else "body", colours.ink, RIGHT)
            for change, offset, is_more in ((one.up, 3, True), (one.down, 10, False)):
                wide = change / unit.factor / step * half
                self._bar(painter, middle, top + px(offset), wide, is_more)
        painter.fill(middle, px(ROW), px(1), px(ROW) * len(shown), colours.line)

    @staticmethod
    def _bar(painter: Painter, middle: float, y: float, wide: float, is_more: bool) -> None:
        if abs(wide) < 0.5:
            return
        left = middle if wide > 0 else middle + wide
        box = QRectF(round(painter.left(left, abs(wide))), y, round(abs(wide)), px(7))
        qt_painter, colours = painter.qt_painter, painter.theme
        if is_more:
            qt_painter.fillRect(box, colours.accent)
            return
        qt_painter.save()
        qt_painter.setClipRect(box)
        hatch(qt_painter, box, colours.ink2, px(4), 1.2 * px(1))
        qt_painter.restore()
        qt_painter.setPen(QPen(colours.ink2, px(1)))
        qt_painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))
