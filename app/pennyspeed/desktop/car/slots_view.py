"""The slots, painted: each with its part, its price and the sign of what is wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.car import SLOTS
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import Painter, baseline
from pennyspeed.desktop.widgets.tables.painted_list import PaintedList, RowDelegate
from pennyspeed.desktop.widgets.theme import px

if TYPE_CHECKING:
    from pennyspeed.desktop.car.slots import SlotsModel

MARGIN, BAR, INDENT = 24, 4, 56
SLOT, TALL_SLOT = 48, 72


class SlotDelegate(RowDelegate):
    """Paints a slot: its kind, its part, its price, and where there is room its figures."""

    def __init__(self, view: SlotsView, model: SlotsModel) -> None:
        super().__init__(view)
        self._model = model
        self.is_tall = False

    def row_height(self, row: int) -> int:
        return px(TALL_SLOT if self.is_tall else SLOT)

    def paint_row(self, painter: Painter, row: int, height: int, has_focus: bool) -> None:
        slot, is_current = self._model.rows[row], self.is_current(row)
        colours, right = painter.theme, painter.width - px(MARGIN)
        if is_current:
            painter.fill(0, 0, painter.width, height, colours.tint)
            painter.fill(0, 0, px(BAR), height, colours.accent)
            if has_focus:
                painter.fill(0, 0, painter.width, 1, colours.accent)
                painter.fill(0, height - 1, painter.width, 1, colours.accent)
        side, sign = px(20), px(16)
        icon = colours.accent if is_current else colours.ink2
        painter.icon(px(MARGIN) - px(2), (height - side) / 2, side, slot.kind.key, icon)
        first = baseline(px(4), px(20), "label")
        second = baseline(px(22), px(20), "name")
        room = right - px(INDENT)
        column = max(theme.words(one.price, "label").width for one in self._model.rows)
        price = painter.figure(right, column, first, slot.price, "label", colours.ink2)
        if painter.mirrored and slot.price:
            price = column
        label_room = room - price - px(4)
        painter.text(px(INDENT), first, slot.label, "label", colours.ink2, room=label_room)
        if slot.sign is not None:
            painter.sign(right - sign, px(24), sign, slot.sign)
            room -= sign + px(4)
        role = "name_chosen" if is_current else "name"
        name = colours.watch if slot.is_empty else colours.ink
        painter.text(px(INDENT), second, slot.name, role, name, room=room)
        if self.is_tall:
            third = baseline(px(44), px(20), "label")
            whole = right - px(INDENT)
            painter.text(px(INDENT), third, slot.detail, "label", colours.ink2, room=whole)


class SlotsView(OwnKeys, PaintedList):
    """The slots.

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
        super().__init__(model, "side", parent)
        self._delegate = SlotDelegate(self, model)
        self._laid_out = 0
        self.setItemDelegate(self._delegate)
        self.setAccessibleName("the car's slots")
        self.doubleClicked.connect(self.entered)
        self._keys = KeyHandler(
            SLOTS,
            enter=self.entered.emit,
            take_out=self.taken_out.emit,
            edit=self.edit_wanted.emit,
        )

    def slot_height(self) -> int:
        return self._delegate.row_height(0)

    def lay_out(self, is_tall: bool) -> None:
        """Give the rows the height of the present text size, or the one with the figures."""
        self._delegate.is_tall = is_tall
        if self.slot_height() != self._laid_out:
            self._laid_out = self.slot_height()
            self.doItemsLayout()

    def is_own(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_F2

    def keyPressEvent(self, event: QKeyEvent) -> None:
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        onward = Qt.Key.Key_Left if mirrored else Qt.Key.Key_Right
        if event.key() == onward:
            self.entered.emit()
        elif not self._keys.act(event):
            super().keyPressEvent(event)
