"""Painting: the scene's items, and how a layout is drawn, back to front."""

from __future__ import annotations

from collections.abc import Callable

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from pennyspeed.desktop.charts.layout import SIGN_ROOM, Frame, Layout
from pennyspeed.desktop.charts.strokes import AA, horizontal, pen_of, vertical
from pennyspeed.desktop.widgets.painter import wrapped
from pennyspeed.desktop.widgets.theme import CENTRE, Theme, paint_sign, px, words


class Layer(pg.GraphicsObject):  # type: ignore[misc]
    """One item in the pixels of the widget that paints through a function."""

    def __init__(self, paint: Callable[[QPainter], None], z: float) -> None:
        super().__init__()
        self._paint = paint
        self._rect = QRectF()
        self.setZValue(z)

    def set_rect(self, rect: QRectF) -> None:
        """Cover another rectangle and paint anew."""
        if rect != self._rect:
            self.prepareGeometryChange()
            self._rect = QRectF(rect)
        self.update()

    def boundingRect(self) -> QRectF:
        return self._rect

    def paint(self, painter: QPainter, *_: object) -> None:
        self._paint(painter)


def paint_frame(p: QPainter, frame: Frame, theme: Theme) -> None:
    """Draw a frame's axes, fills and lines, of which a thick one lies over a thin one."""
    box, one = frame.scale.frame, px(1)
    p.setRenderHint(AA, False)
    for y in frame.grid:
        horizontal(p, box.left(), box.right(), y, theme.rule, one)
    horizontal(p, box.left(), box.right(), box.bottom(), theme.line, one)
    horizontal(p, box.left(), box.right() + one, frame.axis, theme.line, one)
    for x in frame.marks:
        vertical(p, x, frame.axis - px(3), frame.axis + one, theme.line, one)
    for fill in frame.fills:
        fill.paint(p, theme)
    for fill in frame.fills:
        fill.paint_edges(p, theme)
    p.setRenderHint(AA, False)
    for x, top, bottom, stroke in frame.uprights:
        colour = getattr(theme, stroke.colour)
        vertical(p, x, top, bottom, colour, round(stroke.width * one))
    for level, stroke in frame.levels:
        pen = pen_of(stroke, theme)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        p.setPen(pen)
        y = round(level) + 0.5 * one * (stroke.width % 2)
        p.drawLine(QLineF(box.left(), y, frame.levels_end or box.right(), y))
    if frame.clip is not None:
        p.setClipRect(frame.clip)
    for polygon, stroke in sorted(frame.lines, key=lambda line: line[1].width):
        p.setRenderHint(AA, not stroke.is_crisp)
        p.setPen(pen_of(stroke, theme))
        p.drawPolyline(polygon)
    if frame.clip is not None:
        p.setClipping(False)


def paint_marks(p: QPainter, layout: Layout, theme: Theme) -> None:
    """Draw leaders, labels and rings, which stand over the curves.

    Labels inside a frame stand on plates that break what runs behind them.
    """
    p.setRenderHint(AA)
    p.setPen(QPen(theme.line, px(1)))
    for start, end in layout.leaders:
        p.drawLine(start + QPointF(0.5, 0.5), end + QPointF(0.5, 0.5))
    for label in layout.labels:
        if label.plate:
            p.fillRect(label.box.adjusted(-px(3), 0, px(3) + label.reach, 0), theme.ground)
        if label.sign is not None:
            side = px(16)
            top = label.box.center().y() - side / 2
            place = QRectF(label.box.left() - px(SIGN_ROOM), top, side, side)
            paint_sign(p, place, label.sign, theme)
        label.words.draw(p, label.x, label.baseline, getattr(theme, label.colour), label.align)
    p.setRenderHint(AA)
    for frame in layout.frames:
        for at, style in sorted(frame.rings, key=lambda ring: ring[1].radius):
            colour = getattr(theme, style.colour)
            p.setBrush(colour if style.is_full else theme.ground)
            p.setPen(QPen(colour, style.width * px(1)))
            p.drawEllipse(at, style.radius * px(1), style.radius * px(1))


def paint_empty(p: QPainter, box: QRectF, heading: str, text: str, theme: Theme) -> None:
    """Write a heading and a sentence in the middle of a box, in place of a curve."""
    rows = [words(heading, "heading")]
    rows += [words(line, "body") for line in wrapped(text, "body", 0.8 * box.width())]
    x, y = box.center().x(), box.center().y() - px(24) * (len(rows) - 1) / 2
    for i, row in enumerate(rows):
        p.fillRect(row.box(x, y, CENTRE).adjusted(-px(8), -px(2), px(8), px(2)), theme.ground)
        row.draw(p, x, y, theme.ink2 if i else theme.ink, CENTRE)
        y += px(24)
