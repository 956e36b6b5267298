"""Speed over the road: how fast the car gets, where the driver must lift, what holds it back."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QSizeF
from PySide6.QtGui import QPainter

from pennyspeed.desktop.plots import layers, reading
from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.card import Card, Cross
from pennyspeed.desktop.plots.layout import curve_of, lay_out
from pennyspeed.desktop.plots.over_road import OverRoad, curve_pen
from pennyspeed.desktop.plots.placed import RoadLayout, Shown
from pennyspeed.desktop.plots.speech import summary
from pennyspeed.desktop.plots.tables import Table, along, head
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import Theme
from pennyspeed.physics.results import Prediction
from pennyspeed.services.views import over_time


class RoadPlot(OverRoad):
    """The plot; Z looks closer at the fast end."""

    NAME = "Speed over the road"

    def _prepare(self) -> None:
        super()._prepare()
        self._layout: RoadLayout | None = None
        self._ghost = self._curve_item(1)
        self._now = self._curve_item(2)

    @property
    def layout_shown(self) -> RoadLayout | None:
        """Where everything stands now."""
        self.settle()
        return self._layout

    @property
    def _prediction(self) -> Prediction | None:
        return self._shown.forecast.prediction if self._shown is not None else None

    @property
    def reading(self) -> reading.Reading | None:
        """What is read at the pointer or by the keys, None where nothing is."""
        prediction, layout = self._prediction, self._layout
        if self._place is None or layout is None or layout.now is None or prediction is None:
            return None
        return reading.reading_at(prediction, layout.pieces, min(self._place, self._end()))

    @property
    def card(self) -> Card | None:
        read, shown = self.reading, self._shown
        if read is None or shown is None:
            return None
        return Card(*reading.lines(read, shown.forecast.build, shown.measures))

    @property
    def has_curve(self) -> bool:
        return self._layout is not None and self._layout.now is not None

    @property
    def summary(self) -> str:
        self.settle()
        return "" if self._shown is None else summary(self._shown, self._layout)

    def table(self) -> Table | None:
        shown, found = self._shown, self._prediction
        now = None if shown is None else curve_of(shown.forecast, shown.measures)
        if shown is None or found is None or now is None:
            return None
        speed, road = shown.measures.speed_unit, shown.measures.road_unit
        heads = [head("distance", road.symbol), "time [s]", head("speed", speed.symbol)]
        ghost = curve_of(shown.ghost, shown.measures)
        places = now[0] if ghost is None else np.union1d(now[0], ghost[0])
        time = over_time(found).time
        columns = [places, along(places, now[0], time), along(places, *now)]
        band = shown.forecast.band
        if band is not None:
            own = band.distance / road.factor
            for name, speeds in (("likely from", band.low), ("likely to", band.high)):
                heads.append(head(name, speed.symbol))
                columns.append(along(places, own, speeds / speed.factor))
        if ghost is not None:
            heads.append(head(f"speed with {shown.ghost_name or 'what is tried'}", speed.symbol))
            columns.append(along(places, *ghost))
        return Table(tuple(heads), tuple(columns))

    def look_closer(self, closer: bool) -> None:
        """Start the upright axis above 0, or at 0 again."""
        if self._shown is not None:
            old = self._shown
            self._show(Shown(old.forecast, old.measures, old.ghost, old.ghost_name, closer))

    # Laying out ------------------------------------------------------------------------------

    def _arrange(self, shown: Shown, size: QSizeF) -> None:
        layout = self._layout = lay_out(shown, size, self._layout)
        self._draw(size, layout.scale, ((self._ghost, layout.ghost), (self._now, layout.now)))

    def _dress(self) -> None:
        theme = themes.current()
        self._now.setPen(curve_pen(theme.accent, 3.0))
        self._ghost.setPen(curve_pen(theme.ink, 1.25))
        super()._dress()

    def _paint_back(self, painter: QPainter, theme: Theme) -> None:
        if self._layout is not None:
            layers.paint_paper(painter, self._layout, theme)
            layers.paint_band(painter, self._layout, theme)
            layers.paint_target(painter, self._layout.scale.frame, self._layout.target, theme)

    def _paint_front(self, painter: QPainter, theme: Theme) -> None:
        if self._layout is not None:
            layers.paint_marks(painter, self._layout, theme)

    @property
    def _scale(self) -> Scale | None:
        return None if self._layout is None else self._layout.scale

    def _crossing(self) -> Cross | None:
        read, layout, shown = self.reading, self._layout, self._shown
        if read is None or layout is None or shown is None:
            return None
        scale = layout.scale
        x = scale.x(read.distance / shown.measures.road_unit.factor)
        y = scale.y(read.speed / shown.measures.speed_unit.factor)
        dots = [(QPointF(x, y), "accent")] if y <= scale.frame.bottom() else []
        line = (x, max(y, scale.frame.top()), layout.strip_axis)
        return Cross([line], dots, scale.frame, layout.board)

    def _end(self) -> float:
        found = self._prediction
        return 0.0 if found is None else found.lift_at + found.stop_distance

    def _stops(self) -> list[float]:
        return [] if self._prediction is None else [self._prediction.lift_at]
