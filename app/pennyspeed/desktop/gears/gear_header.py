"""The gear chart's headers: pinions across, spurs down, each with its price."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.gears.gear_grid import GROUP, HEAD, MARGIN, SIDE
from pennyspeed.desktop.gears.gear_model import GearModel
from pennyspeed.desktop.widgets.painter import CENTRE, RIGHT, Painter, baseline, painting
from pennyspeed.desktop.widgets.tables.painted_table import TableHeader
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.gears.gear_cells import GearCells
from pennyspeed.services.gears.suited_gears import teeth


class GearHeader(TableHeader):
    """Teeth with the price below; above both the module, where there are several."""

    def __init__(self, orientation: Qt.Orientation, gears: GearModel, table: QWidget) -> None:
        super().__init__(orientation, table)
        self._gears = gears

    def extent(self) -> int:
        if self.is_across:
            return px(HEAD) + (px(GROUP) if self._gears.has_modules else 0)
        return px(SIDE) + (px(56) if self._gears.has_modules else px(24))

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        view = self.viewport()
        with painting(view) as painter:
            if not self.count():
                painter.qt_painter.fillRect(event.rect(), painter.theme.ground)
            if self.is_across:
                painter.fill(0, view.height() - 1, view.width(), 1, painter.theme.line)

    def paint_section(self, painter: Painter, rect: QRect, section: int) -> None:
        cells, across, view = self._gears.cells, self.is_across, self.viewport()
        is_cut = rect.left() < 0 or rect.right() >= view.width()
        if cells is None or (is_cut if across else rect.bottom() >= view.height()):
            return
        index = self.selectionModel().currentIndex()
        here = section == (index.column() if across else index.row())
        is_now = cells.now is not None and section == cells.now[1 if across else 0]
        role = "gear_strong" if here or is_now else "gear"
        colour = painter.theme.accent if is_now else painter.theme.ink
        if across:
            self._paint_pinion(painter, cells, section, role, colour)
        else:
            self._paint_spur(painter, cells, section, role, colour)

    def _paint_pinion(
        self, painter: Painter, cells: GearCells, section: int, role: str, colour: QColor
    ) -> None:
        top, part, quiet = 0, cells.pinions[section], painter.theme.ink3
        if cells.has_modules:
            # Longer than a column: each paints its piece of it.
            first = section
            while not cells.module_begins(cells.pinions, first):
                if self.sectionViewportPosition(first - 1) < 0:
                    break
                first -= 1
            start = self.sectionViewportPosition(first)
            away = abs(self.sectionViewportPosition(section) - start)
            line = baseline(0, px(GROUP), "small")
            painter.text(px(8) - away, line, cells.module_of(part), "small", quiet)
            top = px(GROUP)
        middle = painter.width / 2
        line = top + baseline(0, px(24), "gear")
        painter.text(middle, line, str(teeth(part)), role, colour, CENTRE)
        line = top + px(20) + baseline(0, px(20), "small")
        painter.text(middle, line, cells.price(part), "small", quiet, CENTRE)

    def _paint_spur(
        self, painter: Painter, cells: GearCells, section: int, role: str, colour: QColor
    ) -> None:
        right, part, quiet = painter.width - px(12), cells.spurs[section], painter.theme.ink3
        line = baseline(px(1), px(19), "gear")
        width = painter.text(right, line, str(teeth(part)), role, colour, RIGHT)
        title = "spur" if section == 0 else ""
        if cells.has_modules and cells.module_begins(cells.spurs, section):
            title = cells.module_of(part)
        if title:
            room = right - width - px(MARGIN) - px(4)
            painter.text(px(MARGIN), line, title, "label", quiet, room=room)
        line = baseline(px(18), px(16), "small")
        below = f"{cells.price(part)} {cells.beside(cells.spurs, section)}".rstrip()
        painter.text(right, line, below, "small", quiet, RIGHT, right - px(8))
