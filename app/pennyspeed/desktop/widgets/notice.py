"""Notice: what stands in a view's place while there is nothing to show, and what would help."""

from __future__ import annotations

from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.painter import CENTRE, painting
from pennyspeed.desktop.widgets.theme import px

MARGIN, LINE = 24, 24


class Notice(QWidget):
    """A heading and lines of help in the middle."""

    def __init__(self, parent: QWidget, title: str = "", *help: str) -> None:
        super().__init__(parent)
        self.say(title, *help)

    def say(self, title: str, *help: str) -> None:
        """Show a sentence and what would help, line by line."""
        self._title, self._help = title, help
        self.setAccessibleName(f"{title}. {' '.join(help)}")
        self.update()

    def first_line(self) -> int:
        """Return the baseline of the heading."""
        return max(px(32), self.height() // 2 - px(LINE) * max(len(self._help), 1) // 2)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            line = self.first_line()
            at, room = self.width() / 2, self.width() - 2 * px(MARGIN)
            painter.text(at, line, self._title, "heading", painter.theme.ink, CENTRE, room)
            for text in self._help:
                line += px(LINE)
                painter.text(at, line, text, "body", painter.theme.ink2, CENTRE, room)
