"""What the spending plot paints, back and front."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen, QPolygonF

from pennyspeed.desktop.money.money_signs import hatched, paint_circle
from pennyspeed.desktop.plots import layers
from pennyspeed.desktop.plots.spending_placed import SpendingLayout
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.domain.checks import Level


def paint_back(painter: QPainter, layout: SpendingLayout, theme: Theme) -> None:
    """Draw the axes, what is promised, today, the cap and the event."""
    frame, one = layout.scale.frame, px(1)
    layers.paint_grid(painter, frame, layout.grid, theme)
    layers.paint_axis(painter, frame, frame.bottom(), layout.marks, theme)
    for x in layout.long_marks:
        layers.vertical(painter, x, frame.bottom(), frame.bottom() + px(8), theme.line, one)
    if layout.spent:
        _paint_promised(painter, layout, theme)
    layers.vertical(painter, layout.today, frame.top() - px(4), frame.bottom(), theme.ink2, one)
    if layout.cap is not None:
        layers.horizontal(
            painter, frame.left(), frame.right(), layout.cap - one, theme.ink, 2 * one
        )
    if layout.event is not None:
        x, top = layout.event, frame.top() - px(12)
        layers.vertical(painter, x - one, top, frame.bottom(), theme.ink, 2 * one)
        painter.setRenderHint(layers.AA)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.ink)
        flag = [(0, 0), (12, 5), (0, 10)]
        painter.drawPolygon(QPolygonF([QPointF(x + px(a), top + px(b)) for a, b in flag]))


def _paint_promised(painter: QPainter, layout: SpendingLayout, theme: Theme) -> None:
    """Hatch what is promised, between what is spent and both together."""
    outline = QPolygonF([*layout.gone, *reversed(layout.spent)])
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    path = QPainterPath()
    path.addPolygon(outline)
    painter.setClipPath(path)
    hatched(painter, outline.boundingRect(), theme.line)
    painter.restore()
    painter.setRenderHint(layers.AA, False)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(theme.accent, px(1)))
    painter.drawPolyline(QPolygonF(layout.spent))


def paint_front(painter: QPainter, layout: SpendingLayout, theme: Theme) -> None:
    """Draw the steps, each line's way, circles and words."""
    one, frame = px(1), layout.scale.frame
    painter.save()
    painter.setClipRect(frame.adjusted(0, -px(8), px(8), px(2)))
    painter.setRenderHint(layers.AA, False)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if layout.ghost:
        painter.setPen(QPen(theme.ink, 1.25 * one))
        painter.drawPolyline(QPolygonF(layout.ghost))
    for line, width in ((layout.planned, 1.5), (layout.gone, 3.0)):
        pen = QPen(theme.accent, width * one)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawPolyline(QPolygonF(line))
    _paint_ways(painter, layout, theme)
    painter.restore()
    for at, point in layout.points:
        paint_circle(painter, at, px(5), point.sign, theme.ink2, theme.ground)
    if layout.ghost:
        at = layout.ghost[-1]
        painter.setBrush(theme.ground)
        painter.setRenderHint(layers.AA)
        layers.paint_ring(painter, at, 3.5, 1.5, theme.ink)
    layers.paint_labels(painter, layout.labels, theme)
    side = px(14)
    for at in layout.signs:
        box = QRectF(at.x(), at.y() - side / 2, side, side)
        themes.paint_sign(painter, box, Level.WARN, theme)


def _paint_ways(painter: QPainter, layout: SpendingLayout, theme: Theme) -> None:
    one = px(1)
    for way in layout.ways:
        late = way.days_late > 0
        colour = theme.watch if late else theme.ink2
        if late and layout.event is not None:
            painter.setPen(QPen(theme.watch, 2 * one))
            start = QPointF(max(layout.event, way.start.x()), way.end.y())
            painter.drawLine(QLineF(start, way.end))
        painter.setPen(QPen(theme.ink2, one))
        painter.drawLine(QLineF(way.start, way.end))
        layers.vertical(
            painter, way.end.x() - one, way.end.y() - px(5), way.end.y() + px(5), colour,
            2 * one if late else one,
        )  # fmt: skip
