"""Textures: layers of a stack told apart without colour, as plain lines that any page takes."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from pennyspeed.desktop.plots.layers import AA
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.physics.car import FloatArray

PLAIN, SOLID, SHADE = "plain", "solid", "shade"
RISING, FALLING, CROSSED = "rising", "falling", "crossed"
LEVEL, UPRIGHT, DOTS = "level", "upright", "dots"
TEXTURES = (RISING, SOLID, FALLING, DOTS, LEVEL, UPRIGHT, SHADE, CROSSED, PLAIN)


@dataclass(slots=True)
class Fill:
    """One layer: its outline, and the lines or dots in it."""

    outline: QPolygonF
    texture: str
    lines: list[QLineF] = field(default_factory=list)
    dots: list[QPointF] = field(default_factory=list)

    def paint(self, p: QPainter, theme: Theme) -> None:
        """Draw it."""
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
