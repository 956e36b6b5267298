"""Strokes: pens, lines on whole pixels, hatching, and the circles of money."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.services.charts.chart import Stroke
from pennyspeed.services.money.status_circles import CROSSED, FULL, HALF

AA = QPainter.RenderHint.Antialiasing


def pen_of(stroke: Stroke, theme: Theme) -> QPen:
    """Return the pen of a stroke at the text size that holds."""
    unit = px(1) if stroke.is_crisp else px(100) / 100
    pen = QPen(getattr(theme, stroke.colour), stroke.width * unit)
    is_square = stroke.is_crisp and stroke.width > 1.0
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin if is_square else Qt.PenJoinStyle.BevelJoin)
    if stroke.dash:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([one / stroke.width for one in stroke.dash])
    return pen


def dashed(colour: QColor, dash: float, gap: float, width: float = 1.0) -> QPen:
    """Return a pen with dashes of whole pixels; Qt counts them in widths of the pen."""
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setDashPattern([dash / width, gap / width])
    return pen


def horizontal(p: QPainter, x0: float, x1: float, y: float, colour: QColor, width: int = 1) -> None:
    """Draw a level line on whole pixels."""
    p.fillRect(QRectF(round(x0), round(y), round(x1) - round(x0), width), colour)


def vertical(p: QPainter, x: float, y0: float, y1: float, colour: QColor, width: int = 1) -> None:
    """Draw an upright line on whole pixels."""
    p.fillRect(QRectF(round(x), round(y0), width, round(y1) - round(y0)), colour)


def hatch(p: QPainter, box: QRectF, colour: QColor, pitch: float, width: float) -> None:
    """Fill a rectangle with slanting lines; the caller clips."""
    p.setRenderHint(AA)
    p.setPen(QPen(colour, width))
    tall = box.height()
    # Lines stand on multiples of the pitch, so that neighbouring boxes match.
    x = pitch * math.floor((box.left() - tall) / pitch)
    lines = []
    while x < box.right():
        lines.append(QLineF(x, box.bottom(), x + tall, box.top()))
        x += pitch
    p.drawLines(lines)
    p.setRenderHint(AA, False)


def paint_circle(
    p: QPainter, at: QPointF, radius: float, sign: str, ink: QColor, ground: QColor
) -> None:
    """Draw the circle that says how far a thing is: open, half, full, or crossed out."""
    box = QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius)
    p.save()
    p.setRenderHint(AA)
    p.setPen(QPen(ink, 1.25 * px(100) / 100))
    p.setBrush(ink if sign == FULL else ground)
    p.drawEllipse(box)
    if sign == HALF:
        p.setBrush(ink)
        p.drawPie(box, 90 * 16, 180 * 16)
    elif sign == CROSSED:
        reach = radius + px(2)
        p.drawLine(QLineF(at.x() - reach, at.y() + reach, at.x() + reach, at.y() - reach))
    p.restore()


def hatched(p: QPainter, box: QRectF, colour: QColor) -> None:
    """Fill a box with slanting lines: what is promised."""
    if box.width() < 1 or box.height() < 1:
        return
    p.save()
    p.setClipRect(box, Qt.ClipOperation.IntersectClip)
    hatch(p, box, colour, 5 * px(1), 1.3 * px(1))
    p.restore()


def crossed(p: QPainter, box: QRectF, ground: QColor, colour: QColor) -> None:
    """Fill a box with lines both ways in a frame: what is past the cap."""
    one = px(1)
    p.fillRect(box, ground)
    hatched(p, box, colour)
    p.save()
    # Mirrored in its own middle, the same hatching leans the other way.
    p.translate(2 * box.center().x(), 0)
    p.scale(-1, 1)
    hatched(p, box, colour)
    p.restore()
    p.setPen(QPen(colour, 2 * one))
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.drawRect(box.adjusted(one, one, -one, -one))
