r"""The margin in the road chart: marker, throttle off, stop, and what a late lift does.

::

          o lift marker                                      | road
           ===*.....  half a second late                     | ends
              | `.   `.                                      |/////
              |   `.   `.                                    |/////
    ----------+-----`-----`--------------------------------- |\////
"""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from pennyspeed.desktop.charts.labels import FrameLabels
from pennyspeed.desktop.charts.layout import SIGN_ROOM, Frame, Label, Layout, polygon
from pennyspeed.desktop.charts.textures import OFF_ROAD, Fill
from pennyspeed.desktop.widgets.theme import Words, px, words
from pennyspeed.domain.checks import Level
from pennyspeed.domain.conditions import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import Stroke
from pennyspeed.services.charts.road_curves import LateCurve
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.margin import Distances, distances

LATE, OFF = Stroke(1.75, "ink", (7, 4)), Stroke(2.5, "stop")
ROAD_END = Stroke(3.0, "ink", is_crisp=True)
STOP = Stroke(1.0, "ink", is_crisp=True)
COLOURS = {Level.STOP: "stop", Level.WARN: "watch"}
PITCH, FOOT = 18, 40
"""Between lines; how far from the foot of the curve its name may stand."""
LEAST_PAST, MOST_PAST, CLEAR = 1.11, 1.6, 0.03
"""How far the axis goes on, over the road's length; and what stays clear behind the stop."""


def reach(road: float, late: LateCurve | None) -> float:
    """Return where the axis of the road ends: past it where a late lift does."""
    if late is None or not len(late.beyond[0]):
        return road
    stop = float(late.beyond[0][-1])
    return min(max(LEAST_PAST * road, stop + CLEAR * road), MOST_PAST * road)


def add_late(frame: Frame, late: LateCurve) -> None:
    """Draw what a late lift does, dashed on the road and plain past its end."""
    scale = frame.scale
    for (xs, ys), stroke in ((late.road, LATE), (late.beyond, OFF)):
        inside = xs <= scale.x_max
        if inside.sum() > 1:
            frame.add_line(scale.x(xs[inside]), scale.y(ys[inside]), stroke)


def add_end(layout: Layout, frame: Frame, road: float, strip: float) -> None:
    """Draw the end of a road past which the axis goes on, and name what lies there."""
    box, x = frame.scale.frame, round(frame.scale.x(road))
    past = QRectF(x, box.top(), box.right() - x, box.height())
    corners = np.array([past.left(), past.right(), past.right(), past.left()])
    heights = np.array([past.top(), past.top(), past.bottom(), past.bottom()])
    frame.fills.insert(0, Fill(polygon(corners, heights), OFF_ROAD))
    frame.uprights.append((x - px(1), box.top(), frame.axis, ROAD_END))
    frame.levels_end = float(x)
    frame.placer.take_rect(past.adjusted(-px(4), 0, 0, 0))
    name, baseline = words("road ends", "label_strong"), box.top() + px(14)
    fits = x + px(8) + name.width <= box.right()
    left = x + px(8) if fits else x - px(8) - name.width
    layout.labels.append(Label(name, left, baseline, "ink", plate=True))
    frame.placer.take_rect(layout.labels[-1].box)
    off = words("off the road")
    if x + px(6) + off.width <= box.right():
        layout.labels.append(Label(off, x + px(6), strip, "ink3"))


def marks(found: Prediction, planned: Distances, measures: Measures) -> list[tuple[float, str]]:
    """Return what is marked on the axis of the road, the most important first."""
    unit = measures.road_unit.factor
    lift, marker = found.lift_at / unit, found.marker_at / unit
    figures = [(lift, f"lift at {planned.said(planned.throttle_off)}")]
    if planned.reaction:
        figures = [
            (marker, measures.number(planned.marker)),
            (lift, measures.number(planned.throttle_off)),
        ]
    if planned.reserve:
        stop = (found.lift_at + found.stop_distance) / unit
        figures.append((stop, measures.number(planned.stop)))
    return figures


