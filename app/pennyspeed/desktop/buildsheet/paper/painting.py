"""Painting: placed things through a painter, for a printer, a preview or a PDF."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPainterPath, QPen, QPolygonF

from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.desktop.buildsheet.paper.fonts import DOTS
from pennyspeed.services.sheet.paper.page_items import (
    Circle,
    Fill,
    Image,
    Page,
    PageItem,
    Points,
    Run,
    Stroke,
)

Announce = Callable[[PageItem], None]


def paint(
    painter: QPainter,
    page: Page,
    colours: Mapping[str, str],
    mono: bool,
    announce: Announce | None = None,
) -> None:
    """Paint a page.

    Parameters
    ----------
    painter : QPainter
        Whose unit is a dot of :data:`~pennyspeed.desktop.buildsheet.paper.fonts.DOTS_PER_INCH`.
    colours : mapping
        Role to colour.
    mono : bool
        Pictures too become black and white.
    announce : callable, optional
        Told of each thing right before it is painted.
    """
    shades = {role: QColor(text) for role, text in colours.items()}
    for thing in page.items:
        if announce is not None:
            announce(thing)
        if isinstance(thing, Run):
            painter.setPen(shades[thing.colour])
            painter.setFont(fonts.font(thing.type))
            painter.drawText(QPointF(thing.x * DOTS, thing.y * DOTS), thing.text)
        elif isinstance(thing, Stroke):
            painter.setPen(_pen(shades[thing.colour], thing.width, thing.dash))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolyline(_polygon(thing.points))
        elif isinstance(thing, Fill):
            path = QPainterPath()
            for ring in thing.rings:
                path.addPolygon(_polygon(ring))
                path.closeSubpath()
            painter.fillPath(path, shades[thing.colour])
        elif isinstance(thing, Circle):
            painter.setPen(_pen(shades[thing.colour], thing.width, ()))
            painter.setBrush(shades["paper"])
            radius = thing.radius * DOTS
            painter.drawEllipse(QPointF(thing.x * DOTS, thing.y * DOTS), radius, radius)
        else:
            _paint_image(painter, thing, mono)


def _pen(colour: QColor, width: float, dash: tuple[float, ...]) -> QPen:
    pen = QPen(colour, width * DOTS)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)
    if dash:
        pen.setDashPattern(list(dash))
    return pen


def _polygon(points: Points) -> QPolygonF:
    return QPolygonF([QPointF(x * DOTS, y * DOTS) for x, y in points])


def _paint_image(painter: QPainter, thing: Image, mono: bool) -> None:
    picture = QImage.fromData(thing.data)
    if picture.isNull():
        return  # a damaged picture costs the picture, not the sheet
    if mono:
        flat = QImage(picture.size(), QImage.Format.Format_RGB32)
        flat.fill(Qt.GlobalColor.white)
        over = QPainter(flat)
        over.drawImage(0, 0, picture)
        over.end()
        picture = flat.convertToFormat(QImage.Format.Format_Mono)
    where = QRectF(thing.x * DOTS, thing.y * DOTS, thing.width * DOTS, thing.height * DOTS)
    painter.drawImage(where, picture)
