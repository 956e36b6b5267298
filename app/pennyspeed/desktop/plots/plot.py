"""Plot: what every view shares: layers, focus, the crosshair and its card, copying and saving.

A view says where things stand and what is read at a place; pointer, keys and words are here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QContextMenuEvent,
    QEnterEvent,
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

from pennyspeed.desktop.plots import layers
from pennyspeed.desktop.plots.card import Card, Cross
from pennyspeed.desktop.plots.placed import Shown
from pennyspeed.desktop.plots.speech import empty_words
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.keys import LEFT, RIGHT, KeyMap, KeyRow
from pennyspeed.desktop.widgets.painter import wrapped
from pennyspeed.desktop.widgets.theme import CENTRE, Theme, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.forecast import Forecast

if TYPE_CHECKING:
    from pennyspeed.desktop.plots.tables import Table


PLOT = KeyMap(
    "plot",
    "In a plot",
    (
        KeyRow((LEFT, RIGHT), "read along the curve"),
        KeyRow(("L",), "marked point"),
        KeyRow(("Ctrl C",), "copy"),
        KeyRow(("Ctrl S",), "save the plot"),
    ),
)


class Plot(pg.GraphicsView):  # type: ignore[misc]
    """A view of one car; :meth:`show_forecast` is all it needs.

    Arrow keys move a reading along the curves (Shift: ten steps, Home and End: their ends, L: the
    next marked point), Ctrl+C copies it, Ctrl+S saves the plot, Escape takes the reading away.

    Signals
    -------
    saved(str), troubled(str)
        The plot was written, or could not be: one sentence.
    """

    keys = PLOT
    saved = Signal(str)
    troubled = Signal(str)

    NAME = ""
    """What the plot shows, as its file and a screen reader call it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        # A cached background is a picture as large as the plot, for one fill.
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheNone)
        self.setAccessibleName(self.NAME)
        self._shown: Shown | None = None
        self._is_stale = False
        self._is_saved = False
        self._place: float | None = None
        self._by_key = False
        self._card = QRectF()
        self._prepare()
        self._layers = [
            layers.Layer(self._paint_paper, -200),
            layers.Layer(self._paint_marks, 10),
        ]
        self._cross_layer = layers.Layer(self._paint_cross, 20)
        for layer in (*self._layers, self._cross_layer):
            self.scene().addItem(layer)
        themes.keeper().changed.connect(self._dress)
        self._dress()

    def sizeHint(self) -> QSize:
        return QSize(px(822), px(328))

    def close(self) -> bool:
        """Close like any widget; pyqtgraph's own way crashes when it is asked twice."""
        return bool(QGraphicsView.close(self))

    # For a view to say -----------------------------------------------------------------------

    def _prepare(self) -> None:
        """Make the scene's items that are not layers."""

    def _arrange(self, shown: Shown, size: QSizeF) -> None:
        """Lay everything out."""
        raise NotImplementedError

    def _paint_back(self, painter: QPainter, theme: Theme) -> None:
        raise NotImplementedError

    def _paint_front(self, painter: QPainter, theme: Theme) -> None:
        raise NotImplementedError

    @property
    def has_curve(self) -> bool:
        """Whether there is something to read."""
        raise NotImplementedError

    @property
    def card(self) -> Card | None:
        """What is read at the pointer or by the keys, None where nothing is."""
        raise NotImplementedError

    @property
    def summary(self) -> str:
        """The whole plot in sentences."""
        raise NotImplementedError

    def table(self) -> Table | None:
        """Return the curves as columns of figures; None where there are none."""
        raise NotImplementedError

    def _empty_frame(self) -> QRectF:
        """Return where the words stand when there is no curve."""
        raise NotImplementedError

    def _crossing(self) -> Cross | None:
        """Return where the crosshair stands; None where nothing is read."""
        raise NotImplementedError

    def _place_under(self, point: QPointF) -> float | None:
        """Return the place of the curves under a pixel."""
        raise NotImplementedError

    def _end(self) -> float:
        """Return the last place."""
        raise NotImplementedError

    def _step(self) -> float:
        """Return how far an arrow key goes."""
        raise NotImplementedError

    def _stops(self) -> list[float]:
        """Return the marked places, rising."""
        raise NotImplementedError

    # What it shows ---------------------------------------------------------------------------

    def show_forecast(
        self,
        forecast: Forecast,
        measures: Measures,
        ghost: Forecast | None = None,
        ghost_name: str = "",
    ) -> None:
        """Show a car, and beside it the same car with `ghost_name` tried in a slot.

        What is not in sight is laid out when it comes into sight.
        """
        close_up = self._shown.close_up if self._shown is not None else False
        self._show(Shown(forecast, measures, ghost, ghost_name, close_up))

    def _show(self, shown: Shown) -> None:
        self._shown = shown
        self._is_stale = True
        if self.isVisible():
            self._lay_out()

    @property
    def shown(self) -> Shown | None:
        """What it was asked to show last."""
        return self._shown

    def read_at(self, place: float | None) -> None:
        """Put the reading at a place along the curves, or take it away."""
        self._place = place
        self._move_cross()

    def settle(self) -> None:
        """Lay out what was put off because nobody saw it."""
        if self._is_stale:
            self._lay_out()

    def _lay_out(self) -> None:
        shown = self._shown
        if shown is None or self.width() < 2 or self.height() < 2:
            return
        self._is_stale = False
        size = QSizeF(self.width(), self.height())
        self._arrange(shown, size)
        whole = QRectF(QPointF(), size)
        for layer in self._layers:
            layer.set_rect(whole)
        self._move_cross()

    def _dress(self) -> None:
        """Take colours, line widths and text size anew."""
        self.setBackground(themes.current().ground)
        self.setMinimumSize(px(320), px(180))
        self._is_stale = self._shown is not None
        if self.isVisible():
            self._lay_out()

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

    def _paint_paper(self, painter: QPainter) -> None:
        if self._shown is not None:
            self._paint_back(painter, themes.current())

    def _paint_marks(self, painter: QPainter) -> None:
        theme = themes.current()
        if self._shown is not None:
            self._paint_front(painter, theme)
            if not self.has_curve:
                self._paint_empty(painter, self._empty_frame())
        if self.hasFocus() and not self._is_saved:
            painter.setRenderHint(layers.AA, False)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            pen = QPen(theme.accent, px(1))
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            inset = px(1) / 2
            painter.drawRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset))

    def _paint_empty(self, painter: QPainter, frame: QRectF) -> None:
        assert self._shown is not None
        theme = themes.current()
        heading, text = empty_words(self._shown.forecast)
        rows = [words(heading, "heading")]
        rows += [words(line, "body") for line in wrapped(text, "body", 0.8 * frame.width())]
        y = frame.center().y() - px(24) * (len(rows) - 1) / 2
        for i, row in enumerate(rows):
            box = row.box(frame.center().x(), y, CENTRE)
            painter.fillRect(box.adjusted(-px(8), -px(2), px(8), px(2)), theme.ground)
            colour = theme.ink2 if i else theme.ink
            row.draw(painter, frame.center().x(), y, colour, CENTRE)
            y += px(24)

    def _move_cross(self) -> None:
        self._describe()
        cross, card = self._crossing(), self.card
        if cross is None or card is None:
            self._cross_layer.set_rect(QRectF())
            return
        self._card = card.place(cross)
        around = self._card.adjusted(-2, -2, 2, 2)
        for x, top, bottom in cross.lines:
            around = around.united(QRectF(x - px(8), top - px(8), px(16), bottom - top + px(16)))
        self._cross_layer.set_rect(around)

    def _paint_cross(self, painter: QPainter) -> None:
        cross, card = self._crossing(), self.card
        if cross is None or card is None:
            return
        theme = themes.current()
        painter.setRenderHint(layers.AA, False)
        for x, top, bottom in cross.lines:
            layers.vertical(painter, x, top, bottom, theme.ink, px(1))
        painter.setRenderHint(layers.AA)
        painter.setPen(Qt.PenStyle.NoPen)
        for at, colour in cross.dots:
            painter.setBrush(QBrush(getattr(theme, colour)))
            painter.drawEllipse(at, 4.5 * px(1), 4.5 * px(1))
        card.paint(painter, self._card, theme)

    def _describe(self) -> None:
        if self._shown is None:
            return
        card = self.card
        text = self.summary if card is None else card.sentence
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)

    # Hands -----------------------------------------------------------------------------------

    def copy_values(self) -> str:
        """Copy what is read, or the sentences where nothing is; return the text."""
        card = self.card
        text = self.summary if card is None else card.text
        QGuiApplication.clipboard().setText(text)
        return text

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.settle()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_layers"):
            self._is_stale = self._shown is not None
            if self.isVisible():
                self._lay_out()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if not self._is_stale and self._shown is not None and self.has_curve:
            self._by_key = False
            self.read_at(self._place_under(event.position()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        from pennyspeed.desktop.plots.saving import open_menu

        open_menu(self, event.globalPos())

    def enterEvent(self, event: QEnterEvent) -> None:
        self.setCursor(Qt.CursorShape.CrossCursor)

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
        if self._shown is None or not self.has_curve or not self._do_key(event):
            event.ignore()

    def _do_key(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; False where it asks for nothing here."""
        key = event.key()
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_values()
        elif event.matches(QKeySequence.StandardKey.Save):
            from pennyspeed.desktop.plots.saving import ask_and_save

            ask_and_save(self)
        elif key == Qt.Key.Key_Escape and self._place is not None:
            self.read_at(None)
        else:
            place = self._place_by(event)
            if place is None:
                return False
            self._by_key = True
            self.read_at(min(max(place, 0.0), self._end()))
        return True

    def _place_by(self, event: QKeyEvent) -> float | None:
        """Return the place to which a key leads; the first arrow leads to the first stop."""
        stops, here, key = self._stops() or [self._end()], self._place, event.key()
        step = self._step()
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            step *= 10
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            if here is None:
                return stops[0]
            return here - step if key == Qt.Key.Key_Left else here + step
        if key == Qt.Key.Key_Home:
            return 0.0
        if key == Qt.Key.Key_End:
            return self._end()
        if key == Qt.Key.Key_L:
            beyond = [] if here is None else [one for one in stops if one > here + 1e-9]
            return (beyond or stops)[0]
        return None


__all__ = ["Card", "Cross", "Plot"]
