"""Files dropped onto the window: a sheet that says what would come in, and then it comes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QDropEvent, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.painter import CENTRE, fitted, painting
from pennyspeed.desktop.widgets.theme import px

LINE = 24


class DropSheet(QWidget):
    """What would come in, over the whole window while files hang above it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.heading, self.lines = "", [""]
        self.takes = False
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def say(self, paths: Sequence[Path]) -> None:
        """Show what letting go of these files would do."""
        from pennyspeed.services.importers.dropped_files import DroppedFiles

        files = DroppedFiles.of(paths)
        self.heading, self.lines, self.takes = files.heading, files.lines, files.are_taken
        self.setAccessibleName(". ".join((self.heading, *self.lines)))
        parent = self.parentWidget()
        assert parent is not None
        self.setGeometry(parent.rect())
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colours = painter.theme
            veil = QColor(colours.ground)
            veil.setAlphaF(0.86)
            painter.qt_painter.fillRect(event.rect(), veil)
            room = min(px(560), self.width() - px(64))
            high = px(88) + px(LINE) * len(self.lines)
            box = QRectF((self.width() - room) / 2, (self.height() - high) / 2, room, high)
            painter.qt_painter.setBrush(colours.tint if self.takes else colours.side)
            pen = QPen(colours.accent if self.takes else colours.line, px(2))
            # A dashed frame where something would land, a plain one where nothing would.
            pen.setStyle(Qt.PenStyle.DashLine if self.takes else Qt.PenStyle.SolidLine)
            painter.qt_painter.setPen(pen)
            painter.qt_painter.drawRect(box)
            middle = self.width() / 2
            line = box.top() + px(44)
            words = room - px(48)
            painter.text(middle, line, self.heading, "heading", colours.ink, CENTRE, words)
            for text in self.lines:
                line += px(LINE)
                shown = fitted(text, "body", words).text
                painter.text(middle, line, shown, "body", colours.ink2, CENTRE)


class DropGround(QObject):
    """Watches a window for files that are dragged over it, whatever part of it they are over.

    Parameters
    ----------
    window : QWidget
        Shown already.
    take : callable
        Called with the files that were let go.

    Signals
    -------
    dropped()
    """

    dropped = Signal()

    def __init__(self, window: QWidget, take: Callable[[list[Path]], None]) -> None:
        super().__init__(window)
        self._take = take
        self.sheet = DropSheet(window)
        window.setAcceptDrops(True)
        handle = window.windowHandle()
        assert handle is not None
        # The native window hears of a drag before any line or plot in it could take the file.
        handle.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if kind == QEvent.Type.DragLeave:
            self.sheet.hide()
            return False
        if kind not in (QEvent.Type.DragEnter, QEvent.Type.DragMove, QEvent.Type.Drop):
            return False
        assert isinstance(event, QDropEvent)
        paths = files_in(event)
        if not paths:
            return False  # text that is dragged into a line is the line's
        if kind == QEvent.Type.Drop:
            self.sheet.hide()
            event.acceptProposedAction()
            self._take(paths)
            self.dropped.emit()
        else:
            if not self.sheet.isVisible():
                self.sheet.say(paths)
            event.setDropAction(Qt.DropAction.CopyAction)
            event.setAccepted(self.sheet.takes)
        return True


def files_in(event: QDropEvent) -> list[Path]:
    """Return the files that a drag carries."""
    return [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
