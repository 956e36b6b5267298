"""Canvas: what every chart shares: layers, focus, the crosshair and its card, copying and saving.

A chart says where things stand and what is read at a place; pointer, keys and painting are here.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QShowEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsView, QWidget

from pennyspeed.desktop.charts.card import Card
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.layout import Layout
from pennyspeed.desktop.charts.painting import Layer, paint_empty, paint_frame, paint_marks
from pennyspeed.desktop.charts.plot_keys import PLOT as PLOT
from pennyspeed.desktop.charts.reader import Crosshair, Reader
from pennyspeed.desktop.charts.strokes import AA
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.results import LateLift
from pennyspeed.services.charts.no_curve import empty_words
from pennyspeed.services.prediction.forecast import Forecast

if TYPE_CHECKING:
    from pennyspeed.services.charts.table import Table


class Canvas(pg.GraphicsView):  # type: ignore[misc]
    """A chart of one car; :meth:`show_forecast` is all it needs.

    Arrow keys move a reading along the curves (Shift: ten steps, Home and End: their ends, L: the
    next marked point), Ctrl+C copies it, Ctrl+S saves the chart, Escape takes the reading away.

    Signals
    -------
    saved(str), troubled(str)
        The chart was written, or could not be: one sentence.
    """

    keys = PLOT
    saved = Signal(str)
    troubled = Signal(str)

    NAME = ""
    """What the chart shows, as its file and a screen reader call it."""
    HEIGHT, LEAST_HEIGHT = 328, 180
    HAS_CLOSE_UP = False
    """Whether Z looks closer at the fast end."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.CrossCursor)
        # A cached background is a picture as large as the chart, for one fill.
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheNone)
        self.setAccessibleName(self.NAME)
        self.shown: ChartInput | None = None
        """What it was asked to show last."""
        self._layout = Layout()
        self._is_stale = False
        self._is_saved = False
        self.reader = Reader()
        self._by_key = False
        self._card = QRectF()
        self._layers = [Layer(self._paint_back, -200), Layer(self._paint_front, 10)]
        self._cross_layer = Layer(self._paint_cross, 20)
        for layer in (*self._layers, self._cross_layer):
            self.scene().addItem(layer)
        themes.keeper().changed.connect(self._dress)
        self._dress()

    def sizeHint(self) -> QSize:
        return QSize(px(822), px(self.HEIGHT))

    def close(self) -> bool:
        """Close like any widget; pyqtgraph's own way crashes when it is asked twice."""
        return bool(QGraphicsView.close(self))

    # For a chart to say ----------------------------------------------------------------------

    def _lay_out(self, shown: ChartInput, size: QSizeF) -> Layout:
        """Return where everything stands."""
        raise NotImplementedError

    @property
    def card(self) -> Card | None:
        """What is read at the pointer or by the keys, None where nothing is."""
        raise NotImplementedError

    @property
    def summary(self) -> str:
        """The whole chart in sentences."""
        raise NotImplementedError

    def table(self) -> Table | None:
        """Return the curves as columns of figures; None where there are none."""
        raise NotImplementedError

    def _empty_words(self, shown: ChartInput) -> tuple[str, str]:
        """Return heading and sentence in place of a curve."""
        return empty_words(shown.forecast)

    # What it shows ---------------------------------------------------------------------------

    def show_forecast(
        self,
        forecast: Forecast,
        measures: Measures,
        ghost: Forecast | None = None,
        ghost_name: str = "",
        late: LateLift | None = None,
    ) -> None:
        """Show a car, and beside it the same car with `ghost_name` tried in a slot.

        `late` is the late lift that is asked for. What is not in sight is laid out when it comes
        into sight.
        """
        close_up = self.shown.close_up if self.shown is not None else False
        self._show(ChartInput(forecast, measures, ghost, ghost_name, close_up, late))

    def look_closer(self, closer: bool) -> None:
        """Start the upright axis above 0, or at 0 again."""
        if self.shown is not None:
            self._show(replace(self.shown, close_up=closer))

    def _show(self, shown: ChartInput) -> None:
        self.shown = shown
        self._renew()

    @property
    def layout_shown(self) -> Layout:
        """Where everything stands now."""
        self.settle()
        return self._layout

    @property
    def has_curve(self) -> bool:
        """Whether there is something to read."""
        return self._layout.end > 0.0

    def read_at(self, place: float | None) -> None:
        """Put the reading at a place along the curves, or take it away."""
        self.reader.place = place
        self._move_cross()

    @property
    def _read(self) -> float | None:
        """The place that is read; None where nothing is."""
        return self.reader.at(self._layout)

    def settle(self) -> None:
        """Lay out what was put off because nobody saw it."""
        shown = self.shown
        if not self._is_stale or shown is None or self.width() < 2 or self.height() < 2:
            return
        self._is_stale = False
        self._layout = self._lay_out(shown, QSizeF(self.size()))
        for layer in self._layers:
            layer.set_rect(QRectF(self.rect()))
        self._move_cross()

    def _dress(self) -> None:
        """Take colours, line widths and text size anew."""
        self.setBackground(themes.current().ground)
        self.setMinimumSize(px(320), px(self.LEAST_HEIGHT))
        self._renew()

    def _renew(self) -> None:
        self._is_stale = self.shown is not None
        if self.isVisible():
            self.settle()

    # Painting --------------------------------------------------------------------------------

    def paint_picture(self, painter: QPainter) -> None:
        """Paint what is in sight, without the focus, on another device."""
        self.settle()
        self._is_saved = True
        try:
            whole = QRectF(self.rect())
            painter.fillRect(whole, themes.current().ground)
            self.scene().render(painter, whole, whole)
        finally:
            self._is_saved = False

    def drawBackground(self, painter: QPainter, rect: QRectF) -> None:
        if not self._is_saved:
            super().drawBackground(painter, rect)

    def _paint_back(self, painter: QPainter) -> None:
        for frame in self._layout.frames:
            paint_frame(painter, frame, themes.current())

    def _paint_front(self, painter: QPainter) -> None:
        theme, layout, shown = themes.current(), self._layout, self.shown
        if shown is not None:
            self._paint_marks(painter, layout, theme)
            if not self.has_curve:
                box = layout.frames[0].scale.frame if layout.frames else QRectF(self.rect())
                paint_empty(painter, box, *self._empty_words(shown), theme)
        if self.hasFocus() and not self._is_saved:
            painter.setRenderHint(AA, False)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            pen = QPen(theme.accent, px(1))
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            inset = px(1) / 2
            painter.drawRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset))

    def _paint_marks(self, painter: QPainter, layout: Layout, theme: Theme) -> None:
        """Draw what stands over the curves."""
        paint_marks(painter, layout, theme)

    # Reading ---------------------------------------------------------------------------------

    def crosshair(self) -> Crosshair | None:
        """Return where the crosshair stands; None where nothing is read."""
        return self.reader.crosshair(self._layout)

    def _move_cross(self) -> None:
        self._describe()
        cross, card = self.crosshair(), self.card
        if cross is None or card is None:
            self._cross_layer.set_rect(QRectF())
            return
        self._card = card.place(cross)
        self._cross_layer.set_rect(self._card.adjusted(-2, -2, 2, 2).united(cross.box))

    def _paint_cross(self, painter: QPainter) -> None:
        cross, card = self.crosshair(), self.card
        if cross is None or card is None:
            return
        theme = themes.current()
        cross.paint(painter, theme)
        card.paint(painter, self._card, theme)

    def _describe(self) -> None:
        if self.shown is None:
            return
        card = self.card
        text = self.summary if card is None else card.sentence
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)

    def copy_values(self) -> str:
        """Copy what is read, or the sentences where nothing is; return the text."""
        card = self.card
        text = self.summary if card is None else card.text
        QGuiApplication.clipboard().setText(text)
        return text

    # Events ----------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.settle()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_layers"):
            self._renew()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if not self._is_stale and self.has_curve:
            self._by_key = False
            self.read_at(self.reader.place_under(self._layout, event.position()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        from pennyspeed.desktop.charts.saving import open_menu

        open_menu(self, event.globalPos())

    def leaveEvent(self, event: QEvent) -> None:
        if not self._by_key:
            self.read_at(None)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._layers[-1].update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._layers[-1].update()
        if self._by_key and event.reason() is not Qt.FocusReason.PopupFocusReason:
            self._by_key = False
            self.read_at(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.has_curve or not self._do_key(event):
            event.ignore()

    def _do_key(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; False where it asks for nothing here."""
        key = event.key()
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_values()
        elif event.matches(QKeySequence.StandardKey.Save):
            from pennyspeed.desktop.charts.saving import ask_and_save

            ask_and_save(self)
        elif key == Qt.Key.Key_Escape and self.reader.place is not None:
            self.read_at(None)
        elif key == Qt.Key.Key_Z and not event.modifiers() and self.HAS_CLOSE_UP:
            self.look_closer(self.shown is not None and not self.shown.close_up)
        else:
            return self.read_by(event)
        return True

    def read_by(self, event: QKeyEvent) -> bool:
        """Move the reading as a key asks for; False where it does not."""
        place = self.reader.place_by(self._layout, event) if self.has_curve else None
        if place is None:
            return False
        self._by_key = True
        self.read_at(place)
        return True
