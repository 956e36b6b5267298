"""Layout of the plot of builds beside each other: curves, rings and their direct labels.

::

    speed, km/h, axis from 60
    140 ──────────────────────────────────────────
        target 130 ─ ─ ─ ─ ─ ─ ─   B  used motor  133
    120 ────────────────────────── A  the car now 118
     60 ──────────────────────────────────────────
        0    20    40    60    80   …         220 m
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.layout import curve_of
from pennyspeed.desktop.plots.placed import Curve, Placed, Shown
from pennyspeed.desktop.plots.rulers import level, upright, upright_most, upright_width
from pennyspeed.desktop.widgets.theme import LEFT, RIGHT, metrics, px, words
from pennyspeed.domain.units import KMH
from pennyspeed.services.axes import round_step, thinned
from pennyspeed.services.prediction.forecast import Forecast

POINTS = 160
CLOSE_UP_FROM = 0.5
"""Where the speed axis starts when the person looks closer, as a share of the slowest."""
PITCH = 22
ROOM = 0.45
"""Of the frame's width that the labels may take."""
ASIDE, GAP = 0.35, 28
"""Of its width that they may take beside it, and how far away they stand there."""


@dataclass(frozen=True, slots=True)
class Line:
    """One build's curve.

    Attributes
    ----------
    letter, name : str
        Of the first, the car now: "A" and "the car now".
    """

    letter: str
    name: str
    forecast: Forecast


@dataclass(frozen=True, slots=True)
class BesideShown(Shown):
    """What the plot is asked to show: `forecast` is the first of the lines'."""

    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class End:
    """A line's label: letter, name and speed, and the ring that it belongs to.

    Attributes
    ----------
    place : int
        Of the line.
    start : float
        Where its letter begins.
    """

    place: int
    start: float
    baseline: float
    ring: QPointF | None
    figure: str


