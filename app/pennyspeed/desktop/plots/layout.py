"""Layout of the road plot: every line, label and texture in pixels, before anything is painted.

::

    speed, km/h
    140 ─────────────────────────────────────
        target 130 ─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ─    frame
      0 ─────────────────────────────────────
        held back by …      by …      braking     strip: words, textures
        0 m    20    40   lift at 138 m   220 m   its axis
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPolygonF

from pennyspeed.desktop.plots import rulers
from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.labels import FrameLabels
from pennyspeed.desktop.plots.placed import Curve, Ground, Placed, RoadLayout, Shown
from pennyspeed.desktop.widgets.theme import RIGHT, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.axes import round_step, thinned
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import BRAKING, said, stretches

NOW_POINTS, GHOST_POINTS, BAND_POINTS = 180, 140, 70
TARGET_IN_SIGHT = 2.0
"""A target above this many times the fastest curve would flatten it; it is named, not drawn."""
CLOSE_UP_FROM = 0.6
"""Where the speed axis starts when the person looks closer, as a share of the fastest."""


def curve_of(forecast: Forecast | None, measures: Measures) -> Curve | None:
    """Return speed over distance in the units shown; None where the car does not move."""
    prediction = forecast.prediction if forecast is not None else None
    if prediction is None or prediction.trace is None or prediction.road_speed <= 0.0:
        return None
    trace = prediction.trace
    return (
        np.asarray(trace.distance) / measures.road_unit.factor,
        np.asarray(trace.speed) / measures.speed_unit.factor,
    )


def lay_out(shown: Shown, size: QSizeF, before: RoadLayout | None = None) -> RoadLayout:
    """Return the layout of what is shown in a widget of that size.

    From `before`, the layout until now, the ground is taken over where it holds still.
    """
    return _Maker(shown, size, before).layout


class _Maker:
    """Lays out step by step: axes, curves, then labels from the most to the least important."""

    def __init__(self, shown: Shown, size: QSizeF, before: RoadLayout | None) -> None:
        self.shown = shown
        self.measures = shown.measures
        self.now = curve_of(shown.forecast, shown.measures)
        self.ghost = curve_of(shown.ghost, shown.measures)
        build = shown.forecast.build
        self.road = build.condition("road_m") / shown.measures.road_unit.factor
        self.target = (
            None
            if build.target_kmh is None
            else build.target_kmh / 3.6 / shown.measures.speed_unit.factor
        )
        low, high, step = self._speeds(size)
        widest = rulers.upright_width(low, high, step, self.measures)
        left, right = px(24) + round(widest) + px(8), px(24)
        frame = QRectF(
            left,
            px(31),
            max(size.width() - left - right, 10.0),
            max(size.height() - px(31) - px(68), 10.0),
        )
        self.frame = frame
        scale = Scale(frame, self._reach(), low, high)
        ground = None if before is None else before.ground
        if ground is None or not ground.is_for(shown, scale, step):
            ground = self._ground(scale, step)
        whole = ground.layout
        assert whole.board is not None
        self.board = whole.board.copy()
        self.layout = replace(
            whole, labels=[*whole.labels], leaders=[], board=self.board, ground=ground
        )
        if self.ghost is not None:
            self.layout.ghost, self.layout.ghost_ring = self._curve(
                self.ghost, shown.ghost, GHOST_POINTS
            )
        FrameLabels(self.layout, shown, self.board, self.target, ground.edges).place()

    def _ground(self, scale: Scale, step: float) -> Ground:
        """Lay out all that is the same whatever is tried."""
        self.board = Board(self.frame, float(px(5)))
        self.layout = RoadLayout(scale, board=self.board)
        self.edges: tuple[Curve, ...] = ()
        self._speed_axis(step)
        self._car()
        self._road_axis()
        if self.now is not None:
            self._strip()
        return Ground(self.shown.forecast, self.measures, scale, step, self.layout, self.edges)

    def _reach(self) -> float:
        """Return how far the axis reaches: to the road's end, or beyond where a curve does."""
        ends = (float(c[0][-1]) for c in (self.now, self.ghost) if c is not None)
        beyond = max(ends, default=0.0)
        # A curve that ends with the road does so but for the last digits.
        return max(beyond if beyond > self.road * (1 + 1e-6) else self.road, 1e-9)

    def _speeds(self, size: QSizeF) -> tuple[float, float, float]:
        """Return lowest and highest speed of the axis and the step of its ticks."""
        fastest = max(
            (float(c[1].max()) for c in (self.now, self.ghost) if c is not None), default=0.0
        )
        band = self.shown.forecast.band
        if self.now is not None and band is not None:
            fastest = max(fastest, float(np.max(band.high)) / self.measures.speed_unit.factor)
        top = fastest
        self.target_shown = self.target is not None and (
            fastest <= 0.0 or self.target <= TARGET_IN_SIGHT * fastest
        )
        if self.target is not None and self.target_shown:
            top = max(top, self.target)
        top = top or 100.0
        low = CLOSE_UP_FROM * fastest if self.shown.close_up and fastest > 0.0 else 0.0
        step = round_step(top * 1.03 - low, rulers.upright_most(size.height() - px(99)))
        low = step * np.floor(low / step)
        high = step * np.ceil(top * 1.03 / step)
        return float(low), float(high), step

    def _speed_axis(self, step: float) -> None:
        layout = self.layout
        grid, labels = rulers.upright(layout.scale, step, self.measures)
        layout.grid += grid
        layout.labels += labels
        title = words(f"speed, {self.measures.speed_unit.symbol}")
        layout.labels.append(Placed(title, px(24), px(18), "ink3"))

    def _curve(self, curve: Curve, which: Forecast | None, points: int) -> tuple[Curve, QPointF]:
        """Return a curve with few points and the place of its ring, both taken on the board."""
        scale, board = self.layout.scale, self.board
        assert which is not None
        assert which.prediction is not None
        lift = which.prediction.lift_at / self.measures.road_unit.factor
        xs, ys = thinned(scale.xs(curve[0]), scale.ys(curve[1]), points, float(scale.x(lift)))
        board.take_line(xs, ys)
        thin = (
            (xs - self.frame.left()) / scale.x_pixels,
            scale.y_min + (self.frame.bottom() - ys) / scale.y_pixels,
        )
        speed = which.prediction.road_speed / self.measures.speed_unit.factor
        ring = QPointF(scale.x(lift), scale.y(speed))
        radius = px(7)
        board.take_rect(QRectF(ring.x() - radius, ring.y() - radius, 2 * radius, 2 * radius))
        return thin, ring

    def _car(self) -> None:
        """The car's own curve, its likely range, and the target."""
        layout, scale = self.layout, self.layout.scale
        if self.now is not None:
            layout.now, ring = self._curve(self.now, self.shown.forecast, NOW_POINTS)
            layout.ring = ring
            down = np.array([ring.y(), self.frame.bottom()])
            self.board.take_line(np.array([ring.x(), ring.x()]), down)
        self._band()
        if self.target is not None and self.target_shown and self.target >= scale.y_min:
            layout.target = scale.y(self.target)

    def _band(self) -> None:
        band, scale = self.shown.forecast.band, self.layout.scale
        if self.now is None or band is None or len(band.distance) < 2:
            return
        xs = scale.xs(np.asarray(band.distance) / self.measures.road_unit.factor)
        edges = tuple(
            thinned(
                xs,
                np.minimum(
                    scale.ys(np.asarray(speeds) / self.measures.speed_unit.factor),
                    self.frame.bottom(),
                ),
                BAND_POINTS,
            )
            for speeds in (band.low, band.high)
        )
        polygons = [_polygon(*edge) for edge in edges]
        self.layout.band_edges = tuple(polygons)
        self.layout.band = _polygon(
            np.concatenate((edges[0][0], edges[1][0][::-1])),
            np.concatenate((edges[0][1], edges[1][1][::-1])),
        )
        high = np.interp(edges[0][0], *edges[1])
        self.board.take_between(edges[0][0], edges[0][1], high)
        self.edges = edges

    # The road under the frame --------------------------------------------------------------

    def _road_axis(self) -> None:
        """Ticks and labels of the distance: the road's end, then the lift point, then ticks."""
        layout, scale, frame = self.layout, self.layout.scale, self.frame
        unit = self.measures.road_unit
        axis = layout.strip_axis = frame.bottom() + px(36)
        baseline = axis + px(20)
        gap = px(rulers.GAP)
        end_x = scale.x(self.road)
        whole = self.measures.road(self.road * unit.factor)
        lift = None
        if self.now is not None and layout.ring is not None:
            prediction = self.shown.forecast.prediction
            assert prediction is not None
            lift = words(f"lift at {self.measures.road(prediction.lift_at)}", "label_strong")
        room = end_x - frame.left() - (0 if lift is None else lift.width + gap)
        end = next(
            (w for text in (f"{whole}, road ends", whole) if (w := words(text)).width <= room),
            words(whole),
        )
        right = max(end_x, frame.left() + end.width)
        taken = [end.box(right, baseline, RIGHT)]
        layout.labels.append(Placed(end, right, baseline, "ink3", RIGHT))
        if lift is not None and layout.ring is not None:
            most = taken[0].left() - gap - lift.width
            x = max(min(layout.ring.x() - lift.width / 2, most), px(2))
            layout.labels.append(Placed(lift, x, baseline, "ink"))
            taken.append(lift.box(x, baseline))
        marks, labels = rulers.level(scale, baseline, unit.symbol, self.measures, taken)
        layout.marks += marks
        layout.labels += labels
        layout.marks.append(round(end_x))

    def _strip(self) -> None:
        """What holds the car back, written along the road."""
        layout, scale = self.layout, self.layout.scale
        prediction = self.shown.forecast.prediction
        assert prediction is not None
        layout.pieces = stretches(prediction)
        factor = self.measures.road_unit.factor
        baseline = self.frame.bottom() + px(19)
        first = True
        for i, piece in enumerate(layout.pieces):
            x0, x1 = scale.x(piece.start / factor), scale.x(piece.end / factor)
            layout.strip.append((x0, x1, piece.limit))
            texts = said(self.shown.forecast.build, piece.limit, self.measures)
            if first and piece.limit != BRAKING:
                texts = (f"held back {texts[0]}", *texts)
            start = x0 if i == 0 else x0 + px(8)
            label = next(
                (w for text in texts if start + (w := words(text)).width <= x1 - px(4)), None
            )
            if label is not None:
                layout.labels.append(Placed(label, round(start), baseline))
                first = False


def _polygon(xs: FloatArray, ys: FloatArray) -> QPolygonF:
    polygon: QPolygonF = arrayToQPolygonF(xs, ys)
    return polygon
