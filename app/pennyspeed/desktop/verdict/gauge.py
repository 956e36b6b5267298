"""Gauges: the speed on its own small axis, and the money against its cap."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from pennyspeed.desktop.charts.strokes import AA, crossed, dashed, hatched, horizontal, vertical
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.theme import CENTRE, Theme, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.money.money import Money
from pennyspeed.services.charts.axes import decimals, ticks
from pennyspeed.services.money.book_words import costs_sentence
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.speed_axis import SpeedAxis


class _Gauge(QWidget):
    """What both gauges share: they grow with the text and follow the theme."""

    _size = (256, 40)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        # Or the panel below would be painted at every step, too.
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def sizeHint(self) -> QSize:
        return QSize(px(self._size[0]), px(self._size[1]))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(120), px(self._size[1]))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "side") as painter:
            self._paint(painter.qt_painter, painter.theme)

    def _paint(self, p: QPainter, theme: Theme) -> None:
        raise NotImplementedError

    @staticmethod
    def _ring(p: QPainter, x: float, y: float, theme: Theme) -> None:
        """Draw the sign of what is tried."""
        p.setRenderHint(AA)
        p.setBrush(theme.side)
        p.setPen(QPen(theme.ink, 1.6 * px(1)))
        p.drawEllipse(QPointF(round(x) + 0.5, round(y) + 0.5), 4.0 * px(1), 4.0 * px(1))
        p.setRenderHint(AA, False)


class SpeedGauge(_Gauge):
    """The speed on this road as a mark, its likely range as a box, the target dashed."""

    _size = (256, 46)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Speed on this road")
        self.axis = SpeedAxis()
        self._show(self.axis)

    def show_nothing(self) -> None:
        """Show no axis: there is no car whose speed could stand on it."""
        self._show(SpeedAxis())

    def show_forecast(
        self, forecast: Forecast, measures: Measures, ghost: Forecast | None = None
    ) -> None:
        """Show a car's speed, and beside it that of the same car with a part tried."""
        self._show(SpeedAxis.of(forecast, measures, ghost))

    def _show(self, axis: SpeedAxis) -> None:
        self.axis = axis
        self._low, self._high, self._step = axis.span()
        self.setAccessibleDescription(axis.sentence())
        self.update()

    def _x(self, speed: float) -> float:
        return (self.width() - 1) * (speed - self._low) / (self._high - self._low)

    def _paint(self, p: QPainter, theme: Theme) -> None:
        one, axis = px(1), px(22)
        p.setRenderHint(AA, False)
        if self.axis.is_empty:
            return
        if self.axis.band is not None:
            x0, x1 = (self._x(v) for v in self.axis.band)
            top = axis - px(14)
            p.fillRect(QRectF(round(x0), top, round(x1) - round(x0), axis - top), theme.band)
            for x in (x0, x1):
                vertical(p, x, top, axis, theme.band_edge, one)
        horizontal(p, 0, self.width(), axis, theme.line, one)
        speeds = ticks(self._low, self._high, self._step)
        for speed in speeds:
            x = min(round(self._x(speed)), self.width() - one)
            vertical(p, x, axis, axis + px(4), theme.line, one)
        if self.axis.now is not None:
            x = round(self._x(self.axis.now))
            p.fillRect(QRectF(x - 2 * one, axis - px(17), 4 * one, px(17)), theme.accent)
        taken = self._paint_target(p, theme, axis)
        self._paint_figures(p, theme, speeds, taken)
        if self.axis.ghost is not None:
            self._ring(p, self._x(self.axis.ghost), axis - px(7), theme)

    def _paint_target(self, p: QPainter, theme: Theme, axis: int) -> QRectF | None:
        """Draw the target's dashes and name; return what the name covers."""
        if self.axis.target is None:
            return None
        figure = self.axis.measures.target(self.axis.target_kmh or 0.0, unit=False)
        baseline = self._baseline()
        if self.axis.is_target_far:
            beyond = self.axis.target > (self.axis.now or 0.0)
            text = words(f"target {figure} →" if beyond else f"← target {figure}", "label_strong")
            x = self.width() - text.width if beyond else 0.0
        else:
            text = words(f"{figure} target", "label_strong")
            at = self._x(self.axis.target)
            p.setPen(dashed(theme.ink, px(4), px(2), float(px(1))))
            x = round(at) + 0.5 * px(1)
            p.drawLine(QLineF(x, axis, x, 0.0))
            left = at - words(figure, "label_strong").width / 2
            x = max(min(left, self.width() - text.width), 0.0)
        text.draw(p, x, baseline, theme.ink)
        return text.box(x, baseline)

    def _baseline(self) -> int:
        return px(22) + px(19)

    def _paint_figures(
        self, p: QPainter, theme: Theme, speeds: list[float], taken: QRectF | None
    ) -> None:
        gap = px(6)
        boxes = [] if taken is None else [taken]
        for speed in speeds:
            text = words(self.axis.measures.number(speed, decimals(self._step)))
            x = self._x(speed) - text.width * CENTRE
            x = max(min(x, self.width() - text.width), 0.0)
            box = text.box(x, self._baseline())
            if not any(box.adjusted(-gap, 0, gap, 0).intersects(other) for other in boxes):
                text.draw(p, x, self._baseline(), theme.ink3)
                boxes.append(box)


