"""A figure that was worked out, as a row: about what, how surely, from what."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QWidget

from pennyspeed.desktop.parts import ESTIMATE
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import PUSHING
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.editing.entered_part import EstimateRow
from pennyspeed.services.estimates.rails import TICK, place

ROW = 34
LABEL, ABOUT, UNIT, RAIL, LIKELY, ORIGIN = 24, 238, 243, 290, 404, 510
"""Where columns begin; `ABOUT` is where it ends."""
RAIL_WIDTH, WIDENS, MARGIN, BAR = 105, 80, 24, 4
NARROW = 720


@dataclass(frozen=True, slots=True)
class Columns:
    """Where columns begin that a narrow page has no room for, 0 where they are left out."""

    rail: int
    likely: int
    origin: int


def places(narrow: bool) -> Columns:
    """Return where columns begin; on a narrow page the tool tip says what is left out."""
    return Columns(0, RAIL, 0) if narrow else Columns(RAIL, LIKELY, ORIGIN)


class EstimateButton(OwnKeys, QAbstractButton):
    """The row of one figure; pushed, it becomes a field to type in.

    Signals
    -------
    measured(str)
        The person knows better; with what was typed already.
    anew_wanted()
        It is to be worked out again.
    """

    keys = ESTIMATE
    measured = Signal(str)
    anew_wanted = Signal()

    def __init__(self, label: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.row = EstimateRow("", label)
        self.widens = ""
        self.end = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._keys = KeyHandler(
            ESTIMATE, measured=lambda: self.measured.emit(""), anew=self.anew_wanted.emit
        )
        self.clicked.connect(lambda: self.measured.emit(""))

    def show_row(self, row: EstimateRow, widens: str) -> None:
        """Show another figure, and by how much it widens the speed."""
        if (row, widens) != (self.row, self.widens):
            self.row, self.widens = row, widens
            self.setAccessibleName(row.spoken)
            self.setAccessibleDescription(f"widens the speed by {widens}" if widens else "")
            self.setToolTip(row.spoken)
            self.update()

    # Hands ----------------------------------------------------------------------------------

    def is_own(self, event: QKeyEvent) -> bool:
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.ShiftModifier,
            Qt.KeyboardModifier.KeypadModifier,
        )
        return plain and bool(event.text().strip())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self._keys.act(event):
            return
        if event.key() in PUSHING:
            self.click()
        elif self.is_own(event) and event.text()[:1] in "0123456789.,-":
            self.measured.emit(event.text())
        else:
            event.ignore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Choose the row only; a second click makes a field of it."""

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.measured.emit("")

    def event(self, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        return super().event(event)

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        row, high, chosen = self.row, self.height(), self.hasFocus()
        with painting(self) as painter:
            colours = painter.theme
            if chosen:
                painter.fill(0, 0, self.width(), high, colours.tint)
                painter.fill(0, 0, px(BAR), high, colours.accent)
                painter.fill(0, 0, self.width(), 1, colours.accent)
                painter.fill(0, high - 1, self.width(), 1, colours.accent)
            line = baseline(0, high, "body")
            role = "figure" if chosen else "body"
            ink = colours.ink if row.is_used else colours.ink3
            columns = places(self.width() < px(NARROW))
            wide = theme.words(row.number, "body").width if row.number else 0.0
            room = px(ABOUT) - wide - px(8) - px(LABEL)
            if theme.words(row.label, role).width > room:
                role = "label"
            painter.text(px(LABEL), line, row.label, role, ink, room=room)
            if row.number:
                painter.text(px(ABOUT), line, row.number, "body", ink, RIGHT)
                painter.text(px(UNIT), line, row.unit, "label", colours.ink2)
                if columns.rail:
                    self._paint_rail(painter, high)
                role = "label_strong" if chosen else "label"
                painter.text(px(columns.likely), line, row.likely, role, ink)
            end = self.end or self.width() - px(MARGIN)
            if columns.origin:
                said, colour = row.offer or row.origin, colours.ink2
                if row.offer:
                    colour = colours.watch
                room = end - px(WIDENS) - px(columns.origin)
                painter.text(px(columns.origin), line, said, "label", colour, room=room)
            role = "figure" if chosen else "label"
            widens = self.widens if chosen else self.widens.partition(" ")[0]
            painter.text(end, line, widens, role, ink, RIGHT)

    def _paint_rail(self, painter: Painter, high: int) -> None:
        """Draw the likely range between half and twice the figure."""
        colours, row = painter.theme, self.row
        left, wide, middle = px(RAIL), px(RAIL_WIDTH), high // 2
        painter.fill(left, middle, wide, 1, colours.line)
        tall = px(14)
        low, high_end = place(row.low), place(row.high)
        start, end = left + round(wide * low), left + round(wide * high_end)
        fill = colours.ground
        if self.hasFocus():
            fill = colours.band2
        top = middle - tall // 2
        painter.fill(start, top, end - start, tall, colours.band_edge)
        # an end beyond the rail stays open
        closed = (int(low > 0.0), int(high_end < 1.0))
        painter.fill(start + closed[0], top + 1, end - start - sum(closed), tall - 2, fill)
        half = px(TICK)
        painter.fill(left + wide // 2, middle - half, px(2), 2 * half, colours.ink)
