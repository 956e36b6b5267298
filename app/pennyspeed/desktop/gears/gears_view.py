"""The view of gears: the chart below a low plot of the road."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.views.road import RoadChart
from pennyspeed.desktop.gears import GEARS
from pennyspeed.desktop.gears.gear_chart import GearChart
from pennyspeed.desktop.navigator import StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.widgets.layouts import fill_column
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.theme import px

PLOT, LEAST_PLOT = 224, 180


class GearsView(QWidget):
    """The gear chart below a low plot of the road, in which the pair that is tried is the ghost.

    Signals
    -------
    left_behind()
    """

    keys = GEARS
    left_behind = Signal()

    def __init__(self, session: Session, held: ComparedBuilds) -> None:
        super().__init__()
        self._session = session
        self.plot = RoadChart(self)
        self.chart = GearChart(session, held, self)
        fill_column(self, self.plot, (self.chart, 1)).setSpacing(1)
        self.chart.left_behind.connect(self.left_behind)
        self.plot.saved.connect(session.messages.noted)
        self.plot.troubled.connect(session.messages.troubled)
        bench = session.bench
        for signal in (bench.build_changed, bench.tried_changed, bench.measures_changed):
            signal.connect(self._show_road)
        self.setTabOrder(self.chart.table, self.plot)
        self.setFocusProxy(self.chart.table)

    def page(self) -> StackPage:
        """Return how the navigator knows it."""
        return StackPage(self, self.left_behind, self.chart.focus_table)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), px(LEAST_PLOT) + self.chart.least_height())

    def _show_road(self) -> None:
        bench = self._session.bench
        if self.isVisible() and bench.forecast is not None:
            self.plot.show_forecast(bench.forecast, bench.measures, bench.trial, bench.tried_name)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_road()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the plot its height, and the chart a whole number of rows."""
        super().resizeEvent(event)
        least = max(min(px(PLOT), self.height() - self.chart.least_height()), px(LEAST_PLOT))
        chart = self.chart.whole_rows(self.height() - least)
        self.plot.setFixedHeight(max(self.height() - chart - 1, px(LEAST_PLOT)))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "rule"):
            pass
