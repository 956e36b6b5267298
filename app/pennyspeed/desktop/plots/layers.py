"""Layers of the road plot: graphics items that paint a layout, back to front."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import lru_cache

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPaintEngine, QPainter, QPen, QPixmap, QPolygonF

from pennyspeed.desktop.plots.placed import Placed, RoadLayout
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.services.prediction.limits import BRAKING

AA = QPainter.RenderHint.Antialiasing
Paint = Callable[[QPainter], None]


class Layer(pg.GraphicsObject):  # type: ignore[misc]
    """One item in the pixels of the widget that paints through a function."""

    def __init__(self, paint: Paint, z: float) -> None:
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


def horizontal(p: QPainter, x0: float, x1: float, y: float, colour: QColor, width: int = 1) -> None:
    """Draw a level line on whole pixels."""
    p.fillRect(QRectF(round(x0), round(y), round(x1) - round(x0), width), colour)


def vertical(p: QPainter, x: float, y0: float, y1: float, colour: QColor, width: int = 1) -> None:
    """Draw an upright line on whole pixels."""
    p.fillRect(QRectF(round(x), round(y0), width, round(y1) - round(y0)), colour)


def dashed(colour: QColor, dash: float, gap: float, width: float = 1.0) -> QPen:
    """Return a pen with dashes of whole pixels; Qt counts them in widths of the pen."""
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setDashPattern([dash / width, gap / width])
    return pen


def is_vector(p: QPainter) -> bool:
    """Tell whether what is painted on keeps lines and letters as such."""
    engine = p.paintEngine()
    return engine is not None and engine.type() == QPaintEngine.Type.SVG


def paint_labels(p: QPainter, labels: Iterable[Placed], theme: Theme) -> None:
    """Draw texts, those inside the frame on plates that break what runs behind them."""
    for label in labels:
        if label.plate:
            p.fillRect(label.box.adjusted(-px(3), 0, px(3) + label.reach, 0), theme.ground)
        label.words.draw(p, label.x, label.baseline, getattr(theme, label.colour), label.align)


def paint_grid(p: QPainter, frame: QRectF, grid: Iterable[float], theme: Theme) -> None:
    """Draw the level lines of a frame, the lowest of them stronger."""
    p.setRenderHint(AA, False)
    for y in grid:
        horizontal(p, frame.left(), frame.right(), y, theme.rule, px(1))
    horizontal(p, frame.left(), frame.right(), frame.bottom(), theme.line, px(1))


def paint_axis(p: QPainter, frame: QRectF, y: float, marks: Iterable[float], theme: Theme) -> None:
    """Draw a level axis with its marks."""
    one = px(1)
    horizontal(p, frame.left(), frame.right() + one, y, theme.line, one)
    for x in marks:
        vertical(p, x, y - px(3), y + one, theme.line, one)


def paint_ring(p: QPainter, at: QPointF, radius: float, width: float, colour: QColor) -> None:
    """Draw the ring that marks a point of a curve; the caller has chosen the ground as brush."""
    p.setPen(QPen(colour, width * px(1)))
    p.drawEllipse(at, radius * px(1), radius * px(1))


def paint_paper(p: QPainter, layout: RoadLayout, theme: Theme) -> None:
    """Draw the grid, both axes and what holds the car back along the road."""
    frame = layout.scale.frame
    one = px(1)
    paint_grid(p, frame, layout.grid, theme)
    paint_axis(p, frame, layout.strip_axis, layout.marks, theme)
    half = px(4)
    middle = round(frame.bottom() + px(30))
    for i, (x0, x1, limit) in enumerate(layout.strip):
        left = x0 + (px(2) if i else 0)
        box = QRectF(round(left), middle - half, round(x1 - px(2)) - round(left), 2 * half)
        if i == len(layout.strip) - 1:
            box.setRight(round(x1))
        if box.width() >= 1:
            paint_texture(p, box, limit, theme)
        if i and limit != BRAKING:
            vertical(p, x0, frame.bottom(), layout.strip_axis, theme.line, one)


def paint_texture(p: QPainter, box: QRectF, limit: str, theme: Theme) -> None:
    """Fill a piece of road in the way of its limit; each also differs in black and white."""
    p.setRenderHint(AA, False)
    if limit == "voltage":
        tall = 6 * px(1)
        middle = round(box.center().y())
        p.fillRect(QRectF(box.left(), middle - tall / 2, box.width(), tall), theme.ink2)
        return
    if is_vector(p):
        p.save()
        p.setClipRect(box)
        p.translate(box.topLeft())
        _draw_texture(p, limit, theme.ink2, px(1), box.width(), round(box.height()))
        p.restore()
        return
    device = p.device()
    ratio = device.devicePixelRatio() if device is not None else 1.0
    tile = _tile(limit, theme.ink2.name(), px(1), round(box.height()), ratio)
    p.drawTiledPixmap(box, tile)


_TILE = 40
"""Pixels at 100 % that a tile is wide: a whole number of every texture's pitch."""


