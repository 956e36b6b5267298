"""Layout of speed over the road: what stays while parts are tried, then what is tried.

::

    speed, km/h
    140 ─────────────────────────────────────
        target 130 ─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ─    frame
      0 ─────────────────────────────────────
        held back by …      by …      braking     strip: words, textures
        0 m    20    40   lift at 138 m   220 m   its axis
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from PySide6.QtCore import QMarginsF, QPointF, QSizeF

from pennyspeed.desktop.charts.axes import Span, upright_axis
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.labels import FrameLabels
from pennyspeed.desktop.charts.layout import (
    GHOST_RING,
    NOW_DOT,
    NOW_RING,
    Curve,
    Label,
    Layout,
    Scale,
    polygon,
)
from pennyspeed.desktop.charts.over_road import (
    add_run,
    name_target,
    road_axis,
    road_of,
    speed_frame,
    target_of,
)
from pennyspeed.desktop.charts.textures import SHADE, Fill
from pennyspeed.desktop.charts.views.road_margin import (
    MarginLabels,
    add_end,
    add_late,
    marks,
    reach,
)
from pennyspeed.desktop.charts.views.road_strip import strip_of
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import LEFT, RIGHT, Words, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.results import LateLift, Prediction
from pennyspeed.services.charts.axes import thinned
from pennyspeed.services.charts.chart import GHOST, NOW, Stroke
from pennyspeed.services.charts.road_curves import LateCurve, late_curve, speed_curve
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import Stretch
from pennyspeed.services.prediction.margin import distances

NOW_POINTS, GHOST_POINTS, BAND_POINTS = 180, 140, 70
BAND_EDGE = Stroke(1.0, "band_edge", (1.5, 2.5), is_crisp=True)
LIFT = Stroke(1.0, "ink")
CLOSE_UP_FROM = 0.6
"""Where the speed axis starts when the person looks closer, as a share of the fastest."""
SIDE, HEAD, STRIP, FOOT = 24, 31, 36, 32
"""Beside and above the frame; below it down to the axis of the road, and below that."""

_Row = tuple[float, Words, Words, QPointF, str]
"""Height of the ring, name, speed, ring and colour of one curve's label."""


@dataclass(slots=True)
class RoadLayout(Layout):
    """Where everything stands, in pixels but for the curves, which are in the units shown."""

    now: Curve | None = None
    ghost: Curve | None = None
    ring: QPointF | None = None
    """Where the throttle is off."""
    marker: QPointF | None = None
    """Where the driver decides, where that is before."""
    late: LateCurve | None = None
    ghost_ring: QPointF | None = None
    band: tuple[Curve, ...] = ()
    """Lower and upper edge of the likely range in pixels."""
    pieces: tuple[Stretch, ...] = ()
    strip: list[tuple[float, float, str]] = field(default_factory=list)
    base: RoadBase | None = None

    @property
    def target(self) -> float | None:
        """Height of the target's line, where it is in sight."""
        levels = self.frames[0].levels
        return levels[0][0] if levels else None


@dataclass(frozen=True, slots=True)
class RoadBase:
    """What hangs on the car and the axes alone, and so stays while parts are tried."""

    forecast: Forecast
    measures: Measures
    late: LateLift | None
    scale: Scale
    span: Span
    layout: RoadLayout

    def is_for(self, shown: ChartInput, scale: Scale, span: Span) -> bool:
        """Tell whether it is what that car needs on these axes."""
        return (
            self.forecast is shown.forecast
            and self.late is shown.late
            and self.measures == shown.measures
            and self.scale == scale
            and self.span == span
        )


def lay_out(shown: ChartInput, size: QSizeF, before: RoadLayout | None = None) -> RoadLayout:
    """Return the layout of what is shown in a widget of that size.

    From `before`, the layout until now, the base is taken over where it holds still.
    """
    measures, build = shown.measures, shown.forecast.build
    curves = [speed_curve(one, measures) for one in (shown.forecast, shown.ghost)]
    peaks = [float(curve[1].max()) for curve in curves if curve is not None]
    band = shown.forecast.band
    if curves[0] is not None and band is not None:
        peaks.append(float(np.max(band.high)) / measures.speed_unit.factor)
    target, road = target_of(build, measures), road_of(build, measures)
    late = None if curves[0] is None else late_curve(shown.forecast, measures, shown.late)
    end = reach(road, late)
    beyond = max((float(curve[0][-1]) for curve in curves if curve is not None), default=0.0)
    frame, span = speed_frame(
        measures,
        size,
        QMarginsF(px(SIDE), px(HEAD), px(SIDE), px(STRIP) + px(FOOT)),
        # A curve that ends with the road does so but for the last digits.
        max(end, beyond if beyond > road * (1 + 1e-6) else road),
        CLOSE_UP_FROM * max(peaks, default=0.0) if shown.close_up else 0.0,
        peaks,
        target,
        px(STRIP),
    )
    base = None if before is None else before.base
    if base is None or not base.is_for(shown, frame.scale, span):
        whole = RoadLayout([frame], now=curves[0], late=late)
        _Base(whole, shown, span, road, goes_on=end > road)
        base = RoadBase(shown.forecast, measures, shown.late, frame.scale, span, whole)
    layout = replace(
        base.layout,
        frames=[base.layout.frames[0].copy()],
        labels=[*base.layout.labels],
        leaders=[],
        base=base,
    )
    _Changing(layout, shown, target, curves[1])
    return layout


