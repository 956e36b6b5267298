"""Builds beside each other over the road: each a line of its own style, named at its end."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsView, QWidget

from pennyspeed.desktop import theme as themes
from pennyspeed.desktop.plots import layers
from pennyspeed.desktop.plots.beside_layout import (
    BesideLayout,
    BesideShown,
    Line,
    lay_out,
    speed_at,
)
from pennyspeed.desktop.theme import CENTRE, RIGHT, Theme, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import FloatArray

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


def pen_of(letter_place: int, theme: Theme) -> QPen:
    """Return the line of a letter, by its place from A on."""
    unit = px(100) / 100
    width, dashes = STYLES[letter_place]
    pen = QPen(theme.ink if letter_place else theme.accent, width * unit)
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.BevelJoin)
    if dashes:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([dash / width for dash in dashes])
    return pen


class BesidePlot(pg.GraphicsView):  # type: ignore[misc]
    """The plot; :meth:`show_lines` is all it needs.

    Arrow keys read all curves at one place of the road (Shift: ten steps, Home and End: its ends),
    Z starts the speed axis at 0 or higher, Escape takes the reading away.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheNone)
        self.setAccessibleName("Builds beside each other, speed over the road")
        self._shown: BesideShown | None = None
        self._layout: BesideLayout | None = None
        self._at: float | None = None
        self._close_up, self._by_key = True, False
        self._box = pg.ViewBox(enableMouse=False, enableMenu=False, defaultPadding=0.0)
        self._box.disableAutoRange()
        self.setCentralItem(self._box)
        self._curves = [
            pg.PlotCurveItem(skipFiniteCheck=True, antialias=True) for _ in range(len(STYLES))
        ]
        for place, curve in enumerate(self._curves):
            curve.setZValue(2 if place == 0 else 1)
            self._box.addItem(curve, ignoreBounds=True)
        self._paper = layers.Layer(self._paint_paper, -200)
        self._marks = layers.Layer(self._paint_marks, 10)
        for layer in (self._paper, self._marks):
            self.scene().addItem(layer)
        themes.keeper().changed.connect(self._dress)
        self._dress()

    def sizeHint(self) -> QSize:
        return QSize(px(822), px(288))

    def close(self) -> bool:
        """Close like any widget; pyqtgraph's own way crashes when it is asked twice."""
        return bool(QGraphicsView.close(self))

    # What it shows -------------------------------------------------------------------------

    def show_lines(self, lines: Sequence[Line], measures: Measures) -> None:
        """Show builds; the first is the car now."""
        self._shown = BesideShown(tuple(lines), measures, self._close_up, self._at)
        self._lay_out()

    @property
    def layout_shown(self) -> BesideLayout | None:
        """Where everything stands now."""
        return self._layout

    @property
    def read_at(self) -> float | None:
        """Where the curves are read [m], None where they are not."""
        return self._at

    def look_closer(self, closer: bool) -> None:
        """Start the speed axis above 0, or at 0."""
        self._close_up = closer
        self._renew()

    def read(self, distance: float | None) -> None:
        """Read all curves at a distance [m], or take the reading away."""
        self._at = distance
        self._renew()

    def _renew(self) -> None:
        if self._shown is not None:
            self.show_lines(self._shown.lines, self._shown.measures)

    def _lay_out(self) -> None:
        shown = self._shown
        if shown is None or self.width() < 2 or self.height() < 2:
            return
        size = QSizeF(self.width(), self.height())
        layout = self._layout = lay_out(shown, size)
        scale, frame = layout.scale, layout.scale.frame
        self._box.setRange(
            xRange=(scale.distance(0.0), scale.distance(size.width())),
            yRange=(
                scale.y_min - (size.height() - frame.bottom()) / scale.y_pixels,
                scale.y_max + frame.top() / scale.y_pixels,
            ),
            padding=0.0,
            disableAutoRange=True,
        )
        by_letter = {
            ord(line.letter) - ord("A"): curve
            for line, curve in zip(shown.lines, layout.curves, strict=True)
        }
        for place, item in enumerate(self._curves):
            curve = by_letter.get(place)
            if curve is None:
                item.setVisible(False)
                continue
            item.setData(*_above(*curve, scale.y_min))
            item.setVisible(True)
        self._box.updateMatrix()
        whole = QRectF(QPointF(), size)
        for layer in (self._paper, self._marks):
            layer.set_rect(whole)
        self._describe()

    def _dress(self) -> None:
        theme = themes.current()
        self.setBackground(theme.ground)
        for place, item in enumerate(self._curves):
            item.setPen(pen_of(place, theme))
        self.setMinimumSize(px(320), px(150))
        self._lay_out()

    # Painting ------------------------------------------------------------------------------

    def _paint_paper(self, painter: QPainter) -> None:
        layout = self._layout
        if layout is None:
            return
        theme, frame, one = themes.current(), layout.scale.frame, px(1)
        painter.setRenderHint(layers.AA, False)
        for y in layout.grid:
            layers.horizontal(painter, frame.left(), frame.right(), y, theme.rule, one)
        layers.horizontal(painter, frame.left(), frame.right(), frame.bottom(), theme.line, one)
        for x in layout.marks:
            layers.vertical(painter, x, frame.bottom(), frame.bottom() + px(4), theme.line, one)
        if layout.target is not None:
            painter.setPen(layers.dashed(theme.ink, px(7), px(5), float(one)))
            y = round(layout.target) + 0.5 * one
            painter.drawLine(QLineF(frame.left(), y, frame.right(), y))

    def _paint_marks(self, painter: QPainter) -> None:
        layout, shown = self._layout, self._shown
        if layout is None or shown is None:
            return
        theme, frame, one = themes.current(), layout.scale.frame, px(1)
        if layout.cross is not None:
            painter.setRenderHint(layers.AA, False)
            layers.vertical(painter, layout.cross, frame.top(), frame.bottom(), theme.ink, one)
        layers.paint_labels(painter, layout.texts, theme)
        self._paint_leaders(painter, layout, theme)
        self._paint_rings(painter, layout, shown, theme)
        self._paint_names(painter, layout, shown, theme)
        if self.hasFocus():
            painter.setRenderHint(layers.AA, False)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            pen = QPen(theme.accent, one)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(QRectF(self.rect()).adjusted(one / 2, one / 2, -one / 2, -one / 2))

    def _paint_leaders(self, painter: QPainter, layout: BesideLayout, theme: Theme) -> None:
        painter.setRenderHint(layers.AA)
        painter.setPen(QPen(theme.line, px(1)))
        start, finish = layout.columns[2] - px(6), layout.columns[1] + px(6)
        half = words("A", "name").ascent / 2 - px(2)
        for label in layout.labels:
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
                letter.draw(painter, ring.x(), ring.y() - px(9), colour, CENTRE)

    def _paint_names(
        self, painter: QPainter, layout: BesideLayout, shown: BesideShown, theme: Theme
    ) -> None:
        names, figures, start = layout.columns
        room = figures - names - px(8)
        painter.setRenderHint(layers.AA, False)
        ascent, height = words("A", "name").ascent, words("A", "name").height
        for label in layout.labels:
            wide = figures - start + px(6)
            plate = QRectF(start - px(3), label.baseline - ascent, wide, height)
            painter.fillRect(plate, theme.ground)
        for label in layout.labels:
            line = shown.lines[label.place]
            is_now = line.letter == "A"
            colour = theme.accent if is_now else theme.ink
            figure = words(label.figure, "figure")
            name = words(_cut(line.name, room - figure.width), "name_chosen" if is_now else "body")
            words(line.letter, "figure").draw(painter, start, label.baseline, colour)
            name.draw(painter, names, label.baseline, colour)
            figure.draw(painter, figures, label.baseline, colour, RIGHT)

    # Words for a screen reader -------------------------------------------------------------

    def _describe(self) -> None:
        shown = self._shown
        if shown is None:
            return
        texts = []
        for line in shown.lines:
            prediction = line.forecast.prediction
            speed = None if prediction is None else prediction.road_speed
            if self._at is not None:
                speed = speed_at(line.forecast, self._at)
            said = "no speed" if speed is None else shown.measures.speed(KMH.from_si(speed))
            texts.append(f"{line.letter}, {line.name}: {said}")
        where = "" if self._at is None else f"at {shown.measures.road(self._at)}: "
        self.setAccessibleDescription(where + "; ".join(texts))

    # Hands ---------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_marks"):
            self._lay_out()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        layout, shown = self._layout, self._shown
        if layout is None or shown is None:
            return
        self._by_key = False
        distance = layout.scale.distance(event.position().x())
        inside = 0.0 <= distance <= layout.scale.x_max
        self.read(distance * shown.measures.road_unit.factor if inside else None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def leaveEvent(self, event: QEvent) -> None:
        if not self._by_key:
            self.read(None)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._marks.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._marks.update()
        if self._by_key:
            self._by_key = False
            self.read(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        shown, layout = self._shown, self._layout
        if shown is None or layout is None:
            event.ignore()
            return
        key = event.key()
        if key == Qt.Key.Key_Z and not event.modifiers():
            self.look_closer(not self._close_up)
            return
        if key == Qt.Key.Key_Escape and self._at is not None:
            self.read(None)
            return
        factor = shown.measures.road_unit.factor
        end = layout.scale.x_max * factor
        step = factor * (10 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1)
        now = shown.lines[0].forecast.prediction
        here = self._at
        first = 0.5 * end if now is None else now.lift_at
        places = {
            Qt.Key.Key_Left: first if here is None else here - step,
            Qt.Key.Key_Right: first if here is None else here + step,
            Qt.Key.Key_Home: 0.0,
            Qt.Key.Key_End: end,
        }
        if key not in places:
            event.ignore()
            return
        self._by_key = True
        self.read(min(max(places[Qt.Key(key)], 0.0), end))


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


def _cut(text: str, room: float) -> str:
    return themes.metrics("name_chosen").elidedText(text, Qt.TextElideMode.ElideRight, room)