@lru_cache(maxsize=64)
def _tile(limit: str, colour: str, unit: int, tall: int, ratio: float) -> QPixmap:
    """Return a piece of a texture that repeats without a seam."""
    wide = _TILE * unit
    tile = QPixmap(round(wide * ratio), round(tall * ratio))
    tile.setDevicePixelRatio(ratio)
    tile.fill(Qt.GlobalColor.transparent)
    p = QPainter(tile)
    _draw_texture(p, limit, QColor(colour), unit, wide, tall)
    p.end()
    return tile


def _draw_texture(p: QPainter, limit: str, ink: QColor, unit: int, wide: float, tall: int) -> None:
    middle, columns = tall // 2, math.ceil(wide)
    if limit == "driver":
        for x in range(0, columns, 5 * unit):
            p.fillRect(x, middle - unit, 2 * unit, 2 * unit, ink)
    elif limit == "current":
        for x in range(0, columns, 10 * unit):
            p.fillRect(x, middle - 2 * unit, 7 * unit, 4 * unit, ink)
    elif limit == "pack":
        for y in (middle - 3 * unit, middle + unit):
            p.fillRect(0, y, columns, 2 * unit, ink)
    elif limit == "grip":
        p.setRenderHint(AA)
        p.setPen(QPen(ink, 1.4 * unit))
        pitch = 4 * unit
        points = [
            QPointF(x, tall - unit if i % 2 else unit)
            for i, x in enumerate(range(-2 * pitch, columns + 3 * pitch, pitch))
        ]
        p.drawPolyline(QPolygonF(points))
    else:
        hatch(p, QRectF(0, 0, wide, tall), ink, 5 * unit, 1.3 * unit)


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


def paint_band(p: QPainter, layout: RoadLayout, theme: Theme) -> None:
    """Draw the likely range: one light fill between dotted edges."""
    if layout.band is None:
        return
    p.setRenderHint(AA)
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(theme.band)
    p.drawPolygon(layout.band)
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(dashed(theme.band_edge, 1.5 * px(1), 2.5 * px(1), float(px(1))))
    for edge in layout.band_edges:
        p.drawPolyline(edge)


def paint_target(p: QPainter, frame: QRectF, target: float | None, theme: Theme) -> None:
    """Draw the target's dashes under the curves."""
    if target is None:
        return
    p.setRenderHint(AA, False)
    p.setPen(dashed(theme.ink, px(7), px(5), float(px(1))))
    y = round(target) + 0.5 * px(1)
    p.drawLine(QLineF(frame.left(), y, frame.right(), y))


def paint_marks(p: QPainter, layout: RoadLayout, theme: Theme) -> None:
    """Draw the lift line, rings, leaders and labels over the curves."""
    frame = layout.scale.frame
    one = px(1)
    if layout.ring is not None:
        p.setRenderHint(AA, False)
        top = max(layout.ring.y(), frame.top())
        vertical(p, layout.ring.x(), top, layout.strip_axis, theme.ink, one)
    p.setRenderHint(AA)
    p.setPen(QPen(theme.line, one))
    for start, end in layout.leaders:
        p.drawLine(start + QPointF(0.5, 0.5), end + QPointF(0.5, 0.5))
    paint_labels(p, layout.labels, theme)
    p.setRenderHint(AA)
    p.setBrush(theme.ground)
    if layout.ghost_ring is not None and layout.ghost_ring.y() <= frame.bottom():
        paint_ring(p, layout.ghost_ring, 4, 1.5, theme.ink)
    if layout.ring is not None:
        paint_ring(p, layout.ring, 5, 2.5, theme.accent)
