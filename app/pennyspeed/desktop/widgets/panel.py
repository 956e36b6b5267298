"""Panel: its background, how Escape closes it, and how it catches up with what changed."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import painting


class Panel(QWidget):
    """A panel on the window's ground."""

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground"):
            pass


class ClosablePanel(OwnKeys, Panel):
    """A panel in place of others, which Escape leaves whatever the window would do with it."""

    closed = Signal()

    def leave(self) -> None:
        self.closed.emit()

    def is_own(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_Escape

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        else:
            super().keyPressEvent(event)


class LazyPanel(Panel):
    """A panel that puts work off while nobody looks."""

    _is_stale = True

    def refresh(self) -> None:
        """Show what is the case now."""
        self._is_stale = False

    def _changed(self) -> None:
        if self.isVisible():
            self.refresh()
        else:
            self._is_stale = True

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self.refresh()
