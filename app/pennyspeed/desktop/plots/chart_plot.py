"""Chart plot: a view whose curves share one axis, in one frame or in several."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPen

from pennyspeed.desktop.plots import layers
from pennyspeed.desktop.plots.card import Card, Cross
from pennyspeed.desktop.plots.chart import Chart, Stroke
from pennyspeed.desktop.plots.chart_layout import lay_out_chart
from pennyspeed.desktop.plots.chart_placed import ChartLayout
from pennyspeed.desktop.plots.placed import Shown
from pennyspeed.desktop.plots.plot import Plot
from pennyspeed.desktop.plots.speech import empty_words
from pennyspeed.desktop.plots.tables import Table, along
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.axes import round_step
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.views import car_of

STEPS = 120
"""Arrow keys from one end of the axis to the other, at most."""


class ChartPlot(Plot):
    """A view that draws what :meth:`chart` returns."""

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        """Return the chart of a whole car that moves."""
        raise NotImplementedError

    def _prepare(self) -> None:
        self._layout = ChartLayout(None, None)
        self._under = 0
        self._kept: tuple[Forecast, Measures, Chart | None] | None = None

    @property
    def layout_shown(self) -> ChartLayout:
        """Where everything stands now."""
        self.settle()
        return self._layout

    @property
    def has_curve(self) -> bool:
        return self._layout.chart is not None

    @property
    def card(self) -> Card | None:
        chart, shown = self._layout.chart, self._shown
        if self._place is None or chart is None or shown is None:
            return None
        at = min(self._place, self._end())
        name = fitted(shown.ghost_name, "label", px(140)).text
        rows = chart.rows(at, shown.measures, self._layout.ghost, name)
        return Card(chart.place(at, shown.measures), rows)

    @property
    def summary(self) -> str:
        self.settle()
        if self._shown is None:
            return ""
        chart, ghost = self._layout.chart, self._layout.ghost
        if chart is None:
            return ". ".join(part.rstrip(".") for part in empty_words(self._shown.forecast)) + "."
        if ghost is None:
            return chart.summary
        name = self._shown.ghost_name or "what is tried"
        return f"{chart.summary} With {name}: {ghost.summary}"

    def table(self) -> Table | None:
        self.settle()
        chart = self._layout.chart
        if chart is None or self._shown is None:
            return None
        return chart.table(self._layout.ghost, self._shown.ghost_name)

    def _chart_of(self, forecast: Forecast | None, measures: Measures) -> Chart | None:
        found = None if forecast is None else forecast.prediction
        car = None if forecast is None else car_of(forecast.build, found)
        if forecast is None or car is None or found is None or found.road_speed <= 0.0:
            return None
        return self.chart(forecast, car, found, measures)

    def _arrange(self, shown: Shown, size: QSizeF) -> None:
        kept = self._kept
        if kept is None or kept[0] is not shown.forecast or kept[1] != shown.measures:
            # While parts are tried the car itself stays the same.
            made = self._chart_of(shown.forecast, shown.measures)
            kept = self._kept = (shown.forecast, shown.measures, made)
        chart = kept[2]
        if chart is None:
            self._layout = ChartLayout(None, None)
            return
        ghost = self._chart_of(shown.ghost, shown.measures)
        self._layout = lay_out_chart(chart, ghost, shown.ghost_name, shown.measures, size)

    # Painting --------------------------------------------------------------------------------

    def _paint_back(self, painter: QPainter, theme: Theme) -> None:
        for laid in self._layout.panels:
            frame = laid.scale.frame
            layers.paint_grid(painter, frame, laid.grid, theme)
            layers.paint_axis(painter, frame, frame.bottom(), laid.marks, theme)
            for fill in laid.fills:
                fill.paint(painter, theme)
            painter.setRenderHint(layers.AA)
            painter.setPen(QPen(theme.line, px(1)))
            for edge in laid.edges:
                painter.drawPolyline(edge)
            painter.setRenderHint(layers.AA, False)
            for y, stroke in laid.levels:
                painter.setPen(_pen(stroke, theme))
                line = round(y) + 0.5 * px(1)
                painter.drawLine(QLineF(frame.left(), line, frame.right(), line))
            painter.setRenderHint(layers.AA)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for polygon, stroke in laid.lines:
                painter.setPen(_pen(stroke, theme))
                painter.drawPolyline(polygon)

    def _paint_front(self, painter: QPainter, theme: Theme) -> None:
        painter.setRenderHint(layers.AA)
        painter.setPen(QPen(theme.line, px(1)))
        for start, end in self._layout.leaders:
            painter.drawLine(start + QPointF(0.5, 0.5), end + QPointF(0.5, 0.5))
        layers.paint_labels(painter, self._layout.labels, theme)
        painter.setRenderHint(layers.AA)
        painter.setBrush(theme.ground)
        for laid in self._layout.panels:
            for at, is_ghost in laid.rings:
                if is_ghost:
                    layers.paint_ring(painter, at, 4, 1.5, theme.ink)
                else:
                    layers.paint_ring(painter, at, 5, 2.5, theme.accent)

    def _empty_frame(self) -> QRectF:
        return QRectF(self.rect())

    # Reading ---------------------------------------------------------------------------------

    def _crossing(self) -> Cross | None:
        chart, ghost = self._layout.chart, self._layout.ghost
        if self._place is None or chart is None or not self._layout.panels:
            return None
        x = min(self._place, self._end()) / chart.x_unit.factor
        lines, dots = [], []
        for place, laid in enumerate(self._layout.panels):
            scale = laid.scale
            at = scale.x(x)
            lines.append((at, scale.frame.top(), scale.frame.bottom()))
            drawn = [(one, chart.xs, one.stroke.colour) for one in laid.panel.series]
            if ghost is not None:
                others = ghost.panels[place].series
                drawn += [(one, ghost.xs, "ink") for one in others if one.has_ghost]
            for one, xs, colour in drawn:
                value = float(along(np.array([x]), xs, one.values)[0])
                if np.isfinite(value) and scale.y_min <= value <= scale.y_max:
                    dots.append((QPointF(at, scale.y(value)), colour))
        first = self._layout.panels[min(self._under, len(lines) - 1)]
        lines.insert(0, lines.pop(min(self._under, len(lines) - 1)))
        whole = QRectF(first.scale.frame)
        if len(self._layout.panels) > 1:
            whole.setTop(self._layout.panels[0].scale.frame.top())
            whole.setBottom(self._layout.panels[-1].scale.frame.bottom())
            return Cross(lines, dots, whole)
        return Cross(lines, dots, whole, first.board)

    def _place_under(self, point: QPointF) -> float | None:
        chart = self._layout.chart
        assert chart is not None
        for place, laid in enumerate(self._layout.panels):
            frame = laid.scale.frame
            if frame.left() - 1 <= point.x() <= frame.right() + 1:
                x = laid.scale.distance(point.x())
                self._under = place
                if point.y() <= frame.bottom() + px(28):
                    end = max(chart.xs[-1], 0.0)
                    return float(min(max(x, 0.0), end)) * chart.x_unit.factor
        return None

    def _end(self) -> float:
        chart = self._layout.chart
        return 0.0 if chart is None else float(chart.xs[-1]) * chart.x_unit.factor

    def _step(self) -> float:
        chart = self._layout.chart
        return (
            1.0 if chart is None else round_step(float(chart.xs[-1]), STEPS) * (chart.x_unit.factor)
        )

    def _stops(self) -> list[float]:
        chart = self._layout.chart
        return [] if chart is None else chart.stops()


def _pen(stroke: Stroke, theme: Theme) -> QPen:
    width = stroke.width * px(100) / 100
    pen = QPen(getattr(theme, stroke.colour), width)
    pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)
    if stroke.dash:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([one * px(100) / 100 / width for one in stroke.dash])
    return pen