class _Base:
    """Lays out step by step all that is the same whatever is tried."""

    def __init__(
        self, layout: RoadLayout, shown: ChartInput, span: Span, road: float, goes_on: bool
    ) -> None:
        self.layout, self.shown, self.measures = layout, shown, shown.measures
        self.frame = layout.frames[0]
        self.box = self.frame.scale.frame
        self._strip_line = self.box.bottom() + px(19)
        layout.unit = layout.step = shown.measures.road_unit.factor
        layout.labels += upright_axis(self.frame, span.step, self.measures)
        title = words(f"speed, {self.measures.speed_unit.symbol}")
        layout.labels.append(Label(title, px(SIDE), px(18), "ink3"))
        found = None if layout.now is None else shown.forecast.prediction
        marked: list[tuple[float, str]] = []
        if layout.now is not None and found is not None:
            planned = distances(shown.forecast, self.measures)
            marked = marks(found, planned, self.measures)
            self._car(layout.now, found)
            layout.pieces, layout.strip, written = strip_of(
                self.frame.scale, shown.forecast, planned, self._strip_line
            )
            layout.labels += written
        elif found is not None:
            marked = [(found.lift_at, f"lift at {self.measures.road(found.lift_at)}")]
        if goes_on:
            add_end(layout, self.frame, road, self._strip_line)
        suffix = "" if goes_on else ", road ends"
        layout.labels += road_axis(self.frame, road, self.measures, suffix, marked, goes_on)
        self.frame.marks.append(round(self.frame.scale.x(road)))

    def _car(self, now: Curve, found: Prediction) -> None:
        """The car's own curve and its likely range."""
        layout, frame, measures = self.layout, self.frame, self.measures
        layout.end, layout.stops = found.lift_at + found.stop_distance, [found.lift_at]
        has_marker = found.marker_at < found.lift_at
        style = NOW_DOT if has_marker else NOW_RING
        ring = layout.ring = add_run(frame, now, found, measures, NOW, style, NOW_POINTS)
        self._upright(ring)
        if has_marker:
            layout.stops.insert(0, found.marker_at)
            layout.marker = frame.scale.point(
                found.marker_at / measures.road_unit.factor,
                found.marker_speed / measures.speed_unit.factor,
            )
            frame.add_ring(layout.marker, NOW_RING)
            self._upright(layout.marker)
        if layout.late is not None:
            add_late(frame, layout.late)
        band, scale = self.shown.forecast.band, frame.scale
        if band is None or len(band.distance) < 2:
            return
        xs = scale.x(np.asarray(band.distance) / self.measures.road_unit.factor)
        factor = self.measures.speed_unit.factor
        heights = (scale.y(np.asarray(speeds) / factor) for speeds in (band.low, band.high))
        low, high = (thinned(xs, np.minimum(ys, self.box.bottom()), BAND_POINTS) for ys in heights)
        around = zip(low, high, strict=True)
        outline = polygon(*(np.concatenate((one, two[::-1])) for one, two in around))
        edges = (polygon(*low), polygon(*high))
        frame.fills.append(Fill(outline, SHADE, edges=edges, edge_stroke=BAND_EDGE))
        frame.placer.take_between(low[0], low[1], np.interp(low[0], *high))
        layout.band = (low, high)

    def _upright(self, at: QPointF) -> None:
        """Drop a line from a point of the curve to the axis of the road."""
        top = max(at.y(), self.box.top())
        self.frame.uprights.append((at.x(), top, max(self.frame.axis, top), LIFT))
        self.frame.placer.take_line(
            np.array([at.x(), at.x()]), np.array([at.y(), self.box.bottom()])
        )


