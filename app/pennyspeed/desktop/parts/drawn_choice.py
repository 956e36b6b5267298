"""A choice whose words have small drawings: bodies, tyres and what gears are made of."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QSize
from PySide6.QtGui import QIcon, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.form import Choice
from pennyspeed.desktop.widgets.line_edit import rule_below
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.theme import px

DRAWN = ("shape", "construction", "material")
"""Keys of the fields whose words are drawn."""
SIDE = 24


def drawing_of(word: str) -> str:
    """Return the name of a word's drawing.

    >>> drawing_of("touring or GT")
    'choices/touring-or-gt'
    """
    return "choices/" + word.casefold().replace(" ", "-")


class DrawnChoice(Choice):
    """A choice with a drawing beside each word."""

    def __init__(self, words: Iterable[tuple[str, str]], parent: QWidget) -> None:
        super().__init__(words, parent)
        self._draw()

    def _draw(self) -> None:
        side = px(SIDE)
        self.setIconSize(QSize(side, side))
        for i in range(self.count()):
            key = self.itemData(i)
            if key:
                drawing = theme.icon(drawing_of(key), theme.current().ink, side)
                self.setItemIcon(i, QIcon(drawing))

    def showPopup(self) -> None:
        self._draw()
        super().showPopup()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colours, side = painter.theme, px(14)
            line = baseline(0, self.height(), "body")
            end = self.width() - side - px(4)
            start = px(2)
            if self.currentData():
                top = (self.height() - px(SIDE)) / 2
                painter.icon(start, top, px(SIDE), drawing_of(self.currentData()), colours.ink)
                start += px(SIDE + 6)
            painter.text(start, line, self.currentText(), "body", colours.ink, room=end - start)
            painter.icon(end, line - px(5) - side / 2, side, "chevron-down", colours.ink2)
            rule_below(painter, self)