@dataclass(slots=True)
class BesideLayout:
    """Where everything stands, in pixels but for the curves, which are in the units shown."""

    scale: Scale
    grid: list[float] = field(default_factory=list)
    marks: list[float] = field(default_factory=list)
    labels: list[Placed] = field(default_factory=list)
    curves: list[Curve | None] = field(default_factory=list)
    rings: list[QPointF | None] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)
    columns: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Where names begin, where figures end, and where the block of labels begins."""
    target: float | None = None
    board: Board | None = None


def lay_out(shown: BesideShown, size: QSizeF) -> BesideLayout:
    """Return the layout of what is shown in a widget of that size."""
    made = _Maker(shown, size)
    if made.crowded:
        made = _Maker(shown, size, made.crowded)
    return made.layout


class _Maker:
    """Lays out step by step; with `aside` pixels to the right of the frame for the labels.

    Afterwards `crowded` says how many pixels they want there, 0 where they have room inside.
    """

    def __init__(self, shown: BesideShown, size: QSizeF, aside: float = 0.0) -> None:
        self.aside, self.crowded = aside, 0.0
        self.shown, self.measures = shown, shown.measures
        self.curves = [curve_of(line.forecast, shown.measures) for line in shown.lines]
        factor = self.measures.road_unit.factor
        roads = [line.forecast.build.condition("road_m") / factor for line in shown.lines]
        ends = [float(curve[0][-1]) for curve in self.curves if curve is not None]
        target = shown.lines[0].forecast.build.target_kmh
        self.target = None if target is None else target / 3.6 / self.measures.speed_unit.factor
        low, high, step = self._speeds(size)
        widest = upright_width(low, high, step, self.measures)
        left = px(24) + round(widest) + px(8)
        frame = QRectF(
            left,
            px(30),
            max(size.width() - left - px(24) - aside, 10.0),
            max(size.height() - px(30) - px(32), 10.0),
        )
        self.frame = frame
        self.layout = BesideLayout(Scale(frame, max([*roads, *ends, 1e-9]), low, high))
        self.board = self.layout.board = Board(frame, float(px(5)))
        self._speed_axis(step)
        self._road_axis(max(roads))
        self._curves()
        self._target()
        self._labels()

    def _speeds(self, size: QSizeF) -> tuple[float, float, float]:
        peaks = [float(curve[1].max()) for curve in self.curves if curve is not None]
        top = max(peaks, default=0.0)
        if self.target is not None and (top <= 0.0 or self.target < 2 * top):
            top = max(top, self.target)
        top = top or 100.0
        low = CLOSE_UP_FROM * min(peaks) if self.shown.close_up and peaks else 0.0
        most = upright_most(max(size.height() - px(62), 10.0))
        step = round_step(top * 1.03 - low, most)
        return (
            float(step * np.floor(low / step)),
            float(step * np.ceil(top * 1.03 / step)),
            step,
        )

    def _speed_axis(self, step: float) -> None:
        layout, scale = self.layout, self.layout.scale
        layout.grid, labels = upright(scale, step, self.measures)
        layout.labels += labels
        title = f"speed, {self.measures.speed_unit.symbol}"
        if scale.y_min > 0:
            title += f", axis from {self.measures.number(scale.y_min)}"
        layout.labels.append(Placed(words(title), px(24), px(16), "ink3"))

    def _road_axis(self, road: float) -> None:
        layout, scale, frame = self.layout, self.layout.scale, self.frame
        unit = self.measures.road_unit
        baseline = frame.bottom() + px(20)
        end = words(self.measures.road(road * unit.factor))
        right = max(scale.x(road), frame.left() + end.width)
        layout.labels.append(Placed(end, right, baseline, "ink3", RIGHT))
        taken = [end.box(right, baseline, RIGHT)]
        layout.marks, labels = level(scale, baseline, unit.symbol, self.measures, taken)
        layout.labels += labels

    def _curves(self) -> None:
        layout, scale = self.layout, self.layout.scale
        factor = self.measures.road_unit.factor
        for line, curve in zip(self.shown.lines, self.curves, strict=True):
            prediction = line.forecast.prediction
            if curve is None or prediction is None:
                layout.curves.append(None)
                layout.rings.append(None)
                continue
            lift = prediction.lift_at / factor
            xs, ys = thinned(scale.xs(curve[0]), scale.ys(curve[1]), POINTS, float(scale.x(lift)))
            self.board.take_line(xs, ys)
            layout.curves.append(
                (
                    (xs - self.frame.left()) / scale.x_pixels,
                    scale.y_min + (self.frame.bottom() - ys) / scale.y_pixels,
                )
            )
            speed = prediction.road_speed / self.measures.speed_unit.factor
            ring = QPointF(scale.x(lift), scale.y(speed))
            is_seen = speed >= scale.y_min
            layout.rings.append(ring if is_seen else None)
            radius = px(7)
            around = QRectF(ring.x() - radius, ring.y() - radius, 2 * radius, 2 * radius)
            if is_seen:
                self.board.take_rect(around)

    def _target(self) -> None:
        layout, scale, frame = self.layout, self.layout.scale, self.frame
        if self.target is None or not scale.y_min <= self.target <= scale.y_max:
            return
        y = layout.target = scale.y(self.target)
        goal = self.measures.stored(self.target, KMH)
        text = words(f"target {self.measures.target(goal, unit=False)}", "label_strong")
        spot = self.board.place(
            text.width, text.height, QPointF(frame.left() + px(8), y - text.height - px(1))
        )
        if spot is not None:
            layout.labels.append(
                Placed(text, spot.left(), spot.top() + text.ascent, "ink", LEFT, True)
            )
        self.board.take_line(np.array([frame.left(), frame.right()]), np.array([y, y]))

    def _labels(self) -> None:
        """Place the labels under each other, the fastest on top, beside the braking curves."""
        layout, frame = self.layout, self.frame
        rows: list[tuple[float, int, str]] = []
        for i, line in enumerate(self.shown.lines):
            prediction = line.forecast.prediction
            if prediction is None:
                rows.append((-1.0, i, "–"))
            else:
                shown = prediction.road_speed / self.measures.speed_unit.factor
                kmh, goal = KMH.from_si(prediction.road_speed), line.forecast.build.target_kmh
                rows.append((shown, i, self.measures.speed_toward(kmh, goal, unit=False)))
        rows.sort(key=lambda row: (-row[0], row[1]))
        most = ROOM * frame.width()
        names = [self.name(i, most) for i in range(len(self.shown.lines))]
        letter, gap = px(22), px(20)
        figure = max(words(text, "figure").width for *_, text in rows)
        wide = letter + max(words(name, "name_chosen").width for name in names) + gap + figure
        pitch = px(PITCH)
        tall = pitch * len(rows)
        near = QPointF(frame.right() - wide, frame.top() + px(4))
        spot: QRectF | None
        if self.aside:
            pitch = min(pitch, int(frame.height() / len(rows)))
            beside = QPointF(frame.right() + px(GAP), near.y())
            spot = QRectF(beside, QSizeF(self.aside - px(GAP), pitch * len(rows)))
        else:
            spot = self.board.place(wide, tall, near, px(6))
        while spot is None and pitch > metrics("label").height():
            pitch -= 1
            tall = pitch * len(rows)
            spot = self.board.place(wide, tall, near, px(6))
        if spot is None:
            self.crowded = min(wide, ASIDE * frame.width()) + px(GAP)
            spot = QRectF(near.x(), near.y(), wide, tall)
        layout.columns = spot.left() + letter, spot.right(), spot.left()
        ascent = words("A", "name").ascent
        for row, (_, i, text) in enumerate(rows):
            baseline = spot.top() + row * pitch + ascent
            layout.ends.append(End(i, spot.left(), baseline, layout.rings[i], text))

    def name(self, place: int, room: float) -> str:
        """Return a line's name, cut where it would take more than its share."""
        line = self.shown.lines[place]
        return metrics("name_chosen").elidedText(
            line.name, Qt.TextElideMode.ElideRight, room - px(90)
        )
