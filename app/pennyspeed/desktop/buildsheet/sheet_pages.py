"""Pages of a sheet on the screen, one under the other, as they will look on paper."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QImage, QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scrolling import ScrollBar
from pennyspeed.desktop.widgets.theme import px

GAP, MARGIN = 16, 24
WIDEST = 900
_REST_MS = 120


class _Stack(QWidget):
    """The pictures of the pages."""

    def __init__(self) -> None:
        super().__init__()
        self.images: tuple[QImage, ...] = ()
        self.is_framed = False
        """Whether a frame around what is in sight says that the keyboard is here."""

    def show_images(self, images: Sequence[QImage]) -> None:
        self.images = tuple(images)
        self.setMinimumHeight(self.sizeHint().height())
        self.update()

    def sizeHint(self) -> QSize:
        tall = sum(image.deviceIndependentSize().height() + px(GAP) for image in self.images)
        return QSize(0, round(tall) + px(GAP))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "side") as painter:
            y = px(GAP)
            for image in self.images:
                size = image.deviceIndependentSize()
                x = round((self.width() - size.width()) / 2)
                if y < event.rect().bottom() and y + size.height() > event.rect().top():
                    painter.qt_painter.drawImage(x, y, image)
                    box = QRect(QPoint(x, y), size.toSize()).adjusted(-1, -1, 1, 1)
                    painter.frame(box, painter.theme.line)
                y += round(size.height()) + px(GAP)
            if self.is_framed:
                painter.frame(self.visibleRegion().boundingRect(), painter.theme.accent)


class SheetPages(QScrollArea):
    """The pages, to scroll through by arrow and page keys.

    Signals
    -------
    resized()
        There is another width to fill, and it has rested.
    """

    resized = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(ScrollBar("side", self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.stack = _Stack()
        self.setWidget(self.stack)
        self._rest = QTimer(self, singleShot=True, interval=_REST_MS)
        self._rest.timeout.connect(self.resized)

    @property
    def page_pixels(self) -> int:
        """How many of the screen's pixels a page is to be wide."""
        room = min(self.viewport().width() - 2 * px(MARGIN), px(WIDEST))
        return max(round(room * self.devicePixelRatioF()), 100)

    def show_pages(self, images: Sequence[QImage], words: str) -> None:
        """Show pictures of pages, and say what they are to a screen reader."""
        for image in images:
            image.setDevicePixelRatio(self.devicePixelRatioF())
        self.stack.show_images(images)
        self.setAccessibleName(f"Sheet, {len(images)} pages")
        self.setAccessibleDescription(words)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._rest.start()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self.verticalScrollBar()
        ends = {Qt.Key.Key_Home: bar.minimum(), Qt.Key.Key_End: bar.maximum()}
        if event.key() in ends:
            bar.setValue(ends[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self.stack.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._frame(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._frame(False)

    def _frame(self, is_framed: bool) -> None:
        self.stack.is_framed = is_framed
        self.stack.update()
