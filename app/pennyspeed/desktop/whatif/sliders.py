"""Sliders: the road and the air as figures that are dragged."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSlider, QWidget

from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.condition_ranges import ConditionRange

SLIDER_ROW = 40


class PlainSlider(QSlider):
    """A slider drawn like the plots: a line, a tick at the kept value, a ring to hold."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.kept = 0
        """Where the build stands, whatever is being dragged."""
        self.setFixedHeight(px(20))

    def _x(self, value: int) -> float:
        span = max(self.maximum() - self.minimum(), 1)
        share = (value - self.minimum()) / span
        if self.isRightToLeft():
            share = 1.0 - share
        return px(8) + share * (self.width() - 2 * px(8))

    def _value_at(self, x: float) -> int:
        share = (x - px(8)) / max(self.width() - 2 * px(8), 1)
        if self.isRightToLeft():
            share = 1.0 - share
        return round(self.minimum() + share * (self.maximum() - self.minimum()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self.setSliderDown(True)
        self.setValue(self._value_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self.isSliderDown():
            self.setValue(self._value_at(event.position().x()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self.setSliderDown(False)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            p, colours = painter.qt_painter, painter.theme
            middle = self.height() // 2
            painter.fill(px(8), middle, self.width() - 2 * px(8), px(1), colours.line)
            kept = round(self._x(self.kept))
            p.fillRect(kept, middle - px(6), px(1), px(13), colours.ink)
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            here = self._x(self.value())
            left, right = sorted((float(kept), here))
            p.fillRect(QRectF(left, middle - 1, right - left, px(3)), colours.accent)
            p.setPen(QPen(colours.accent, 2.5 * px(1)))
            p.setBrush(colours.accent if self.hasFocus() else colours.ground)
            p.drawEllipse(QPointF(here, middle + 0.5), 6 * px(1), 6 * px(1))
            if self.hasFocus():
                p.setRenderHint(QPainter.RenderHint.Antialiasing, False)
                focus_ring(painter, self)


class SliderRow(Scaled, QWidget):
    """A name, a slider and the value.

    Signals
    -------
    moved(float)
        A person moved the slider to a value.
    """

    moved = Signal(float)

    def __init__(self, condition: ConditionRange, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.condition = condition
        self._measures = Measures()
        self.label = Label("body", self, quiet=True)
        self.label.say(condition.label)
        self.label.setToolTip(condition.help)
        self.figure = Label("figure", self)
        self.slider = PlainSlider(self)
        self.slider.setAccessibleName(condition.label)
        self.slider.setToolTip(condition.help)
        self.slider.valueChanged.connect(self._slid)
        self.rescale()

    def rescale(self) -> None:
        self.slider.setFixedHeight(px(20))
        self.setFixedHeight(px(SLIDER_ROW))
        self._place()

    @property
    def is_kept(self) -> bool:
        """Whether the slider stands at the build's own value."""
        return self.slider.value() == self.slider.kept

    def show_value(self, value: float, measures: Measures, tried: float | None = None) -> None:
        """Mark a build's own value, and stand there or at the one that is tried."""
        condition, slider = self.condition, self.slider
        self._measures = measures
        ticks = round(value / condition.step)
        slider.blockSignals(True)
        slider.setRange(
            min(round(condition.low / condition.step), ticks),
            max(round(condition.high / condition.step), ticks),
        )
        slider.setPageStep(max(round(0.1 * (condition.high - condition.low) / condition.step), 1))
        slider.setValue(ticks if tried is None else round(tried / condition.step))
        slider.kept = ticks
        slider.blockSignals(False)
        slider.update()
        self._say(value if tried is None else tried)

    def _slid(self, ticks: int) -> None:
        value = round(ticks * self.condition.step, 6)
        self._say(value)
        self.moved.emit(value)

    def _say(self, value: float) -> None:
        said = self.condition.said(value, self._measures)
        self.figure.say(said)
        self.slider.setAccessibleDescription(said)
        self._place()

    def _place(self) -> None:
        wide = self.width()
        high = px(20)
        figure = min(self.figure.sizeHint().width(), wide - px(80))
        boxes = (
            (self.label, 0, 0, wide - figure - px(8), high),
            (self.figure, wide - figure, 0, figure, high),
            (self.slider, -px(8), high, wide + 2 * px(8), high),
        )
        mirrored = self.isRightToLeft()
        for one, x, y, width, height in boxes:
            left = max(wide - x - width if mirrored else x, 0)
            one.setGeometry(left, y, min(width, wide), height)

    def resizeEvent(self, event: QEvent) -> None:
        self._place()
