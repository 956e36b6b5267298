"""Page: what takes the window's middle for a while; Escape goes back."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill_column, order_tab
from pennyspeed.desktop.widgets.painter import painting, wrapped
from pennyspeed.desktop.widgets.panel import ClosablePanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.tables.painted_table import PaintedTable
from pennyspeed.desktop.widgets.theme import px

HEAD, FOOT, MARGIN, LINE = 48, 48, 24, 20
PUSH = 4
"""So far inside its edge a verb begins."""


class Paragraph(Scaled, QWidget):
    """A sentence in up to so many lines: what a row has no room for."""

    def __init__(self, lines: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._most, self.text = lines, ""
        self.setAccessibleName("the whole of it")
        self.rescale()

    def say(self, text: str) -> None:
        """Show another sentence."""
        if text != self.text:
            self.text = text
            self.setAccessibleDescription(text)
            self.setToolTip(text)
            self.update()

    def rescale(self) -> None:
        self.setFixedHeight(px(LINE) * self._most + px(8))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            room = self.width() - 2 * px(MARGIN)
            lines = wrapped(self.text, "label", room)
            # What is more than the lines hold is cut at the end of the last one.
            shown = [*lines[: self._most - 1], " ".join(lines[self._most - 1 :])]
            ink = painter.theme.ink2
            painter.lines(px(MARGIN), px(4), px(LINE), shown, "label", ink, room)


class Page(Scaled, ClosablePanel):
    """A title, what the page is about, and below it a line of verbs and one sentence.

    Attributes
    ----------
    head, foot : int
        Heights of the lines of words above and below.
    closes_below : bool
        Whether the verb that closes stands among those below.
    """

    head, foot = HEAD, FOOT
    closes_below = False

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(title)
        self._heights: list[tuple[QWidget, int]] = []
        self._strips: list[tuple[QHBoxLayout, int]] = []
        self.title = Label("heading", self)
        self.title.say(title)
        self.note = Label("label", self, quiet=True)
        self.close_button = Button("close", self)
        self.trouble = Label("label_strong", self)
        self._column = fill_column(self)
        above = () if self.closes_below else (self.close_button,)
        self.add_strip(self.head, self.title, (self.note, 1), *above)
        self.close_button.clicked.connect(self.leave)

    # For a page to build itself -------------------------------------------------------------

    def add_strip(self, height: int, *pieces: Label | Button | tuple[Label | Button, int]) -> None:
        """Add a line of words and verbs; a pair gives a piece its share of spare width."""
        strip = QHBoxLayout()
        for piece in pieces:
            one, share = piece if isinstance(piece, tuple) else (piece, 0)
            strip.addWidget(one, share)
            if isinstance(one, Label):
                self._heights.append((one, height))
        if not any(isinstance(piece, tuple) for piece in pieces):
            strip.addStretch(1)
        first = pieces[0][0] if isinstance(pieces[0], tuple) else pieces[0]
        self._strips.append((strip, MARGIN - (PUSH if isinstance(first, Button) else 0)))
        self._column.addLayout(strip)
        self.rescale()

    def add(self, one: QWidget, share: int = 0) -> None:
        """Add a table or another piece over the whole width."""
        self._column.addWidget(one, share)

    def add_table(self, table: PaintedTable, share: int) -> None:
        """Add a table; leaving it closes the page."""
        self.add(table, share)
        table.left_behind.connect(self.closed)

    def add_foot(self, *verbs: Button) -> None:
        """Add the verbs, and behind them the place of the one sentence."""
        self.add_strip(self.foot, *verbs, (self.trouble, 1))

    def order_tab(self, *stops: QWidget) -> None:
        """Put the stops of the Tab key in order, the verb that closes behind them."""
        last = () if self.close_button in stops else (self.close_button,)
        order_tab(*stops, *last)

    def rescale(self) -> None:
        for strip, margin in self._strips:
            strip.setContentsMargins(px(margin), 0, px(MARGIN - PUSH), 0)
            strip.setSpacing(px(16))
        for one, height in self._heights:
            one.setFixedHeight(px(height))
