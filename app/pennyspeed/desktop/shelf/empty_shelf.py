"""What stands where the shelf has no rows: why, and what would help."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.notice import Notice
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px


class EmptyShelf(Scaled, Notice):
    """What stands where no row is; it may offer the demo parts.

    Signals
    -------
    brought()
        The person asks for them.
    """

    brought = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._button = Button("bring in the demo parts", self)
        self._button.clicked.connect(self.brought)

    def offer(self, demo: bool) -> None:
        """Offer the demo parts, or do not."""
        self._button.setVisible(demo)

    def rescale(self) -> None:
        hint = self._button.sizeHint()
        x = (self.width() - hint.width()) // 2
        self._button.setGeometry(x, self.first_line() + px(40), hint.width(), hint.height())

    def resizeEvent(self, event: object) -> None:
        self.rescale()