class CapBar(_Gauge):
    """Money against the cap: spent solid, promised hatched, planned outlined.

    What goes past the cap is crossed both ways, so that it shows without colour too.
    """

    _size = (256, 22)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Money against the cap")
        self._costs: Costs | None = None
        self._ghost: Money | None = None

    def show_nothing(self) -> None:
        """Show no bar: there is nothing to pay for."""
        self._costs = self._ghost = None
        self.setAccessibleDescription("")
        self.update()

    def show_costs(self, costs: Costs, measures: Measures, ghost: Costs | None = None) -> None:
        """Show a build's sums, and beside them the whole with a part tried."""
        self._costs = costs
        self._ghost = None if ghost is None else ghost.counted
        self.setAccessibleDescription(costs_sentence(costs, measures, self._ghost))
        self.update()

    @property
    def _most(self) -> float:
        costs = self._costs
        assert costs is not None
        sums = [costs.counted, costs.cap, self._ghost]
        return max(1.0, 1.07 * max(money.minor for money in sums if money is not None))

    def _x(self, minor: float) -> float:
        return round((self.width() - 1) * minor / self._most)

    def _paint(self, p: QPainter, theme: Theme) -> None:
        costs = self._costs
        if costs is None:
            return
        one, top, bottom = px(1), px(5), px(21)
        p.setRenderHint(AA, False)
        spent = costs.spent.minor
        promised = spent + costs.promised.minor
        whole = costs.counted.minor
        x1, x2, x3 = self._x(spent), self._x(promised), self._x(whole)
        tall = bottom - top
        p.fillRect(QRectF(0, top, x1, tall), theme.ink2)
        if x2 > x1:
            hatched(p, QRectF(x1, top, x2 - x1, tall), theme.ink2)
        horizontal(p, 0, self.width(), bottom - one, theme.line, one)
        horizontal(p, 0, x3, top, theme.ink2, one)
        horizontal(p, 0, x3, bottom - one, theme.ink2, one)
        for x in (x2, x3):
            if x > 0:
                vertical(p, x - one, top, bottom, theme.ink2, one)
        if costs.cap is not None:
            cap = self._x(costs.cap.minor)
            if x3 > cap + one:
                crossed(p, QRectF(cap, top, x3 - cap, tall), theme.side, theme.watch)
            p.fillRect(QRectF(cap, 0, 2 * one, bottom), theme.ink)
        if self._ghost is not None:
            self._ring(p, self._x(self._ghost.minor), (top + bottom) / 2 - 1, theme)
