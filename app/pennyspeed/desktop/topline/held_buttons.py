"""Held buttons: the builds held beside the car, in the top line, each a way to the view of both."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.inline.inline_field import PAD
from pennyspeed.desktop.topline.name_field import MenuButton
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.theme import px

TITLE = "beside"


class HeldBuildButton(MenuButton):
    """A held build's letter, with its name where there is room."""

    def __init__(self, letter: str, name: str, parent: QWidget) -> None:
        super().__init__(letter, f"{letter}, {name}: Enter shows it beside the car.", parent)
        self.letter, self.name = letter, name
        self.setAccessibleName(f"{letter}, {name}, held beside")

    def wide(self) -> QSize:
        """Return its size with the name."""
        name = theme.metrics("label").horizontalAdvance(self.name)
        return QSize(self.sizeHint().width() + px(6) + round(name), self.sizeHint().height())

    def sizeHint(self) -> QSize:
        width = theme.metrics("name_chosen").horizontalAdvance(self.letter)
        return QSize(round(width) + 2 * px(PAD), px(32))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            line = baseline(0, self.height(), "name_chosen")
            width = painter.text(px(PAD), line, self.letter, "name_chosen", painter.theme.ink)
            if self.width() >= self.wide().width():
                x = px(PAD) + width + px(6)
                painter.text(x, line, self.name, "label", painter.theme.ink2)
            if self.hasFocus():
                focus_ring(painter, self)
