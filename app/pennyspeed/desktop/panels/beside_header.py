"""The headers of builds beside each other: the builds across, the rows' labels down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRect, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QToolTip

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.grid import GridHeader
from pennyspeed.desktop.plots.beside import pen_of
from pennyspeed.desktop.sheet import Sheet, baseline
from pennyspeed.desktop.theme import px
from pennyspeed.services.comparison import LETTERS

if TYPE_CHECKING:
    from pennyspeed.desktop.panels.beside_table import BesideTable

MARGIN, ROW, HEAD, SIDE, GAP = 24, 21, 80, 176, 8


class BesideHeader(GridHeader):
    """Builds across: line, letter, name and speed; labels down, with the sign of what differs."""

    def __init__(self, orientation: Qt.Orientation, table: BesideTable) -> None:
        super().__init__(orientation, table)
        self._table = table

    def extent(self) -> int:
        return px(HEAD) if self.is_across else px(SIDE)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self.is_across:
            return
        view = self.viewport()
        painter = QPainter(view)
        if self.count():
            # Also where nothing has scrolled: Qt puts sections one pixel off from right to left.
            self.paintSection(painter, self._table.kept_rect(view.height()), 0)
        if self._table.has_kept:
            painter.fillRect(self._table.kept_edge(view.height()), theme.current().line)
        wide = view.width() - px(MARGIN)
        left = px(MARGIN) if self.is_mirrored else 0
        painter.fillRect(left, view.height() - 1, wide, 1, theme.current().line)
        painter.end()

    def paint_section(self, sheet: Sheet, rect: QRect, section: int) -> None:
        if self.is_across:
            self._paint_build(sheet, section)
        else:
            self._paint_label(sheet, section)

    def viewportEvent(self, event: QEvent) -> bool:
        """Say of the column that is kept in sight what it is, not what lies under it."""
        if event.type() == QEvent.Type.ToolTip and self.is_across:
            assert isinstance(event, QHelpEvent)
            place = self._table.column_at(event.pos().x())
            said = self.model().headerData(
                place, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole
            )
            QToolTip.showText(event.globalPos(), said or "", self)
            return True
        return super().viewportEvent(event)

    def _paint_build(self, sheet: Sheet, section: int) -> None:
        model = self._table.beside
        comparison, colours, painter = model.comparison, sheet.theme, sheet.painter
        assert comparison is not None
        letter = model.letters[section]
        colour = colours.ink if section else colours.accent
        wide = sheet.width - px(24)
        here = self._table.currentIndex().column() == section and self._table.hasFocus()
        if here:
            sheet.fill(0, 0, sheet.width - px(16), px(HEAD), colours.tint)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(pen_of(LETTERS.index(letter), colours))
        start = sheet.left(px(GAP))
        end = start + wide * (-1 if sheet.mirrored else 1)
        painter.drawLine(QPointF(start, px(6) + 0.5), QPointF(end, px(6) + 0.5))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        line = px(10) + baseline(0, px(26), "name")
        width = sheet.text(px(GAP), line, letter, "heading", colour)
        x = px(GAP) + width + px(10)
        role = "name" if section else "name_chosen"
        room = wide - width - px(10)
        sheet.text(x, line, comparison.names[section], role, colour, room=room)
        line = px(36) + baseline(0, px(38), "beside")
        width = sheet.text(px(GAP), line, comparison.speeds[section], "beside", colours.ink)
        unit = model.measures.speed_unit.symbol
        sheet.text(px(GAP) + width + px(6), line, unit, "label", colours.ink2)

    def _paint_label(self, sheet: Sheet, section: int) -> None:
        model = self._table.beside
        row, colours = model.rows[section], sheet.theme
        line = baseline(0, px(ROW), "label")
        if row.differs:
            paint_differs(sheet, px(12), line - theme.metrics("label").capHeight() / 2)
        room = sheet.width - px(MARGIN) - px(4)
        colour = colours.ink2 if row.differs else colours.ink3
        sheet.text(px(MARGIN), line, row.label, "label", colour, room=room)
        if self._table.begins_group(section):
            sheet.fill(px(MARGIN), 0, sheet.width, 1, colours.rule)


def paint_differs(sheet: Sheet, x: float, y: float) -> None:
    """Draw the crossed equals sign that says 'this differs'."""
    painter, unit = sheet.painter, px(100) / 100
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(sheet.theme.ink, 1.5 * unit, c=Qt.PenCapStyle.FlatCap))
    middle = round(sheet.left(x))
    for up in (-2, 2):
        at = round(y) + up * unit
        painter.drawLine(QPointF(middle - 4.5 * unit, at), QPointF(middle + 4.5 * unit, at))
    painter.drawLine(
        QPointF(middle - 2 * unit, round(y) + 5 * unit),
        QPointF(middle + 2 * unit, round(y) - 5 * unit),
    )
    painter.restore()
