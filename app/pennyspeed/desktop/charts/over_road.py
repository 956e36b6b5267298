"""Over the road: the frame, axes and curves of charts that show speed along the road."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF

from pennyspeed.desktop.charts.axes import GAP, Span, level_axis, round_span
from pennyspeed.desktop.charts.labels import FrameLabels
from pennyspeed.desktop.charts.layout import Curve, Frame, Label, RingStyle, Scale
from pennyspeed.desktop.widgets.theme import RIGHT, px, words
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.axes import thinned
from pennyspeed.services.charts.chart import TARGET, Stroke

TARGET_IN_SIGHT = 2.0
"""A target above this many times the fastest curve would flatten it; it is named, not drawn."""


def road_of(build: Build, measures: Measures) -> float:
    """Return how long the road is, in the unit shown."""
    return build.condition("road_m") / measures.road_unit.factor


def target_of(build: Build, measures: Measures) -> float | None:
    """Return the target speed in the unit shown."""
    return None if build.target_kmh is None else measures.shown(build.target_kmh, KMH)


def speed_frame(
    measures: Measures,
    size: QSizeF,
    margins: QMarginsF,
    reach: float,
    low: float,
    peaks: Iterable[float],
    target: float | None,
    drop: float = 0.0,
) -> tuple[Frame, Span]:
    """Return a frame of speed along the road in a widget of that size, and the span of its speeds.

    Parameters
    ----------
    margins : QMarginsF
        What the figures of the speed axis need comes on top of the left one.
    reach, low : float
        Where the road's axis ends, and where the speed axis begins.
    peaks : iterable of float
        The highest speeds, all to be in sight; the target is where it is not far above.
    drop : float
        Pixels from the frame's bottom to the road's axis.
    """
    fastest = top = max(peaks, default=0.0)
    if target is not None and (fastest <= 0.0 or target <= TARGET_IN_SIGHT * fastest):
        top = max(top, target)
    tall = size.height() - margins.top() - margins.bottom()
    span = round_span(low, 1.03 * (top or 100.0), tall)
    left = margins.left() + round(span.width(measures)) + px(8)
    wide = size.width() - left - margins.right()
    box = QRectF(left, margins.top(), max(wide, 10.0), max(tall, 10.0))
    scale = Scale(box, max(reach, 1e-9), span.low, span.high)
    return Frame.over(scale, px(5), box.bottom() + drop), span


def add_run(
    frame: Frame,
    curve: Curve,
    found: Prediction,
    measures: Measures,
    stroke: Stroke,
    style: RingStyle,
    points: int,
) -> QPointF:
    """Draw a curve in few points, ringed where the driver lifts; return that point."""
    scale = frame.scale
    speed = found.road_speed / measures.speed_unit.factor
    ring = scale.point(found.lift_at / measures.road_unit.factor, speed)
    xs, ys = thinned(scale.x(curve[0]), scale.y(curve[1]), points, ring.x())
    frame.add_line(xs, ys, stroke)
    frame.add_ring(ring, style)
    frame.read.append((*curve, style.colour))
    return ring


def road_axis(
    frame: Frame,
    road: float,
    measures: Measures,
    suffix: str = "",
    marks: Sequence[tuple[float, str]] = (),
    goes_on: bool = False,
) -> list[Label]:
    """Return the labels of the distance: where the road ends, what is marked, then ticks.

    Parameters
    ----------
    suffix : str
        Stands behind the end where it has room.
    marks : sequence of (float, str)
        Places in the unit shown with their words, the most important first.
    goes_on : bool
        The axis does, past the road's end.
    """
    unit, left, gap = measures.road_unit, frame.scale.frame.left(), px(GAP)
    baseline, end_x = frame.axis + px(20), frame.scale.x(road)
    named = [(frame.scale.x(place), words(text, "label_strong")) for place, text in marks]
    whole = measures.road(road * unit.factor)
    end = words(whole + suffix)
    last = max((x + text.width / 2 for x, text in named[1:]), default=left)
    last = max(last, left + named[0][1].width if named else left)
    if end.width > end_x - last - gap:
        end = words(whole)
    labels = [Label(end, max(end_x, left + end.width), baseline, "ink3", RIGHT)]
    if goes_on:
        end = words(whole, "label_strong")
        x = min(end_x, frame.scale.frame.right() - end.width)
        labels = [Label(end, x, baseline, "ink")]
    for i, (x, text) in enumerate(named):
        most = labels[0].box.left() - gap - text.width
        middle = x - text.width / 2
        label = Label(text, max(min(middle, most), px(2)) if i == 0 else middle, baseline, "ink")
        near = label.box.adjusted(-gap / 2, 0, gap / 2, 0)
        if i == 0 or not any(near.intersects(one.box) for one in labels):
            labels.append(label)
    taken = [label.box for label in labels]
    return labels + level_axis(frame, baseline, unit.symbol, measures, taken)


def name_target(labels: FrameLabels, target: float, measures: Measures, above: str) -> None:
    goal = measures.stored(target, KMH)
    labels.level(target, f"target {measures.target(goal, unit=False)}", TARGET, above)
