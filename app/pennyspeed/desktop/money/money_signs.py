"""Signs of money: how far a thing is as a circle, and the fills of the bars."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from pennyspeed.desktop.plots.layers import AA, hatch
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.money.status_circles import CROSSED, FULL, HALF


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
