"""Layout: every line, label and fill of a chart in pixels, before anything is painted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TypeVar

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPolygonF

from pennyspeed.desktop.charts.label_placer import LabelPlacer
from pennyspeed.desktop.charts.textures import Fill
from pennyspeed.desktop.widgets.theme import LEFT, Words, px
from pennyspeed.domain.checks import Level
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.charts.chart import Stroke

Curve = tuple[FloatArray, FloatArray]
Figures = TypeVar("Figures", float, FloatArray)


@dataclass(frozen=True, slots=True)
class Scale:
    """Where figures stand: `frame` in pixels, its edges in the units shown."""

    frame: QRectF
    x_max: float
    y_min: float
    y_max: float

    @property
    def x_pixels(self) -> float:
        """Pixels for one unit of the level axis."""
        return self.frame.width() / self.x_max

    @property
    def y_pixels(self) -> float:
        """Pixels for one unit of the upright axis."""
        return self.frame.height() / (self.y_max - self.y_min)

    def x(self, value: Figures) -> Figures:
        """Return the pixel of a figure of the level axis."""
        return self.frame.left() + value * self.x_pixels

    def y(self, value: Figures) -> Figures:
        """Return the pixel of a figure of the upright axis."""
        return self.frame.bottom() - (value - self.y_min) * self.y_pixels

    def point(self, x: float, y: float) -> QPointF:
        """Return the pixels of two figures."""
        return QPointF(self.x(x), self.y(y))

    def value(self, x: float) -> float:
        """Return the figure of the level axis under a pixel."""
        return (x - self.frame.left()) / self.x_pixels


@dataclass(frozen=True, slots=True)
class Label:
    """A text that has its place.

    Attributes
    ----------
    colour : str
        A role of the theme.
    plate : bool
        It stands on a plate of ground that breaks what runs behind.
    reach : float
        By how much the plate goes on to the right, to the figure that belongs to a name.
    sign : Level or None
        Stands before it, in :data:`SIGN_ROOM` pixels.
    """

    words: Words
    x: float
    baseline: float
    colour: str = "ink2"
    align: float = LEFT
    plate: bool = False
    reach: float = 0.0
    sign: Level | None = None

    @property
    def box(self) -> QRectF:
        """What it covers."""
        return self.words.box(self.x, self.baseline, self.align)


@dataclass(frozen=True, slots=True)
class RingStyle:
    """How a marked point is drawn: radius and width in pixels at 100 %, colour of the theme.

    Attributes
    ----------
    is_full : bool
        A dot, not a ring.
    """

    radius: float
    width: float
    colour: str
    is_full: bool = False


NOW_RING = RingStyle(5.0, 2.5, "accent")
NOW_DOT = RingStyle(5.0, 2.5, "accent", is_full=True)
GHOST_RING = RingStyle(4.0, 1.5, "ink")
RING_ROOM, SIGN_ROOM = 7, 22


@dataclass(slots=True)
class Frame:
    """One frame with its axes and curves.

    Attributes
    ----------
    axis : float
        Height of the level axis.
    uprights, levels, lines, rings : list
        What is drawn, each with its style; uprights from top to bottom of the pixels given.
    read : list
        The curves that are marked where they are read, in the units shown, each with its colour.
    clip : QRectF or None
        What the lines stay in, where they could leave the frame.
    levels_end : float or None
        Where the levels end, where that is not the frame's end.
    """

    scale: Scale
    axis: float
    placer: LabelPlacer
    grid: list[float] = field(default_factory=list)
    marks: list[float] = field(default_factory=list)
    fills: list[Fill] = field(default_factory=list)
    uprights: list[tuple[float, float, float, Stroke]] = field(default_factory=list)
    levels: list[tuple[float, Stroke]] = field(default_factory=list)
    lines: list[tuple[QPolygonF, Stroke]] = field(default_factory=list)
    rings: list[tuple[QPointF, RingStyle]] = field(default_factory=list)
    read: list[tuple[FloatArray, FloatArray, str]] = field(default_factory=list)
    clip: QRectF | None = None
    levels_end: float | None = None

    @classmethod
    def over(cls, scale: Scale, cell: float, axis: float | None = None) -> Frame:
        """Return an empty frame; its axis is its bottom where nothing else is said."""
        bottom = scale.frame.bottom() if axis is None else axis
        return cls(scale, bottom, LabelPlacer(scale.frame, cell))

    def copy(self) -> Frame:
        """Return a frame with the same things in it, to which lines, rings and levels are added."""
        return replace(
            self,
            placer=self.placer.copy(),
            levels=[*self.levels],
            lines=[*self.lines],
            rings=[*self.rings],
            read=[*self.read],
        )

    def add_line(self, xs: FloatArray, ys: FloatArray, stroke: Stroke) -> list[Curve]:
        """Draw what is in sight of a curve in pixels, and return its pieces."""
        pieces = list(clipped(xs, ys, self.scale.frame.top(), self.scale.frame.bottom()))
        for piece in pieces:
            self.lines.append((polygon(*piece), stroke))
            self.placer.take_line(*piece)
        return pieces

    def add_ring(self, at: QPointF, style: RingStyle) -> None:
        """Mark a point where it is in sight."""
        if self.scale.frame.adjusted(-1, -1, 1, 1).contains(at):
            self.rings.append((at, style))
            room = px(RING_ROOM)
            self.placer.take_rect(QRectF(at.x() - room, at.y() - room, 2 * room, 2 * room))


@dataclass(slots=True)
class Layout:
    """Where everything stands, and how the chart is read.

    Attributes
    ----------
    unit : float
        What one unit of the level axis is in the places of the reading, which are SI.
    end, step : float
        Last place, and how far an arrow key goes; without a curve there is no place but 0.
    stops : list of float
        The marked places, rising.
    """

    frames: list[Frame] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    leaders: list[tuple[QPointF, QPointF]] = field(default_factory=list)
    unit: float = 1.0
    end: float = 0.0
    step: float = 1.0
    stops: list[float] = field(default_factory=list)

    @property
    def scale(self) -> Scale:
        """The first frame's."""
        return self.frames[0].scale


def clipped(xs: FloatArray, ys: FloatArray, top: float, bottom: float) -> Iterator[Curve]:
    """Yield the pieces of a curve in pixels that lie between two heights."""
    inside = np.isfinite(ys) & (ys >= top - 0.01) & (ys <= bottom + 0.01)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], inside, [False])).astype(np.int8)))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        x, y = xs[start:end], ys[start:end]
        if start > 0 and np.isfinite(ys[start - 1]):
            at = _leaving(xs, ys, start - 1, start, top, bottom)
            x, y = np.concatenate(([at[0]], x)), np.concatenate(([at[1]], y))
        if end < len(xs) and np.isfinite(ys[end]):
            at = _leaving(xs, ys, end, end - 1, top, bottom)
            x, y = np.concatenate((x, [at[0]])), np.concatenate((y, [at[1]]))
        if len(x) > 1:
            yield x, y


def _leaving(
    xs: FloatArray, ys: FloatArray, out: int, inside: int, top: float, bottom: float
) -> tuple[float, float]:
    edge = top if ys[out] < top else bottom
    share = (edge - ys[inside]) / (ys[out] - ys[inside])
    return float(xs[inside] + share * (xs[out] - xs[inside])), edge


def polygon(xs: FloatArray, ys: FloatArray) -> QPolygonF:
    """Return a curve in pixels as Qt draws it."""
    found: QPolygonF = arrayToQPolygonF(xs, ys)
    return found
