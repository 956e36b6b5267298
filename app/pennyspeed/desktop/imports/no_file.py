"""What stands in the middle while no file is open: why, and what can be done about it."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.layouts import order_tab
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level

MARGIN, MEASURE, LINE, TOP = 24, 560, 24, 64
HELP = (
    "Nothing was changed in it. Put the cause right and try again, or open another data file; a "
    "new one begins with the demo parts."
)


class NoFile(Scaled, QWidget):
    """The page.

    Signals
    -------
    again(), other(), new()
        The person tries the same file again, opens another one, or begins a new one.
    """

    again = Signal()
    other = Signal()
    new = Signal()

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence
        self.setAccessibleName("no file is open")
        self.setAccessibleDescription(f"{sentence} {HELP}")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.buttons = [
            Button("try again", self),
            Button("open another data file", self),
            Button("begin a new data file", self),
        ]
        for button, signal in zip(self.buttons, (self.again, self.other, self.new), strict=True):
            button.clicked.connect(signal)
        order_tab(*self.buttons)
        self.rescale()

    def _lines(self) -> tuple[list[str], list[str]]:
        room = max(min(px(MEASURE), self.width() - 2 * px(MARGIN) - px(28)), px(160))
        return wrapped(self.sentence, "name_chosen", room), wrapped(HELP, "body", room)

    def rescale(self) -> None:
        sentence, help = self._lines()
        y = px(TOP) + px(LINE) * (len(sentence) + len(help)) + px(24)
        for button in self.buttons:
            size = button.sizeHint()
            place(button, QRect(QPoint(px(MARGIN) + px(24), y), size))
            y += size.height() + px(8)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.rescale()

    def focusInEvent(self, event: QFocusEvent) -> None:
        self.buttons[0].setFocus(event.reason())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        here = next((i for i, button in enumerate(self.buttons) if button.hasFocus()), 0)
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
        else:
            place = min(max(here + step, 0), len(self.buttons) - 1)
            self.buttons[place].setFocus(Qt.FocusReason.OtherFocusReason)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            sentence, help = self._lines()
            y = px(TOP)
            painter.sign(px(MARGIN), y + px(4), px(16), Level.STOP)
            for text in sentence:
                line = baseline(y, px(LINE), "name_chosen")
                painter.text(px(MARGIN + 28), line, text, "name_chosen", colours.ink)
                y += px(LINE)
            y += px(4)
            for text in help:
                line = baseline(y, px(LINE), "body")
                painter.text(px(MARGIN + 28), line, text, "body", colours.ink2)
                y += px(LINE)
