"""Textures: layers of a stack and limits along the road, told apart without colour."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPaintEngine, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from pennyspeed.desktop.charts.strokes import AA, hatch, pen_of
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.charts.chart import Stroke
from pennyspeed.services.prediction.limits import REACTION, RESERVE

PLAIN, SOLID, SHADE = "plain", "solid", "shade"
RISING, FALLING, CROSSED = "rising", "falling", "crossed"
LEVEL, UPRIGHT, DOTS = "level", "upright", "dots"
HATCHED, OFF_ROAD = "hatched", "off road"
EDGE = Stroke(1.0, "line", is_crisp=True)
TEXTURES = (RISING, SOLID, FALLING, DOTS, LEVEL, UPRIGHT, SHADE, CROSSED, PLAIN)


@dataclass(slots=True)
class Fill:
    """One layer: its outline, the lines or dots in it, and edges that are drawn over all fills."""

    outline: QPolygonF
    texture: str
    lines: list[QLineF] = field(default_factory=list)
    dots: list[QPointF] = field(default_factory=list)
    edges: tuple[QPolygonF, ...] = ()
    edge_stroke: Stroke = EDGE

    def paint(self, p: QPainter, theme: Theme) -> None:
        p.setRenderHint(AA)
        if self.texture in (SOLID, SHADE):
            p.setPen(Qt.PenStyle.NoPen)
            p.setBrush(theme.ink2 if self.texture == SOLID else theme.band)
            p.drawPolygon(self.outline)
            p.setBrush(Qt.BrushStyle.NoBrush)
        pen = QPen(theme.ink3, 1.0 * px(1))
        if self.lines:
            p.setPen(pen)
            p.drawLines(self.lines)
        if self.dots:
            pen.setWidthF(2.0 * px(1))
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            p.setPen(pen)
            p.drawPoints(self.dots)
        if self.texture in (HATCHED, OFF_ROAD):
            is_dense = self.texture == HATCHED
            colour, pitch, wide = (theme.line, 5, 1.3) if is_dense else (theme.rule, 7, 1.0)
            path = QPainterPath()
            path.addPolygon(self.outline)
            p.save()
            p.setClipPath(path)
            hatch(p, self.outline.boundingRect(), colour, pitch * px(1), wide * px(1))
            p.restore()

    def paint_edges(self, p: QPainter, theme: Theme) -> None:
        p.setRenderHint(AA)
        p.setPen(pen_of(self.edge_stroke, theme))
        for edge in self.edges:
            p.drawPolyline(edge)


def filled(texture: str, xs: FloatArray, low: FloatArray, high: FloatArray) -> Fill:
    """Return the layer between two curves in pixels; `low` is the one further down the page."""
    outline = arrayToQPolygonF(np.concatenate((xs, xs[::-1])), np.concatenate((low, high[::-1])))
    made = Fill(outline, texture)
    if texture in (PLAIN, SOLID, SHADE):
        return made
    left, right = float(xs[0]), float(xs[-1])
    top, bottom = float(high.min()), float(low.max())
    if right - left < 1 or bottom - top < 0.5:
        return made

    def lower(x: FloatArray) -> FloatArray:
        return np.interp(x, xs, low)

    def upper(x: FloatArray) -> FloatArray:
        return np.interp(x, xs, high)

    if texture == UPRIGHT:
        x = np.arange(left + px(3), right, px(6))
        ends = zip(x.tolist(), lower(x).tolist(), upper(x).tolist(), strict=True)
        made.lines = [QLineF(at, y0, at, y1) for at, y0, y1 in ends if y0 - y1 > 0.5]
        return made
    across = np.arange(left, right, 3.0)
    if texture == DOTS:
        across = np.arange(left + px(3), right, px(6))
        down = np.arange(top + px(2), bottom, px(6))
        x, y = np.meshgrid(across, down)
        # every other row is set in by half a step
        x = x + np.where(np.arange(len(down)) % 2, px(3), 0)[:, None]
        inside = (y < lower(x) - 1) & (y > upper(x) + 1) & (x < right)
        made.dots = [QPointF(a, b) for a, b in zip(x[inside].tolist(), y[inside].tolist(),
                                                    strict=True)]  # fmt: skip
        return made
    if texture == LEVEL:
        starts = np.arange(px(5) * np.ceil(top / px(5)), bottom, px(5))
        made.lines = _runs(across, starts[:, None] + 0.0 * across, lower(across), upper(across))
        return made
    pitch = px(8 if texture == CROSSED else 7)
    for sign in {RISING: (-1,), FALLING: (1,), CROSSED: (-1, 1)}[texture]:
        slope = sign * across
        first, last = top - float(slope.max()), bottom - float(slope.min())
        starts = np.arange(pitch * np.floor(first / pitch), last, pitch)
        made.lines += _runs(across, starts[:, None] + slope, lower(across), upper(across))
    return made


def _runs(xs: FloatArray, ys: FloatArray, low: FloatArray, high: FloatArray) -> list[QLineF]:
    """Return the pieces of straight lines `ys`, one a row, that lie between two curves."""
    inside = (ys <= low) & (ys >= high)
    edges = np.diff(np.pad(inside, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    rows, starts = np.nonzero(edges == 1)
    _, ends = np.nonzero(edges == -1)
    ends = ends - 1
    return [
        QLineF(*line)
        for line in zip(
            xs[starts].tolist(),
            ys[rows, starts].tolist(),
            xs[ends].tolist(),
            ys[rows, ends].tolist(),
            strict=True,
        )
    ]


# Limits along the road ----------------------------------------------------------------------


def paint_limit(p: QPainter, box: QRectF, limit: str, theme: Theme) -> None:
    """Fill a piece of road in the way of its limit; each also differs in black and white."""
    p.setRenderHint(AA, False)
    if limit in (REACTION, RESERVE):
        is_reaction, one = limit == REACTION, px(1)
        p.fillRect(box, theme.accent if is_reaction else theme.ink)
        inside = box.adjusted(one, one, -one, -one)
        p.fillRect(inside, theme.tint if is_reaction else theme.ground)
        return
    if limit == "voltage":
        tall = 6 * px(1)
        middle = round(box.center().y())
        p.fillRect(QRectF(box.left(), middle - tall / 2, box.width(), tall), theme.ink2)
        return
    engine = p.paintEngine()
    if engine is not None and engine.type() == QPaintEngine.Type.SVG:
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
