"""Speed over the road: how fast the car gets, where the driver must lift, what holds it back."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPen

from pennyspeed.desktop import theme as themes
from pennyspeed.desktop.plots import layers, reading
from pennyspeed.desktop.plots.card import Card, Cross
from pennyspeed.desktop.plots.layout import curve_of, lay_out
from pennyspeed.desktop.plots.placed import RoadLayout, Shown
from pennyspeed.desktop.plots.plot import Plot
from pennyspeed.desktop.plots.speech import summary
from pennyspeed.desktop.plots.tables import Table, along, head
from pennyspeed.desktop.theme import Theme, px
from pennyspeed.physics.results import Prediction
from pennyspeed.services.views import over_time


class RoadPlot(Plot):
    """The plot; Z looks closer at the fast end."""

    NAME = "Speed over the road"

    def _prepare(self) -> None:
        self._layout: RoadLayout | None = None
        self._box = pg.ViewBox(enableMouse=False, enableMenu=False, defaultPadding=0.0)
        self._box.disableAutoRange()
        self.setCentralItem(self._box)
        self._ghost = pg.PlotCurveItem(skipFiniteCheck=True, antialias=True)
        self._now = pg.PlotCurveItem(skipFiniteCheck=True, antialias=True)
        self._ghost.setZValue(1)
        self._now.setZValue(2)
        for curve in (self._ghost, self._now):
            self._box.addItem(curve, ignoreBounds=True)

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
        layout = self._layout = lay_out(shown, size)
        scale, frame = layout.scale, layout.scale.frame
        # The view covers the whole widget, so that a wide curve is not clipped at the axes.
        self._box.setRange(
            xRange=(scale.distance(0.0), scale.distance(size.width())),
            yRange=(
                scale.y_min - (size.height() - frame.bottom()) / scale.y_pixels,
                scale.y_max + frame.top() / scale.y_pixels,
            ),
            padding=0.0,
            disableAutoRange=True,
        )
        for item, curve in ((self._ghost, layout.ghost), (self._now, layout.now)):
            if curve is None:
                item.setVisible(False)
            else:
                item.setData(*curve)
                item.setVisible(True)
        # Done here, not while painting, or the change would ask for a second repaint.
        self._box.updateMatrix()

    def _dress(self) -> None:
        theme = themes.current()
        for item, colour, width in (
            (self._now, theme.accent, 3.0),
            (self._ghost, theme.ink, 1.25),
        ):
            pen = QPen(colour, width * px(100) / 100)
            pen.setCosmetic(True)
            pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)
            item.setPen(pen)
        super()._dress()

    def _paint_back(self, painter: QPainter, theme: Theme) -> None:
        if self._layout is not None:
            layers.paint_paper(painter, self._layout, theme)
            layers.paint_band(painter, self._layout, theme)
            layers.paint_target(painter, self._layout, theme)

    def _paint_front(self, painter: QPainter, theme: Theme) -> None:
        if self._layout is not None:
            layers.paint_marks(painter, self._layout, theme)

    def _empty_frame(self) -> QRectF:
        assert self._layout is not None
        return self._layout.scale.frame

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

    # Where a reading can stand, in metres -----------------------------------------------------

    def _place_under(self, point: QPointF) -> float | None:
        assert self._layout is not None
        assert self._shown is not None
        distance = self._layout.scale.distance(point.x())
        inside = 0.0 <= distance <= self._layout.scale.x_max
        return distance * self._shown.measures.road_unit.factor if inside else None

    def _end(self) -> float:
        found = self._prediction
        return 0.0 if found is None else found.lift_at + found.stop_distance

    def _step(self) -> float:
        return 1.0 if self._shown is None else self._shown.measures.road_unit.factor

    def _stops(self) -> list[float]:
        return [] if self._prediction is None else [self._prediction.lift_at]

    def _do_key(self, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Z and not event.modifiers() and self._shown is not None:
            self.look_closer(not self._shown.close_up)
            return True
        return super()._do_key(event)
