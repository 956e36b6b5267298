"""The shelf's heading: what stands below it, its switches, and the line that narrows it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from pennyspeed.desktop.shelf.row_painter import MARGIN
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.shelf.row_texts import (
    count_words,
    fitting_words,
    order_words,
    pairing_words,
    title_words,
)
from pennyspeed.services.shelf.shelf_rows import ShelfRows

TO_ROWS = (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape)
HEIGHT = 40
WIDE = 1000
"""From this width on it has room for everything."""


class ShelfHead(Scaled, QWidget):
    """Title, order in words, switches and field.

    Signals
    -------
    fitting_turned(), pairing_turned(), new_wanted()
        A switch was clicked.
    rows_wanted()
        The keyboard goes on from the field to the rows.
    """

    fitting_turned = Signal()
    pairing_turned = Signal()
    new_wanted = Signal()
    rows_wanted = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.field = LineEdit("type to narrow", self)
        self.field.setAccessibleName("narrow the shelf")
        self.field.setClearButtonEnabled(False)
        self.field.installEventFilter(self)
        self._title = Label("heading", self)
        self._note = Label("label", self, quiet=True)
        self.fitting, self.pairing, self._new = (Button("", self, role="label") for _ in range(3))
        self._new.say("new part")
        self._row = QHBoxLayout(self)
        self._row.addWidget(self._title)
        self._row.addWidget(self._note, 1)
        turned = (self.pairing_turned, self.fitting_turned, self.new_wanted)
        for one, signal in zip((self.pairing, self.fitting, self._new), turned, strict=True):
            one.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            one.clicked.connect(signal)
            self._row.addWidget(one)
        self._row.addWidget(self.field)
        self.rescale()

    def rescale(self) -> None:
        self._row.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._row.setSpacing(px(16))
        self.field.setFixedSize(px(144), px(28))
        self.setFixedHeight(px(HEIGHT))

    def say(self, rows: ShelfRows, paired: bool) -> None:
        """Say what stands below, and what the switches would do."""
        self._title.say(title_words(rows.stock, rows.build))
        column, descending = rows.sorted_by
        order = order_words(rows.columns[column], descending)
        order = "worked out anew" if rows.is_late else order
        self._note.say(*count_words(len(rows), rows.total, order))
        for button, words in (
            (self.fitting, fitting_words(rows.unfit, rows.fits_only)),
            (self.pairing, pairing_words(rows.stock.kind, paired)),
        ):
            button.setVisible(bool(words))
            if words:
                button.say(words)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._new.setVisible(self.width() >= px(WIDE))
        super().resizeEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        is_key = watched is self.field and event.type() == QEvent.Type.KeyPress
        if is_key and isinstance(event, QKeyEvent) and event.key() in TO_ROWS:
            if event.key() == Qt.Key.Key_Escape and self.field.text():
                self.field.clear()
            else:
                self.rows_wanted.emit()
            return True
        return super().eventFilter(watched, event)
