"""Signs of money: how far a thing is as a circle, and the fills of the bars."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from pennyspeed.desktop.charts.strokes import hatch
from pennyspeed.desktop.charts.strokes import paint_circle as paint_circle
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.charts.spending_steps import CROSSED as CROSSED
from pennyspeed.services.charts.spending_steps import FULL as FULL
from pennyspeed.services.charts.spending_steps import HALF as HALF
from pennyspeed.services.charts.spending_steps import OPEN as OPEN
from pennyspeed.services.charts.spending_steps import sign_of as sign_of

WORDS = {FULL: "spent", HALF: "promised", OPEN: "planned"}
"""What each circle stands for in a sum."""


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