class MarginLabels:
    """Names marker, throttle off, stop and late lift in the frame."""

    def __init__(self, labels: FrameLabels, forecast: Forecast, measures: Measures) -> None:
        self.labels, self.forecast = labels, forecast
        moves = forecast.prediction is not None
        self.planned = distances(forecast, measures) if moves else None
        self.box, self.scale = labels.box, labels.frame.scale

    def name_lift(self, marker: QPointF | None, lift: QPointF) -> None:
        """Name where the driver decides and where the throttle is off, each at its upright."""
        planned, reaction = self.planned, self.forecast.build.condition("reaction_s")
        if planned is None or marker is None or not planned.reaction:
            return
        later = planned.measures.figure(BY_KEY["reaction_s"], reaction)
        left = [words("lift marker", "label_strong")]
        left.append(words(f"at {planned.said(planned.marker)}"))
        down = min(marker.y() + px(26), self.box.bottom() - px(60))
        self._block(left, marker.x() - px(8), down, ends=True)
        right = [words("throttle off", "label_strong")]
        right.append(words(f"at {planned.said(planned.throttle_off)}, {later} later"))
        down = lift.y() + 0.45 * (self.box.bottom() - lift.y())
        self._block(right, lift.x() + px(8), down)

    def name_stop(self, stop: float) -> None:
        """Name where the car stands, before the reserve."""
        if self.planned is not None and self.planned.reserve:
            text = words(f"stops at {self.planned.said(self.planned.stop)}", "label_strong")
            x = self.scale.x(stop) - px(14) - text.width
            near = QPointF(x, self.box.bottom() - text.height - px(1))
            spot = self.labels.placer.find(text.width, text.height, near, px(2))
            if spot is not None and (spot.topLeft() - near).manhattanLength() < px(FOOT):
                self.labels.put(text, spot, "ink")

    def name_late(self, late: LateCurve) -> None:
        """Say what a late lift does, with a leader to its curve."""
        row = late.row
        head = words(row.name, "label_strong")
        lines = [head, *(words(text) for text in row.outcome if text)]
        end = min(self.scale.x(float(late.road[0][-1])), self.box.right()) - px(10)
        top = self.box.top() + px(4)
        for some in (lines, [head, lines[-1]], [head]):
            spot = self._find(some, end, top, sign=px(SIGN_ROOM), ends=True)
            if spot is not None:
                break
        else:
            return
        self.labels.placer.take_rect(spot)
        self._write(some, spot, row.level)
        xs, ys = self.scale.x(late.road[0]), self.scale.y(late.road[1])
        at = min(max(spot.center().x(), float(xs[0])), float(xs[-1]))
        height = float(np.interp(at, xs, ys))
        if spot.left() <= at <= spot.right() and height > spot.bottom() + px(6):
            way = QPointF(round(at), spot.bottom()), QPointF(round(at), height - px(3))
            self.labels.layout.leaders.append(way)

    def _block(self, lines: list[Words], x: float, top: float, ends: bool = False) -> None:
        """Write lines under each other beside an upright at `x`, the last one only with room.

        Nothing where that would be on the upright's other side.
        """
        for some in (lines, lines[:1]):
            spot = self._find(some, x, top, ends=ends)
            if spot is not None and (spot.right() <= x + 1 if ends else spot.left() >= x - 1):
                self.labels.placer.take_rect(spot)
                self._write(some, spot)
                return

    def _find(
        self, lines: list[Words], x: float, top: float, sign: float = 0.0, ends: bool = False
    ) -> QRectF | None:
        """Return a place for lines that begin, or end, near `x`; None where there is none."""
        wide = max(one.width for one in lines) + sign
        tall = px(PITCH) * (len(lines) - 1) + lines[0].height
        near = QPointF(x - wide if ends else x, top)
        return self.labels.placer.find(wide, tall, near, px(4))

    def _write(self, lines: list[Words], spot: QRectF, level: Level | None = None) -> None:
        left = spot.left() + (0 if level is None else px(SIGN_ROOM))
        baseline = round(spot.top() + lines[0].ascent)
        colour, other = ("ink", "ink2") if level is None else (COLOURS.get(level, "ink2"), "ink")
        labels = self.labels.layout.labels
        labels.append(Label(lines[0], left, baseline, colour, plate=True, sign=level))
        for i, line in enumerate(lines[1:], start=1):
            labels.append(Label(line, left, baseline + i * px(PITCH), other, plate=True))
