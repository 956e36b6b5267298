"""Ground: what a panel stands on, and how it takes up what changed while nobody looked."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop import theme


class Ground(QWidget):
    """A panel on the window's ground."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme.current().ground)
        painter.end()


class PutOff(Ground):
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
