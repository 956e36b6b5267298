"""Label: one line of text."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import baseline, painting


class Label(QWidget):
    """One line of text in a role's type; cut where there is no room."""

    def __init__(self, role: str, parent: QWidget | None = None, quiet: bool = False) -> None:
        super().__init__(parent)
        self._role, self._quiet, self.text = role, quiet, ""
        self._shorter = ""
        flex = QSizePolicy.Policy.Preferred
        self.setSizePolicy(flex, flex)

    def say(self, text: str, shorter: str = "") -> None:
        """Show another text, or a shorter one where it has no room."""
        if (text, shorter) != (self.text, self._shorter):
            self.text, self._shorter = text, shorter
            self.setAccessibleName(text)
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        measures = theme.metrics(self._role)
        return QSize(round(measures.horizontalAdvance(self.text)) + 1, round(measures.height()))

    def minimumSizeHint(self) -> QSize:
        return QSize(0, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colour = painter.theme.ink2 if self._quiet else painter.theme.ink
            line = baseline(0, self.height(), self._role)
            is_short = self._shorter and theme.words(self.text, self._role).width > self.width()
            text = self._shorter if is_short else self.text
            painter.text(0, line, text, self._role, colour, room=self.width())
