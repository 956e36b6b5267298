"""How many teeth the pinion may still have on each spur, beside the gear chart's rows."""

from __future__ import annotations

from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.gears.gear_grid import HEAD, MARGIN, ROW
from pennyspeed.desktop.gears.gear_table import GearTable
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import LEFT, RIGHT, baseline, painting
from pennyspeed.desktop.widgets.theme import px


class TeethLeftColumn(QWidget):
    """How many teeth the pinion may still have on each spur, beside the table's rows."""

    def __init__(self, table: GearTable, parent: QWidget) -> None:
        super().__init__(parent)
        self._table = table
        self.setAccessibleName("teeth left before the gear mesh ends")
        table.verticalScrollBar().valueChanged.connect(lambda _: self.update())
        table.moved.connect(self.update)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours, cells = painter.theme, self._table.gears.cells
            head = self._table.horizontalHeader().height()
            right, align = float(self.width() - px(MARGIN)), RIGHT
            line_end = right
            if painter.mirrored:
                # Digits stand below digits from right to left too.
                right, align = right - theme.metrics("label").horizontalAdvance("teeth"), LEFT
            top = head - px(HEAD)
            for text, role, at in (("teeth", "label", 0), ("left", "label", 20)):
                line = top + px(at) + baseline(0, px(24 if not at else 20), role)
                painter.text(right, line, text, role, colours.ink3, align)
            painter.fill(0, head - 1, line_end, 1, colours.line)
            if cells is not None:
                here = self._table.currentIndex().row()
                painter.qt_painter.setClipRect(0, head, self.width(), self.height() - head)
                for row in range(len(cells.spurs)):
                    y = head + self._table.rowViewportPosition(row)
                    if 0 <= y - head <= self._table.viewport().height() - px(ROW):
                        is_here = row == here
                        role = "figure" if is_here else "body"
                        colour = colours.ink if is_here else colours.ink2
                        line = baseline(y, px(ROW), role)
                        painter.text(right, line, cells.teeth_left(row), role, colour, align)
