"""Scrolling: slim bars, and an area that scrolls up and down."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QScrollArea, QScrollBar, QWidget

from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.painter import Ground, painting
from pennyspeed.desktop.widgets.theme import px


class ScrollBar(QScrollBar):
    """A scroll bar without buttons or frame, as wide as a finger's nail and no wider."""

    def __init__(
        self,
        ground: Ground,
        parent: QWidget | None = None,
        orientation: Qt.Orientation = Qt.Orientation.Vertical,
    ) -> None:
        super().__init__(orientation, parent)
        self._ground: Ground = ground

    def sizeHint(self) -> QSize:
        across, along = px(8), px(40)
        is_upright = self.orientation() == Qt.Orientation.Vertical
        return QSize(across, along) if is_upright else QSize(along, across)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colours = painter.theme
            painter.qt_painter.fillRect(event.rect(), getattr(colours, self._ground))
            span = self.maximum() - self.minimum() + self.pageStep()
            if span > 0:
                is_upright = self.orientation() == Qt.Orientation.Vertical
                way = self.height() if is_upright else self.width()
                long = max(round(way * self.pageStep() / span), px(24))
                reach = max(self.maximum() - self.minimum(), 1)
                start = round((way - long) * (self.value() - self.minimum()) / reach)
                is_held = self.isSliderDown() or self.underMouse()
                colour = colours.ink3 if is_held else colours.line
                if is_upright:
                    painter.qt_painter.fillRect(px(2), start, self.width() - px(4), long, colour)
                else:
                    if self.isRightToLeft():
                        start = way - long - start
                    painter.qt_painter.fillRect(start, px(2), long, self.height() - px(4), colour)


def make_bare(view: QAbstractItemView, ground: Ground = "ground") -> None:
    """Leave a view without frame, sideways scrolling, Qt's editors and stops of the Tab key."""
    view.setFrameShape(QFrame.Shape.NoFrame)
    view.setVerticalScrollBar(ScrollBar(ground, view))
    view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    view.setTabKeyNavigation(False)


def frame_focus(view: QAbstractItemView, top: int, height: int) -> None:
    """Frame a view that has the keyboard, unless the row where it stands is in sight."""
    if view.hasFocus() and not (height > 0 and top + height > 0 and top < view.viewport().height()):
        with painting(view.viewport()) as painter:
            focus_ring(painter, view.viewport())


class ScrollArea(QScrollArea):
    """What may be taller than its place: as wide as that, and scrolled up and down."""

    def __init__(self, inside: QWidget, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(ScrollBar("ground", self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(inside)
