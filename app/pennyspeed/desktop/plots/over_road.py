"""Over the road: what the plots share that show speed along the road."""

from __future__ import annotations

from collections.abc import Iterable

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPen

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.placed import Curve
from pennyspeed.desktop.plots.plot import Plot
from pennyspeed.desktop.widgets.theme import px


class OverRoad(Plot):
    """A plot whose readings stand at metres of the road; Z looks closer at the fast end."""

    def _prepare(self) -> None:
        self._box = pg.ViewBox(enableMouse=False, enableMenu=False, defaultPadding=0.0)
        self._box.disableAutoRange()
        self.setCentralItem(self._box)

    def _curve_item(self, height: int) -> pg.PlotCurveItem:
        """Return another curve; the higher one covers the lower."""
        item = pg.PlotCurveItem(skipFiniteCheck=True, antialias=True)
        item.setZValue(height)
        self._box.addItem(item, ignoreBounds=True)
        return item

    @property
    def _scale(self) -> Scale | None:
        """The scale that everything was laid out by last."""
        raise NotImplementedError

    def look_closer(self, closer: bool) -> None:
        """Start the upright axis above 0, or at 0 again."""
        raise NotImplementedError

    def _draw(
        self, size: QSizeF, scale: Scale, drawn: Iterable[tuple[pg.PlotCurveItem, Curve | None]]
    ) -> None:
        """Hand the curves over, in the units shown; None hides one."""
        frame = scale.frame
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
        for item, curve in drawn:
            if curve is not None:
                item.setData(*curve)
            item.setVisible(curve is not None)
        # Done here, not while painting, or the change would ask for a second repaint.
        self._box.updateMatrix()

    def _empty_frame(self) -> QRectF:
        scale = self._scale
        assert scale is not None
        return scale.frame

    def _place_under(self, point: QPointF) -> float | None:
        scale, shown = self._scale, self._shown
        assert scale is not None
        assert shown is not None
        distance = scale.distance(point.x())
        inside = 0.0 <= distance <= scale.x_max
        return distance * shown.measures.road_unit.factor if inside else None

    def _step(self) -> float:
        return 1.0 if self._shown is None else self._shown.measures.road_unit.factor

    def _do_key(self, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Z and not event.modifiers() and self._shown is not None:
            self.look_closer(not self._shown.close_up)
            return True
        return super()._do_key(event)


def curve_pen(colour: QColor, width: float, dashes: tuple[float, ...] = ()) -> QPen:
    """Return a curve's line, its width and dashes in pixels at 100 % text."""
    unit = px(100) / 100
    pen = QPen(colour, width * unit)
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)
    if dashes:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([dash / width for dash in dashes])
    return pen
