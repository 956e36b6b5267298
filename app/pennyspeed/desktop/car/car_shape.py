"""Shape of the car from above: its outlines as paths that can be painted and hit."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

from pennyspeed.domain.builds import Build
from pennyspeed.services.reports import car_outlines
from pennyspeed.services.reports.car_outlines import Box, Circle, Look, Polygon, Shape


@dataclass(frozen=True, slots=True)
class Outline:
    """One piece of the drawing in millimetres, back to front in the list.

    Attributes
    ----------
    slot : str
        The slot it belongs to.
    there : bool
        False where the slot is empty; the outline is then a usual size.
    """

    slot: str
    look: Look
    path: QPainterPath
    there: bool = True


def outlines(build: Build) -> list[Outline]:
    """Return the drawing of a build."""
    return [
        Outline(one.slot, one.look, _path(one.shapes), one.there)
        for one in car_outlines.outlines(build)
    ]


def _path(shapes: tuple[Shape, ...]) -> QPainterPath:
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
