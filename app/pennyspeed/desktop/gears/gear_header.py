"""The gear chart's headers: pinions across, spurs down, each with its price."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPaintEvent

from pennyspeed.desktop.widgets.painted_table import TableHeader
from pennyspeed.desktop.widgets.painter import CENTRE, RIGHT, Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.gears.gear_cells import teeth

if TYPE_CHECKING:
    from pennyspeed.desktop.gears.gear_table import GearTable

MARGIN, HEAD, GROUP, SIDE = 24, 44, 20, 72


class GearHeader(TableHeader):
    """Teeth with the price below; above both the module, where there are several."""

    def __init__(self, orientation: Qt.Orientation, table: GearTable) -> None:
        super().__init__(orientation, table)
        self._table = table

    def extent(self) -> int:
        if self.is_across:
            return px(HEAD) + (px(GROUP) if self._table.has_modules else 0)
        return self._table.side_width

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        view = self.viewport()
        with painting(view) as painter:
            if not self.count():
                painter.qt_painter.fillRect(event.rect(), painter.theme.ground)
            if self.is_across:
                painter.fill(0, view.height() - 1, view.width(), 1, painter.theme.line)

    def paint_section(self, painter: Painter, rect: QRect, section: int) -> None:
        colours, table, across = painter.theme, self._table, self.is_across
        cells, view = table.gears.cells, self.viewport()
        cut = rect.left() < 0 or rect.right() >= view.width()
        if cells is None or (cut if across else rect.bottom() >= view.height()):
            return
        parts = cells.pinions if across else cells.spurs
        part = parts[section]
        index = table.currentIndex()
        here = section == (index.column() if across else index.row())
        is_now = cells.now is not None and section == cells.now[1 if across else 0]
        role = "gear_strong" if here or is_now else "gear"
        colour = colours.accent if is_now else colours.ink
        price = cells.price(part)
        if across:
            self._paint_pinion(painter, rect, section, str(teeth(part)), price, role, colour)
        else:
            beside = cells.beside(parts, section)
            below = f"{price} {beside}" if beside else price
            self._paint_spur(painter, rect, section, str(teeth(part)), below, role, colour)

    def _paint_pinion(
        self,
        painter: Painter,
        rect: QRect,
        section: int,
        text: str,
        price: str,
        role: str,
        colour: QColor,
    ) -> None:
        top = 0
        if self._table.has_modules:
            # Longer than a column: each paints its piece of it.
            first = self._table.first_of_module(section)
            start = self.sectionViewportPosition(first)
            away = abs(self.sectionViewportPosition(section) - start)
            line = baseline(0, px(GROUP), "small")
            module = self._table.module_above(first)
            painter.text(px(8) - away, line, module, "small", painter.theme.ink3)
            top = px(GROUP)
        middle = rect.width() / 2
        line = top + baseline(0, px(24), "gear")
        painter.text(middle, line, text, role, colour, CENTRE)
        line = top + px(20) + baseline(0, px(20), "small")
        painter.text(middle, line, price, "small", painter.theme.ink3, CENTRE)

    def _paint_spur(
        self,
        painter: Painter,
        rect: QRect,
        section: int,
        text: str,
        below: str,
        role: str,
        colour: QColor,
    ) -> None:
        right = rect.width() - px(12)
        cells = self._table.gears.cells
        assert cells is not None
        line = baseline(px(1), px(19), "gear")
        width = painter.text(right, line, text, role, colour, RIGHT)
        title = self._table.module_beside(section) or ("spur" if section == 0 else "")
        if title:
            room = right - width - px(MARGIN) - px(4)
            painter.text(px(MARGIN), line, title, "label", painter.theme.ink3, room=room)
        line = baseline(px(18), px(16), "small")
        room = right - px(8)
        painter.text(right, line, below, "small", painter.theme.ink3, RIGHT, room)
