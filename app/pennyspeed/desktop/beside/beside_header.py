"""The headers of builds beside each other: the builds across, the rows' labels down."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRect, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QToolTip, QWidget

from pennyspeed.desktop.beside.beside_model import BesideModel
from pennyspeed.desktop.beside.frozen_column import FrozenColumn
from pennyspeed.desktop.charts.strokes import pen_of
from pennyspeed.desktop.charts.views.beside import stroke_of
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.tables.painted_table import TableHeader
from pennyspeed.desktop.widgets.theme import px

MARGIN, ROW, HEAD, SIDE, GAP = 24, 21, 80, 176, 8


class BesideHeader(TableHeader):
    """Builds across: line, letter, name and speed; labels down, with the sign of what differs."""

    def __init__(
        self, orientation: Qt.Orientation, beside: BesideModel, frozen: FrozenColumn, table: QWidget
    ) -> None:
        super().__init__(orientation, table)
        self._beside, self._frozen, self._table = beside, frozen, table

    def extent(self) -> int:
        return px(HEAD) if self.is_across else px(SIDE)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self.is_across:
            return
        view = self.viewport()
        with painting(view) as painter:
            if self.count():
                # Also where nothing has scrolled: from right to left Qt's are one pixel off.
                self.paintSection(painter.qt_painter, self._frozen.rect(view.height()), 0)
            if self._frozen.covers:
                edge = self._frozen.edge(view.height())
                painter.qt_painter.fillRect(edge, painter.theme.line)
            wide = view.width() - px(MARGIN)
            left = px(MARGIN) if self.isRightToLeft() else 0
            painter.qt_painter.fillRect(left, view.height() - 1, wide, 1, painter.theme.line)

    def paint_section(self, painter: Painter, rect: QRect, section: int) -> None:
        if self.is_across:
            self._paint_build(painter, section)
        else:
            self._paint_label(painter, section)

    def viewportEvent(self, event: QEvent) -> bool:
        """Say of the column that is kept in sight what it is, not what lies under it."""
        if event.type() == QEvent.Type.ToolTip and self.is_across:
            assert isinstance(event, QHelpEvent)
            place = self._frozen.column_at(event.pos().x())
            said = self.model().headerData(
                place, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole
            )
            QToolTip.showText(event.globalPos(), said or "", self)
            return True
        return super().viewportEvent(event)

    def _paint_build(self, painter: Painter, section: int) -> None:
        model = self._beside
        comparison, colours, qt_painter = model.comparison, painter.theme, painter.qt_painter
        assert comparison is not None
        letter = model.letters[section]
        colour = colours.ink if section else colours.accent
        wide = painter.width - px(24)
        here = self.selectionModel().currentIndex().column() == section and self._table.hasFocus()
        if here:
            painter.fill(0, 0, painter.width - px(16), px(HEAD), colours.tint)
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        qt_painter.setPen(pen_of(stroke_of(letter), colours))
        start = painter.left(px(GAP))
        end = start + wide * (-1 if painter.mirrored else 1)
        qt_painter.drawLine(QPointF(start, px(6) + 0.5), QPointF(end, px(6) + 0.5))
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        line = px(10) + baseline(0, px(26), "name")
        width = painter.text(px(GAP), line, letter, "heading", colour)
        x = px(GAP) + width + px(10)
        role = "name" if section else "name_chosen"
        room = wide - width - px(10)
        painter.text(x, line, comparison.names[section], role, colour, room=room)
        line = px(36) + baseline(0, px(38), "beside")
        width = painter.text(px(GAP), line, comparison.speeds[section], "beside", colours.ink)
        unit = model.measures.speed_unit.symbol
        painter.text(px(GAP) + width + px(6), line, unit, "label", colours.ink2)

    def _paint_label(self, painter: Painter, section: int) -> None:
        model = self._beside
        row, colours = model.rows[section], painter.theme
        line = baseline(0, px(ROW), "label")
        if row.differs:
            paint_differs(painter, px(12), line - theme.metrics("label").capHeight() / 2)
        room = painter.width - px(MARGIN) - px(4)
        colour = colours.ink2 if row.differs else colours.ink3
        painter.text(px(MARGIN), line, row.label, "label", colour, room=room)
        if model.begins_group(section):
            painter.fill(px(MARGIN), 0, painter.width, 1, colours.rule)


def paint_differs(painter: Painter, x: float, y: float) -> None:
    """Draw the crossed equals sign that says 'this differs'."""
    qt_painter, unit = painter.qt_painter, px(100) / 100
    qt_painter.save()
    qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    qt_painter.setPen(QPen(painter.theme.ink, 1.5 * unit, c=Qt.PenCapStyle.FlatCap))
    middle = round(painter.left(x))
    for up in (-2, 2):
        at = round(y) + up * unit
        qt_painter.drawLine(QPointF(middle - 4.5 * unit, at), QPointF(middle + 4.5 * unit, at))
    qt_painter.drawLine(
        QPointF(middle - 2 * unit, round(y) + 5 * unit),
        QPointF(middle + 2 * unit, round(y) - 5 * unit),
    )
    qt_painter.restore()
