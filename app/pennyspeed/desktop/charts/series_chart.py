"""A chart whose curves share one axis, in one frame or in several."""

from __future__ import annotations

from PySide6.QtCore import QSizeF
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.canvas import Canvas
from pennyspeed.desktop.charts.card import Card
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.series_layout import SeriesLayout, lay_out_chart
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import Chart
from pennyspeed.services.charts.no_curve import empty_summary
from pennyspeed.services.charts.table import Table
from pennyspeed.services.charts.views import car_of
from pennyspeed.services.prediction.forecast import Forecast


class SeriesChart(Canvas):
    """A chart that draws what :meth:`chart` returns."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._kept: tuple[Forecast, Measures, Chart | None] | None = None
        super().__init__(parent)

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        """Return the chart of a whole car that moves."""
        raise NotImplementedError

    @property
    def _charts(self) -> tuple[Chart | None, Chart | None]:
        """The chart of the car, and that of what is tried."""
        self.settle()
        layout = self._layout
        return (layout.chart, layout.ghost) if isinstance(layout, SeriesLayout) else (None, None)

    @property
    def card(self) -> Card | None:
        (chart, ghost), shown, place = self._charts, self.shown, self._read
        if place is None or chart is None or shown is None:
            return None
        name = fitted(shown.ghost_name, "label", px(140)).text
        rows = chart.rows(place, shown.measures, ghost, name)
        return Card(chart.heading(place, shown.measures), rows)

    @property
    def summary(self) -> str:
        (chart, ghost), shown = self._charts, self.shown
        if chart is None or shown is None:
            return "" if shown is None else empty_summary(shown.forecast)
        if ghost is None:
            return chart.summary
        name = shown.ghost_name or "what is tried"
        return f"{chart.summary} With {name}: {ghost.summary}"

    def table(self) -> Table | None:
        (chart, ghost), shown = self._charts, self.shown
        return None if chart is None or shown is None else chart.table(ghost, shown.ghost_name)

    def _chart_of(self, forecast: Forecast | None, measures: Measures) -> Chart | None:
        found = None if forecast is None else forecast.prediction
        car = None if forecast is None else car_of(forecast.build, found)
        if forecast is None or car is None or found is None or found.road_speed <= 0.0:
            return None
        return self.chart(forecast, car, found, measures)

    def _lay_out(self, shown: ChartInput, size: QSizeF) -> SeriesLayout:
        kept = self._kept
        if kept is None or kept[0] is not shown.forecast or kept[1] != shown.measures:
            # While parts are tried the car itself stays the same.
            made = self._chart_of(shown.forecast, shown.measures)
            kept = self._kept = (shown.forecast, shown.measures, made)
        chart = kept[2]
        if chart is None:
            return SeriesLayout()
        ghost = self._chart_of(shown.ghost, shown.measures)
        return lay_out_chart(chart, ghost, shown.ghost_name, shown.measures, size)
