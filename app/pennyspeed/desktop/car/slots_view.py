"""The slots, painted: each with its part, its price and the sign of what is wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painted_list import PaintedList
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level

if TYPE_CHECKING:
    from pennyspeed.desktop.car.slots import SlotRow, SlotsModel

MARGIN, BAR, INDENT = 24, 4, 56
SLOT, TALL_SLOT = 48, 72


class SlotsView(OwnKeys, PaintedList):
    """The slots, painted.

    Signals
    -------
    entered()
        The person goes on to the shelf.
    taken_out()
        Delete on the slot.
    edit_wanted()
        F2 on the slot: its part is to be changed.
    """

    entered = Signal()
    taken_out = Signal()
    edit_wanted = Signal()

    def __init__(self, model: SlotsModel, parent: QWidget | None = None) -> None:
        self._model = model
        self.is_tall = False
        super().__init__(model, parent)
        self.setAccessibleName("the car's slots")
        self.doubleClicked.connect(self.entered)

    def slot_height(self) -> int:
        """Return the height of one row."""
        return px(TALL_SLOT if self.is_tall else SLOT)

    def span(self, row: int) -> tuple[int, int]:
        return row * self.slot_height(), self.slot_height()

    def line_height(self) -> int:
        return self.slot_height()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self.viewport(), "side") as painter:
            current = self.currentIndex().row()
            high = self.slot_height()
            wide = max(theme.words(row.price, "label").width for row in self._model.rows)
            for i, row in enumerate(self._model.rows):
                top = i * high - self.verticalOffset()
                if top + high > event.rect().top() and top <= event.rect().bottom():
                    self._paint(painter, row, top, wide, i == current)

    def _paint(self, painter: Painter, row: SlotRow, top: int, wide: float, chosen: bool) -> None:
        """Paint one row; `wide` is the column of prices."""
        colours, right, high = painter.theme, painter.width - px(MARGIN), self.slot_height()
        if chosen:
            painter.fill(0, top, painter.width, high, colours.tint)
            painter.fill(0, top, px(BAR), high, colours.accent)
            if self.hasFocus():
                painter.fill(0, top, painter.width, 1, colours.accent)
                painter.fill(0, top + high - 1, painter.width, 1, colours.accent)
        side, sign = px(20), px(16)
        icon = colours.accent if chosen else colours.ink2
        painter.icon(px(MARGIN) - px(2), top + (high - side) / 2, side, row.kind.key, icon)
        first = baseline(top + px(4), px(20), "label")
        second = baseline(top + px(22), px(20), "name")
        room = right - px(INDENT)
        label = row.kind.plural if row.kind.many else row.kind.label
        price = painter.figure(right, wide, first, row.price, "label", colours.ink2)
        if painter.mirrored and row.price:
            price = wide
        painter.text(px(INDENT), first, label, "label", colours.ink2, room=room - price - px(4))
        level = Level.UNKNOWN if row.is_empty and row.level is None else row.level
        if level is not None:
            painter.sign(right - sign, top + px(24), sign, level)
            room -= sign + px(4)
        role = "name_chosen" if chosen else "name"
        name = colours.watch if row.is_empty else colours.ink
        painter.text(px(INDENT), second, row.name, role, name, room=room)
        if self.is_tall:
            third = baseline(top + px(44), px(20), "label")
            whole = right - px(INDENT)
            painter.text(px(INDENT), third, row.detail, "label", colours.ink2, room=whole)

    def is_own(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_F2

    def keyPressEvent(self, event: QKeyEvent) -> None:
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        onward = Qt.Key.Key_Left if mirrored else Qt.Key.Key_Right
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, onward):
            self.entered.emit()
        elif key == Qt.Key.Key_Delete:
            self.taken_out.emit()
        elif key == Qt.Key.Key_F2:
            self.edit_wanted.emit()
        else:
            super().keyPressEvent(event)
