"""Spending: what is gone, promised and planned by date, against the cap and the event."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.canvas import Canvas
from pennyspeed.desktop.charts.card import Card
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.layout import Layout
from pennyspeed.desktop.charts.strokes import AA, paint_circle, vertical
from pennyspeed.desktop.charts.views.spending_layout import SpendingLayout, Way, lay_out
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.domain.checks import Level
from pennyspeed.domain.money.days import say_day
from pennyspeed.services.charts.spending import NOTHING, Spending, spending
from pennyspeed.services.charts.table import Table

FLAG = ((0, 0), (12, 5), (0, 10))


class SpendingChart(Canvas):
    """The chart; arrow keys go from day to day, Shift ten days, L to the next marked one."""

    NAME = "Spending over time"
    HEIGHT = 260

    def __init__(self, parent: QWidget | None = None) -> None:
        self.spending: Spending | None = None
        super().__init__(parent)

    @staticmethod
    def today() -> date:
        """Return the day it is."""
        return date.today()

    def _lay_out(self, shown: ChartInput, size: QSizeF) -> SpendingLayout:
        tried = None if shown.ghost is None else shown.ghost.build
        self.spending = spending(
            shown.forecast.build, shown.measures, self.today(), tried, shown.ghost_name
        )
        return lay_out(self.spending, size)

    def read_at(self, place: float | None) -> None:
        """Put the reading on the day nearest to a place, or take it away."""
        super().read_at(None if place is None else float(round(place)))

    @property
    def card(self) -> Card | None:
        found, place = self.spending, self._read
        if found is None or place is None:
            return None
        day = found.day(place)
        return Card(say_day(day, found.steps.today), found.rows(day))

    @property
    def summary(self) -> str:
        return NOTHING if self.spending is None else self.spending.summary()

    def table(self) -> Table | None:
        return None if self.spending is None else self.spending.table()

    def _empty_words(self, shown: ChartInput) -> tuple[str, str]:
        return "No money yet", "Put parts into the car, or write a line down below: N."

    def _paint_back(self, painter: QPainter) -> None:
        super()._paint_back(painter)
        layout, theme = self._layout, themes.current()
        if not isinstance(layout, SpendingLayout):
            return
        for x in layout.month_marks:
            bottom = layout.scale.frame.bottom()
            vertical(painter, x, bottom, bottom + px(8), theme.line, px(1))
        if layout.event is not None:
            top = layout.scale.frame.top() - px(12)
            flag = [QPointF(layout.event + px(x), top + px(y)) for x, y in FLAG]
            painter.setRenderHint(AA)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.ink)
            painter.drawPolygon(QPolygonF(flag))

    def _paint_marks(self, painter: QPainter, layout: Layout, theme: Theme) -> None:
        if not isinstance(layout, SpendingLayout) or not layout.frames:
            return
        painter.save()
        clip = layout.frames[0].clip
        assert clip is not None
        painter.setClipRect(clip)
        painter.setRenderHint(AA, False)
        for way in layout.ways:
            _paint_way(painter, way, layout.event, theme)
        painter.restore()
        for at, step in layout.points:
            paint_circle(painter, at, px(5), step.sign, theme.ink2, theme.ground)
        super()._paint_marks(painter, layout, theme)
        side = px(14)
        for at in layout.signs:
            box = QRectF(at.x(), at.y() - side / 2, side, side)
            themes.paint_sign(painter, box, Level.WARN, theme)


def _paint_way(painter: QPainter, way: Way, event: float | None, theme: Theme) -> None:
    """Draw a line from its order to its arrival, with what is late of it."""
    one, end = px(1), way.end
    if way.days_late and event is not None:
        painter.setPen(QPen(theme.watch, 2 * one))
        painter.drawLine(QLineF(QPointF(max(event, way.start.x()), end.y()), end))
    painter.setPen(QPen(theme.ink2, one))
    painter.drawLine(QLineF(way.start, end))
    colour, width = (theme.watch, 2 * one) if way.days_late else (theme.ink2, one)
    vertical(painter, end.x() - one, end.y() - px(5), end.y() + px(5), colour, width)
