"""Scaled: what a widget does about another text size when it sets lengths by hand."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect
from PySide6.QtWidgets import QStyle, QWidget


class Scaled:
    """Comes before a widget that sets lengths, so that they are set anew as the text grows.

    Qt itself repaints every widget and asks for its size hint again.
    """

    def rescale(self) -> None:
        """Set what is measured in :func:`px`."""
        raise NotImplementedError

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)  # type: ignore[misc]
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.LayoutDirectionChange):
            self.rescale()


def place(one: QWidget, box: QRect) -> None:
    """Place a widget inside its parent, by the distance from the parent's leading edge."""
    home = one.parentWidget()
    assert home is not None
    one.setGeometry(QStyle.visualRect(home.layoutDirection(), home.rect(), box))
