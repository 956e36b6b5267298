"""Own keys: what a widget keeps for itself although the window has a shortcut for it."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent


class OwnKeys:
    """Comes before a widget that keeps keys for itself while it has the keyboard."""

    def is_own(self, event: QKeyEvent) -> bool:
        """Tell whether a key is the widget's, and not a shortcut of the window."""
        raise NotImplementedError

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if self.is_own(event):
                event.accept()
                return True
        return bool(super().event(event))  # type: ignore[misc]