class _Changing:
    """Adds what is tried and the labels in the frame, from the most to the least important."""

    def __init__(
        self, layout: RoadLayout, shown: ChartInput, target: float | None, ghost: Curve | None
    ) -> None:
        self.layout, self.shown, self.measures = layout, shown, shown.measures
        frame = layout.frames[0]
        self.box, self.labels = frame.scale.frame, FrameLabels(layout, frame)
        found = None if shown.ghost is None else shown.ghost.prediction
        if ghost is not None and found is not None:
            layout.ghost = ghost
            layout.ghost_ring = add_run(
                frame, ghost, found, self.measures, GHOST, GHOST_RING, GHOST_POINTS
            )
            # A reading marks the car alone.
            frame.read.pop()
        if target is not None:
            name_target(self.labels, target, self.measures, "far above")
        margin = MarginLabels(self.labels, shown.forecast, self.measures)
        if layout.ring is not None:
            margin.name_lift(layout.marker, layout.ring)
            margin.name_stop(layout.end / layout.unit)
        self._speed_labels()
        if layout.late is not None:
            margin.name_late(layout.late)
        if layout.band and layout.ring is not None:
            self._band_label(layout.marker or layout.ring)

    def _speed_labels(self) -> None:
        """The curves' names and speeds, in a corner that is free, with a leader from each ring."""
        layout, shown = self.layout, self.shown
        tried = f"with {shown.ghost_name}" if shown.ghost_name else "tried"
        rows: list[_Row] = []
        for which, ring, name, role, colour in (
            (shown.ghost, layout.ghost_ring, tried, "body", "ink"),
            (shown.forecast, layout.ring, "the car now", "name_chosen", "accent"),
        ):
            if which is None or ring is None or which.prediction is None:
                continue
            speed = KMH.from_si(which.prediction.road_speed)
            goal = which.build.target_kmh
            figure = words(self.measures.speed_toward(speed, goal, unit=False), "figure")
            text = fitted(name, role, 0.45 * self.box.width())
            rows.append((ring.y(), text, figure, ring, colour))
        rows.sort(key=lambda row: row[0])
        if rows and not self._speed_block(rows) and len(rows) > 1:
            for row in sorted(rows, key=lambda row: row[3] is not layout.ring):
                self._speed_block([row])

    def _speed_block(self, rows: list[_Row]) -> bool:
        """Place names and speeds under each other; False where there is no room."""
        layout, box, pitch = self.layout, self.box, px(24)
        wide = max(r[1].width for r in rows) + px(20) + max(r[2].width for r in rows)
        tall = pitch * (len(rows) - 1) + rows[0][1].height
        top = (layout.target or box.top()) + px(5)
        if layout.late is not None:
            top += px(18)
        right = layout.frames[0].levels_end or box.right()
        near = QPointF(right - wide, max(top, box.top() + px(4)))
        spot = self.labels.placer.place(wide, tall, near, px(5))
        if spot is None:
            return False
        for i, (_, name, figure, ring, colour) in enumerate(rows):
            baseline = spot.top() + i * pitch + name.ascent
            reach = spot.width() - name.width
            layout.labels += [
                Label(name, spot.left(), baseline, colour, LEFT, True, reach),
                Label(figure, spot.right(), baseline, colour, RIGHT),
            ]
            middle = round(baseline - name.ascent / 2 + px(2))
            if ring.x() < spot.left():
                end = QPointF(round(spot.left()) - px(5), middle)
            elif ring.x() > spot.right():
                end = QPointF(round(spot.right()) + px(5), middle)
            else:
                # From straight above or below, a leader may reach only the row next to the ring.
                above = ring.y() < spot.top()
                if i != (0 if above else len(rows) - 1):
                    continue
                end = QPointF(round(ring.x()), spot.top() if above else spot.bottom())
            self.labels.lead(ring, end, px(7))
        return True

    def _band_label(self, ring: QPointF) -> None:
        """Name the band below its lower edge, before the lift point."""
        (low_x, low_y), high = self.layout.band
        before = low_x <= ring.x()
        wide = np.where(before, low_y - np.interp(low_x, *high), 0.0)
        if wide.max() < px(4):
            return
        text = words("likely range, 8 in 10")
        # Where the band is first two thirds as wide as it gets, the label is clear of the ring.
        anchor = int(np.argmax(wide >= wide.max() * 0.67))
        x, y = float(low_x[anchor]), float(low_y[anchor])
        near = QPointF(max(x - text.width / 2, self.box.left() + px(8)), y + px(20))
        spot = self.labels.put_near(text, near, px(4), "ink2")
        if spot is None:
            return
        at = min(max(x, spot.left() + px(4)), spot.right() - px(4))
        edge = float(np.interp(at, low_x, low_y))
        if spot.top() > edge:
            ends = QPointF(round(at), edge + px(2)), QPointF(round(at), spot.top())
            self.layout.leaders.append(ends)
