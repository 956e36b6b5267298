"""Builds beside each other over the road: each a line of its own style, named at its end."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF
from PySide6.QtGui import QPainter, QPen

from pennyspeed.desktop.plots import layers
from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.beside_layout import BesideLayout, BesideShown, Line, lay_out
from pennyspeed.desktop.plots.card import Card, Cross
from pennyspeed.desktop.plots.layout import curve_of
from pennyspeed.desktop.plots.over_road import OverRoad, curve_pen
from pennyspeed.desktop.plots.placed import Curve, Shown
from pennyspeed.desktop.plots.tables import Table, along, head
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import CENTRE, RIGHT, Theme, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.views import over_time

TITLE = "Beside"

STYLES: tuple[tuple[float, tuple[float, ...]], ...] = (
    (3.0, ()),
    (1.5, ()),
    (1.5, (12, 4, 2, 4)),
    (2.0, (2, 3)),
    (1.5, (5, 3)),
    (1.5, (14, 3, 2, 3, 2, 3)),
    (2.5, (1.5, 6)),
)
"""Width and dashes in pixels of each letter's line; no two are alike, nor like the target's."""


NO_SPEED = "no speed"
NAME_ROOM = 200
"""Of a build's name on the card of a reading."""


def pen_of(letter_place: int, theme: Theme) -> QPen:
    """Return the line of a letter, by its place from A on."""
    return curve_pen(theme.ink if letter_place else theme.accent, *STYLES[letter_place])


