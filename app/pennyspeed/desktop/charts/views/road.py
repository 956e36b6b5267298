"""Speed over the road: how fast the car gets, where the driver must lift, what holds it back."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QPainter

from pennyspeed.desktop.charts.canvas import Canvas
from pennyspeed.desktop.charts.card import Card
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.reader import Crosshair
from pennyspeed.desktop.charts.strokes import vertical
from pennyspeed.desktop.charts.textures import paint_limit
from pennyspeed.desktop.charts.views.road_layout import RoadLayout, lay_out
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.charts.road_curves import (
    Reading,
    lines,
    reading_at,
    road_summary,
    road_table,
)
from pennyspeed.services.charts.table import Table
from pennyspeed.services.prediction.limits import OF_THE_DRIVER


class RoadChart(Canvas):
    """The chart; Z looks closer at the fast end."""

    NAME = "Speed over the road"
    HAS_CLOSE_UP = True

    @property
    def reading(self) -> Reading | None:
        """What is read at the pointer or by the keys, None where nothing is."""
        shown, layout, place = self.shown, self._layout, self._read
        found = None if shown is None else shown.forecast.prediction
        if place is None or found is None or not isinstance(layout, RoadLayout):
            return None
        return reading_at(found, layout.pieces, place)

    @property
    def card(self) -> Card | None:
        read, shown = self.reading, self.shown
        if read is None or shown is None:
            return None
        return Card(*lines(read, shown.forecast.build, shown.measures))

    @property
    def summary(self) -> str:
        one = self.shown
        if one is None:
            return ""
        return road_summary(one.forecast, one.measures, one.ghost, one.ghost_name, one.late)

    def table(self) -> Table | None:
        one = self.shown
        if one is None:
            return None
        return road_table(one.forecast, one.measures, one.ghost, one.ghost_name, one.late)

    def _lay_out(self, shown: ChartInput, size: QSizeF) -> RoadLayout:
        before = self._layout
        return lay_out(shown, size, before if isinstance(before, RoadLayout) else None)

    def _paint_back(self, painter: QPainter) -> None:
        super()._paint_back(painter)
        layout, theme = self._layout, themes.current()
        if not isinstance(layout, RoadLayout):
            return
        bottom, axis = layout.scale.frame.bottom(), layout.frames[0].axis
        half, middle = px(4), round(bottom + px(30))
        for i, (x0, x1, limit) in enumerate(layout.strip):
            left = x0 + (px(2) if i else 0)
            box = QRectF(round(left), middle - half, round(x1 - px(2)) - round(left), 2 * half)
            if i == len(layout.strip) - 1:
                box.setRight(round(x1))
            if box.width() >= 1:
                paint_limit(painter, box, limit, theme)
            if i and limit not in OF_THE_DRIVER:
                vertical(painter, x0, bottom, axis, theme.line, px(1))

    def crosshair(self) -> Crosshair | None:
        """Return where the crosshair stands: from the curve down to the axis of the road."""
        cross = super().crosshair()
        if cross is not None:
            ((x, _, bottom),) = cross.lines
            top = cross.dots[0][0].y() if cross.dots else cross.frame.bottom()
            cross.lines[0] = (x, top, bottom)
        return cross
