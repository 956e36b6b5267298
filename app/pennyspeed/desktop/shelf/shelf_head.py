"""The shelf's heading: what stands below it, its switches, and the line that narrows it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.desktop.shelf.shelf_places import MARGIN
from pennyspeed.desktop.shelf.shelf_stocks import GOES_WITH
from pennyspeed.desktop.shelf.shelf_words import order_words
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.services.shelf.stock import Pairs

HEIGHT = 40
WIDE = 1000
"""From this width on it has room for everything."""


class ShelfHead(Scaled, QWidget):
    """Title, order in words, switches and field.

    Signals
    -------
    fitting_turned(), pairing_turned(), new_wanted()
        A switch was clicked.
    """

    fitting_turned = Signal()
    pairing_turned = Signal()
    new_wanted = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.field = LineEdit("type to narrow", self)
        self.field.setAccessibleName("narrow the shelf")
        self.field.setClearButtonEnabled(False)
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

    def say(self, model: ShelfModel, slot: str, paired: bool) -> None:
        """Say what a model shows of a slot's parts, and what the switches would do."""
        stock, kind = model.stock, model.stock.kind
        shown, total = model.rowCount(), model.total
        title = kind.plural
        if isinstance(stock, Pairs):
            title = f"{kind.plural} with {stock.other.kind.plural}"
        self._title.say(f"{title[0].upper()}{title[1:]} that could go in")
        count = f"{shown:,}" if shown == total else f"{shown:,} of {total:,}"
        waits = "worked out anew" if model.is_late else order_words(model)
        self._note.say(f"{count} on the shelf, {waits}", count)
        unfit, other = model.unfit, GOES_WITH.get(slot)
        hidden = model.fits_only
        self.fitting.setVisible(bool(unfit) or hidden)
        verb, do = "show" if hidden else "hide", "does" if unfit == 1 else "do"
        self.fitting.say(f"{verb} {unfit:,} that {do} not fit")
        self.pairing.setVisible(other is not None)
        if other is not None:
            alone = f"{BY_KEY[slot].plural} alone"
            self.pairing.say(alone if paired else f"with every {BY_KEY[other].label}")

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._new.setVisible(self.width() >= px(WIDE))
        super().resizeEvent(event)
