"""Shape of the car from above as paths that can be painted and hit."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

from pennyspeed.services.reports.car_outlines import Box, Circle, Polygon, Shape


def path_of(shapes: tuple[Shape, ...]) -> QPainterPath:
    """Return the shapes of an outline as one path, in millimetres."""
    path = QPainterPath()
    for shape in shapes:
        if isinstance(shape, Box):
            box = QRectF(shape.x, shape.y, shape.long, shape.wide)
            path.addRoundedRect(box, shape.radius, shape.radius)
        elif isinstance(shape, Circle):
            path.addEllipse(QPointF(shape.x, shape.y), shape.radius, shape.radius)
        elif isinstance(shape, Polygon):
            path.addPolygon(QPolygonF([QPointF(x, y) for x, y in shape.points]))
            path.closeSubpath()
        else:
            start, *others = shape.points
            path.moveTo(*start)
            for point in others:
                if len(point) == 2:
                    path.lineTo(*point)
                else:
                    path.quadTo(*point)
    return path
