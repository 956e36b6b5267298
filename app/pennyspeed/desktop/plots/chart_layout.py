"""Layout of a chart: every line, label and layer in pixels, before anything is painted."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from pyqtgraph.functions import arrayToQPolygonF
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPolygonF

from pennyspeed.desktop.plots import rulers
from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.chart import GHOST, Chart, Panel, Series, Stroke
from pennyspeed.desktop.plots.chart_labels import STACK_COLUMN, ChartLabels
from pennyspeed.desktop.plots.chart_placed import ChartLayout, Laid
from pennyspeed.desktop.plots.placed import Curve, Placed
from pennyspeed.desktop.plots.textures import filled
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import RIGHT, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.axes import round_step

LIMIT_IN_SIGHT = 1.6
"""A level above this many times the highest curve would flatten it; it is named, not drawn."""
HEAD, LOWER_HEAD, FOOT, MARGIN, GUTTER = 31, 40, 28, 24, 24
"""Above a frame of the first row, of another; below the lowest; at the sides; between columns."""


def lay_out_chart(
    chart: Chart, ghost: Chart | None, ghost_name: str, measures: Measures, size: QSizeF
) -> ChartLayout:
    """Return the layout of a chart, and of what is tried beside it, in a widget of that size."""
    return _Maker(chart, ghost, ghost_name, measures, size).layout


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


class _Maker:
    """Lays out step by step: frames, curves, then labels from the most to the least important."""

    def __init__(
        self,
        chart: Chart,
        ghost: Chart | None,
        ghost_name: str,
        measures: Measures,
        size: QSizeF,
    ) -> None:
        self.chart, self.ghost, self.measures = chart, ghost, measures
        self.layout = ChartLayout(chart, ghost)
        self.x_max = max(float(one.xs[-1]) for one in (chart, ghost) if one is not None) or 1.0
        self.pieces: dict[int, list[Curve]] = {}
        """What is in sight of each series, by its identity."""
        self._frames(size)
        labels = ChartLabels(chart, self.layout, ghost_name, measures, self.pieces)
        for place, laid in enumerate(self.layout.panels):
            self._curves(place, laid)
            self._rulers(place, laid)
            labels.place(place)

    # Frames ----------------------------------------------------------------------------------

    def _frames(self, size: QSizeF) -> None:
        chart = self.chart
        columns = chart.columns
        rows = -(-len(chart.panels) // columns)
        heads = px(HEAD) + (rows - 1) * px(LOWER_HEAD)
        tall = (size.height() - px(FOOT) - heads) / rows
        spans = [self._span(place, panel, tall) for place, panel in enumerate(chart.panels)]
        figures = [
            max(rulers.upright_width(*span, self.measures) for span in spans[column::columns])
            for column in range(columns)
        ]
        stacked = any(panel.stack for panel in chart.panels)
        right = px(MARGIN) + (px(STACK_COLUMN) if stacked else 0)
        taken = sum(figures) + columns * px(8) + (columns - 1) * px(GUTTER)
        wide = max((size.width() - px(MARGIN) - right - taken) / columns, 10.0)
        for place, (panel, (low, high, _)) in enumerate(zip(chart.panels, spans, strict=True)):
            row, column = divmod(place, columns)
            left = px(MARGIN) + sum(figures[: column + 1]) + (column + 1) * px(8)
            left += column * (wide + px(GUTTER))
            top = row * (tall + px(LOWER_HEAD)) + px(HEAD)
            frame = QRectF(round(left), round(top), round(wide), round(max(tall, 10.0)))
            scale = Scale(frame, self.x_max, low, high)
            self.layout.panels.append(Laid(panel, scale, Board(frame, float(px(5)))))
        self.steps = [step for _, _, step in spans]

    def _span(self, place: int, panel: Panel, tall: float) -> tuple[float, float, float]:
        """Return lowest and highest figure of a panel's axis and the step of its ticks."""
        curves = [one.values for one in (*panel.series, *self.layout.ghosts(place))]
        if panel.stack:
            curves.append(np.sum([np.maximum(one.values, 0.0) for one in panel.stack], axis=0))
        every = np.concatenate(curves)
        every = every[np.isfinite(every)]
        top = float(every.max()) if len(every) else 1.0
        low = float(every.min()) if len(every) else 0.0
        if panel.from_zero:
            low = min(low, 0.0)
        both = [panel] if self.ghost is None else [panel, self.ghost.panels[place]]
        low = min((one.bottom for one in both if one.bottom is not None), default=low)
        room = 1.06 if panel.top is None else 1.0
        top = max((one.top for one in both if one.top is not None), default=top)
        sight = low + LIMIT_IN_SIGHT * (top - low)
        top = max([top, *(one.value for one in panel.limits if one.value <= sight)])
        reach = max(top - low, 1e-6 * max(abs(top), 1.0))
        step = round_step(reach * room, rulers.upright_most(tall))
        bottom = step * np.floor(low / step + 1e-9)
        return float(bottom), float(step * np.ceil((low + reach * room) / step - 1e-9)), step

    def _rulers(self, place: int, laid: Laid) -> None:
        chart, frame, labels = self.chart, laid.scale.frame, self.layout.labels
        laid.grid, found = rulers.upright(laid.scale, self.steps[place], self.measures)
        labels += found
        start = (
            ""
            if laid.scale.y_min == 0.0
            else ", axis from "
            + self.measures.number(
                laid.scale.y_min, max(0, -int(np.floor(np.log10(self.steps[place]) + 1e-9)))
            )
        )
        full = f"{laid.panel.title}, {laid.panel.unit}"
        title = fitted(full + start, "label", frame.right() - px(MARGIN))
        left = px(MARGIN) if place % chart.columns == 0 else frame.left()
        labels.append(Placed(title, left, frame.top() - px(13), "ink3"))
        is_lowest = place + chart.columns >= len(chart.panels)
        baseline = frame.bottom() + px(20)
        taken = []
        if is_lowest:
            name = words(f"{chart.x_name}, {chart.x_unit.symbol}")
            if name.width < 0.6 * frame.width():
                placed = Placed(name, frame.right(), baseline, "ink3", RIGHT)
                labels.append(placed)
                taken.append(placed.box)
        laid.marks, found = rulers.level(
            laid.scale, baseline, chart.x_unit.symbol, self.measures, taken
        )
        labels += found if is_lowest else []

    # Curves ----------------------------------------------------------------------------------

    def _curves(self, place: int, laid: Laid) -> None:
        scale = laid.scale
        if laid.panel.stack:
            self._stack(laid)
        for one in self.layout.ghosts(place):
            assert self.ghost is not None
            self._line(laid, self.ghost.xs, one, GHOST)
        for one in sorted(laid.panel.series, key=lambda one: one.stroke.width):
            self._line(laid, self.chart.xs, one, one.stroke)
        if self.ghost is not None:
            for mark in self.ghost.panels[place].marks[-1:]:
                self._ring(laid, QPointF(scale.x(mark.x), scale.y(mark.y)), True)
        for mark in laid.panel.marks:
            self._ring(laid, QPointF(scale.x(mark.x), scale.y(mark.y)), False)

    def _line(self, laid: Laid, xs: FloatArray, one: Series, stroke: Stroke) -> None:
        frame = laid.scale.frame
        x, y = laid.scale.xs(xs), laid.scale.ys(one.values)
        pieces = list(clipped(x, y, frame.top(), frame.bottom()))
        self.pieces[id(one)] = pieces
        for piece in pieces:
            laid.lines.append((_polygon(*piece), stroke))
            laid.board.take_line(*piece)

    def _ring(self, laid: Laid, at: QPointF, is_ghost: bool) -> None:
        if laid.scale.frame.adjusted(-1, -1, 1, 1).contains(at):
            laid.rings.append((at, is_ghost))
            radius = px(7)
            laid.board.take_rect(QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius))

    def _stack(self, laid: Laid) -> None:
        scale = laid.scale
        xs = scale.xs(self.chart.xs)
        low = np.zeros(len(xs))
        for one in laid.panel.stack:
            high = low + np.maximum(one.values, 0.0)
            laid.fills.append(filled(one.texture, xs, scale.ys(low), scale.ys(high)))
            laid.edges.append(_polygon(xs, scale.ys(high)))
            laid.board.take_line(xs, scale.ys(high))
            low = high


def _polygon(xs: FloatArray, ys: FloatArray) -> QPolygonF:
    polygon: QPolygonF = arrayToQPolygonF(xs, ys)
    return polygon