class BesidePlot(OverRoad):
    """The plot; :meth:`show_lines` is all it needs."""

    NAME = "Builds beside each other, speed over the road"

    def _prepare(self) -> None:
        super()._prepare()
        self._layout: BesideLayout | None = None
        self._curves = [self._curve_item(2 if place == 0 else 1) for place in range(len(STYLES))]

    def sizeHint(self) -> QSize:
        return QSize(px(822), px(288))

    # What it shows -------------------------------------------------------------------------

    def show_lines(self, lines: Sequence[Line], measures: Measures) -> None:
        """Show builds; the first is the car now."""
        shown = self._beside
        close_up = True if shown is None else shown.close_up
        self._show(BesideShown(lines[0].forecast, measures, close_up=close_up, lines=tuple(lines)))

    def show_forecast(
        self,
        forecast: Forecast,
        measures: Measures,
        ghost: Forecast | None = None,
        ghost_name: str = "",
    ) -> None:
        """Show another car now, beside what is held; what is tried stands in other views."""
        first, *held = self.lines or (Line("A", "the car now", forecast),)
        self.show_lines([Line(first.letter, first.name, forecast), *held], measures)

    @property
    def _beside(self) -> BesideShown | None:
        return self._shown if isinstance(self._shown, BesideShown) else None

    @property
    def lines(self) -> tuple[Line, ...]:
        """The builds that are shown; the first is the car now."""
        return () if self._beside is None else self._beside.lines

    @property
    def layout_shown(self) -> BesideLayout | None:
        """Where everything stands now."""
        self.settle()
        return self._layout

    @property
    def has_curve(self) -> bool:
        return self._layout is not None and any(one is not None for one in self._layout.curves)

    def look_closer(self, closer: bool) -> None:
        shown = self._beside
        if shown is not None:
            self._show(
                BesideShown(shown.forecast, shown.measures, close_up=closer, lines=shown.lines)
            )

    def table(self) -> Table | None:
        """Return speed and time of every build at every place where one of them has a point."""
        shown = self._beside
        if shown is None:
            return None
        moving = [
            (line, curve, over_time(line.forecast.prediction).time)
            for line in shown.lines
            if (curve := curve_of(line.forecast, shown.measures)) is not None
            and line.forecast.prediction is not None
        ]
        if not moving:
            return None
        places: FloatArray = reduce(np.union1d, (curve[0] for _, curve, _ in moving))
        heads, columns = [head("distance", shown.measures.road_unit.symbol)], [places]
        for line, curve, time in moving:
            who = f"{line.letter} {line.name}"
            heads += [head(f"{who}, speed", shown.measures.speed_unit.symbol), f"{who}, time [s]"]
            columns += [along(places, *curve), along(places, curve[0], time)]
        return Table(tuple(heads), tuple(columns))

    # Words ---------------------------------------------------------------------------------

    @property
    def card(self) -> Card | None:
        shown, place = self._beside, self._place
        if shown is None or place is None or not self.has_curve:
            return None
        rows: list[tuple[str, ...]] = []
        for line in shown.lines:
            name = fitted(line.name, "label", px(NAME_ROOM)).text
            speed = speed_at(line.forecast, min(place, self._end()))
            rows.append((f"{line.letter}  {name}", said(speed, shown.measures)))
        return Card(f"at {shown.measures.road(min(place, self._end()))}", rows)

    @property
    def summary(self) -> str:
        shown = self._beside
        if shown is None:
            return ""
        found = [(line, line.forecast.prediction) for line in shown.lines]
        texts = [
            f"{line.letter}, {line.name}: "
            + (
                NO_SPEED
                if one is None
                else shown.measures.speed_toward(
                    KMH.from_si(one.road_speed), line.forecast.build.target_kmh
                )
            )
            for line, one in found
        ]
        return "; ".join(texts)

    # Laying out ----------------------------------------------------------------------------

    @property
    def _scale(self) -> Scale | None:
        return None if self._layout is None else self._layout.scale

    def _arrange(self, shown: Shown, size: QSizeF) -> None:
        assert isinstance(shown, BesideShown)
        layout = self._layout = lay_out(shown, size)
        low = layout.scale.y_min
        drawn: list[Curve | None] = [None] * len(self._curves)
        for line, curve in zip(shown.lines, layout.curves, strict=True):
            if curve is not None:
                drawn[ord(line.letter) - ord("A")] = _above(*curve, low)
        self._draw(size, layout.scale, zip(self._curves, drawn, strict=True))

    def _dress(self) -> None:
        theme = themes.current()
        for place, item in enumerate(self._curves):
            item.setPen(pen_of(place, theme))
        super()._dress()
        self.setMinimumSize(px(320), px(150))

    def _crossing(self) -> Cross | None:
        layout, shown = self._layout, self._beside
        if layout is None or shown is None or self._place is None or not self.has_curve:
            return None
        scale, place = layout.scale, min(self._place, self._end())
        x = scale.x(place / shown.measures.road_unit.factor)
        dots = []
        for line in reversed(shown.lines):
            speed = speed_at(line.forecast, place)
            height = -1.0 if speed is None else speed / shown.measures.speed_unit.factor
            if height >= scale.y_min:
                dots.append(
                    (QPointF(x, scale.y(height)), "accent" if line.letter == "A" else "ink")
                )
        upright = [(x, scale.frame.top(), scale.frame.bottom())]
        start, end = layout.columns[2], layout.columns[1]
        if start < scale.frame.right():
            return Cross(upright, dots, scale.frame, layout.board)
        # It takes the place of the labels beside the frame, which say the same of the lift points.
        whole = scale.frame.adjusted(0, 0, end + px(16) - scale.frame.right(), 0)
        return Cross(upright, dots, whole, left=start - px(12))

    def _end(self) -> float:
        found = [line.forecast.prediction for line in self.lines]
        ends = [one.lift_at + one.stop_distance for one in found if one is not None]
        return max(ends, default=0.0)

    def _stops(self) -> list[float]:
        found = [line.forecast.prediction for line in self.lines]
        return sorted({one.lift_at for one in found if one is not None})

    # Painting ------------------------------------------------------------------------------

    def _paint_back(self, painter: QPainter, theme: Theme) -> None:
        layout = self._layout
        if layout is not None:
            frame = layout.scale.frame
            layers.paint_grid(painter, frame, layout.grid, theme)
            layers.paint_axis(painter, frame, frame.bottom(), layout.marks, theme)
            layers.paint_target(painter, frame, layout.target, theme)

    def _paint_front(self, painter: QPainter, theme: Theme) -> None:
        layout, shown = self._layout, self._beside
        if layout is None or shown is None or not self.has_curve:
            return
        layers.paint_labels(painter, layout.labels, theme)
        self._paint_leaders(painter, layout, theme)
        self._paint_rings(painter, layout, shown, theme)
        self._paint_names(painter, layout, shown, theme)

    def _paint_leaders(self, painter: QPainter, layout: BesideLayout, theme: Theme) -> None:
        painter.setRenderHint(layers.AA)
        painter.setPen(QPen(theme.line, px(1)))
        start, finish = layout.columns[2] - px(6), layout.columns[1] + px(6)
        half = words("A", "name").ascent / 2 - px(2)
        for label in layout.ends:
            if label.ring is not None and not start < label.ring.x() < finish:
                x = start if label.ring.x() <= start else finish
                end = QPointF(x, label.baseline - half)
                painter.drawLine(label.ring + QPointF(0.5, 0.5), end + QPointF(0.5, 0.5))

    def _paint_rings(
        self, painter: QPainter, layout: BesideLayout, shown: BesideShown, theme: Theme
    ) -> None:
        painter.setRenderHint(layers.AA)
        painter.setBrush(theme.ground)
        one = px(1)
        rings = list(zip(shown.lines, layout.rings, strict=True))
        for line, ring in reversed(rings):
            if ring is None:
                continue
            is_now = line.letter == "A"
            colour, width, radius = (theme.accent, 2.5, 5.0) if is_now else (theme.ink, 1.5, 3.5)
            painter.setPen(QPen(colour, width * one))
            painter.drawEllipse(ring, radius * one, radius * one)
            if layout.columns[2] - px(6) < ring.x() < layout.columns[1] + px(6):
                # A leader down to its label would cross the others: its letter stands here.
                letter = words(line.letter, "label_strong")
                plate = letter.box(ring.x(), ring.y() - px(9), CENTRE).adjusted(-px(2), 0, px(2), 0)
                painter.fillRect(plate, theme.ground)
                letter.draw(painter, ring.x(), ring.y() - px(9), colour, CENTRE)

    def _paint_names(
        self, painter: QPainter, layout: BesideLayout, shown: BesideShown, theme: Theme
    ) -> None:
        names, figures, start = layout.columns
        room = figures - names - px(8)
        painter.setRenderHint(layers.AA, False)
        ascent, height = words("A", "name").ascent, words("A", "name").height
        for label in layout.ends:
            wide = figures - start + px(6)
            plate = QRectF(start - px(3), label.baseline - ascent, wide, height)
            painter.fillRect(plate, theme.ground)
        for label in layout.ends:
            line = shown.lines[label.place]
            is_now = line.letter == "A"
            colour = theme.accent if is_now else theme.ink
            figure = words(label.figure, "figure")
            role = "name_chosen" if is_now else "body"
            name = fitted(line.name, role, room - figure.width)
            words(line.letter, "figure").draw(painter, start, label.baseline, colour)
            name.draw(painter, names, label.baseline, colour)
            figure.draw(painter, figures, label.baseline, colour, RIGHT)


def speed_at(forecast: Forecast, distance: float) -> float | None:
    """Return a car's speed at a place of the road [m/s]; None beyond its stop."""
    prediction = forecast.prediction
    trace = None if prediction is None else prediction.trace
    if trace is None or distance > float(trace.distance[-1]):
        return None
    return float(np.interp(distance, trace.distance, trace.speed))


def said(speed: float | None, measures: Measures) -> str:
    """Return a speed [m/s] in words."""
    return NO_SPEED if speed is None else measures.speed(KMH.from_si(speed))


def _above(xs: FloatArray, ys: FloatArray, low: float) -> tuple[FloatArray, FloatArray]:
    """Return a curve without what lies below a raised axis, cut off at the axis itself."""
    under = ys < low
    crossing = np.flatnonzero(under[1:] != under[:-1])
    share = (low - ys[crossing]) / (ys[crossing + 1] - ys[crossing])
    at = xs[crossing] + share * (xs[crossing + 1] - xs[crossing])
    kept = np.concatenate((xs[~under], at))
    order = np.argsort(kept, kind="stable")
    heights = np.concatenate((ys[~under], np.full(at.size, low)))
    return kept[order], heights[order]
