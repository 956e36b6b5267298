"""The shelf's header: titles of its columns, and over the strip its scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelection, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPolygonF
from PySide6.QtWidgets import QHeaderView

from pennyspeed.desktop.shelf.shelf_places import GAP, HEAD, MARGIN, figure, lead, place, strip
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import CENTRE, Painter, baseline
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.answer_columns import BAND
from pennyspeed.services.shelf.band_scale import Scale

if TYPE_CHECKING:
    from pennyspeed.desktop.shelf.shelf_table import ShelfTable


class ShelfHeader(QHeaderView):
    """Column titles; the one that sorts stands in ink, with a mark that points the way.

    Over the strip stands its scale.
    """

    def __init__(self, parent: ShelfTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._table = parent
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(8)
        self.setDefaultAlignment(Qt.AlignmentFlag.AlignVCenter)
        self.setAccessibleName("column titles")

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), px(HEAD))

    def selectionChanged(self, selected: QItemSelection, gone: QItemSelection) -> None:
        """Stay as it is: Qt would paint every title anew whenever another row is chosen."""

    def paintSection(self, qt_painter: QPainter, rect: QRect, section: int) -> None:
        model = self._table.shelf
        qt_painter.fillRect(rect, theme.current().ground)
        qt_painter.save()
        qt_painter.translate(rect.x(), rect.y())
        painter = Painter(qt_painter, rect.width(), self)
        column = model.columns[section]
        sorting, order = model.sorted_by
        is_sorting = section == sorting
        role = "label_strong" if is_sorting else "label"
        colour = painter.theme.ink if is_sorting else painter.theme.ink3
        line = baseline(0, rect.height(), "label")
        if column.key == BAND and self._table.scale is not None:
            self._paint_scale(painter, line, rect.width(), self._table.scale)
            mark = float(px(2))
        elif column.numeric:
            width = figure(painter, 0, rect.width(), line, column.title, role, colour)
            mark = px(3) if painter.mirrored else rect.width() - width - px(10)
        else:
            start = px(MARGIN) if section == 0 else lead(column.key)
            room = rect.width() - start - px(12)
            width = painter.text(start, line, column.title, role, colour, room=room)
            mark = start + width + px(4)
        if is_sorting:
            self._mark(qt_painter, painter.left(mark, px(7)), line, order)
        qt_painter.restore()

    def _paint_scale(self, painter: Painter, line: float, width: int, scale: Scale) -> None:
        """Write round speeds over the strip, the target first; none over another."""
        model, colours = self._table.shelf, painter.theme
        measures, target = model.stock.measures, model.target
        taken: list[tuple[float, float]] = []

        def write(at: float, text: str, role: str, ink: object) -> None:
            half = theme.words(text, role).width / 2
            at = min(max(at, px(GAP) + half), width - half)
            if all(at + half + px(6) < low or at - half - px(6) > high for low, high in taken):
                taken.append((at - half, at + half))
                painter.text(at, line, text, role, ink, CENTRE)  # type: ignore[arg-type]

        start, across = strip(0, width)
        if target is not None:
            text = measures.target(measures.stored(target, KMH), unit=False)
            if not scale.has(target):
                text = f"{text} ›" if target > scale.high else f"‹ {text}"
            at = place(painter, (start, across), min(max(scale.part(target), 0.0), 1.0))
            write(at, text, "label_strong", colours.ink)
        for speed in scale.ticks:
            at = place(painter, (start, across), scale.part(speed))
            write(at, measures.number(speed), "label", colours.ink3)

    def _mark(self, qt_painter: QPainter, x: float, line: float, order: Qt.SortOrder) -> None:
        wide, high = px(7), px(5)
        top = line - high - px(2)
        if order == Qt.SortOrder.AscendingOrder:
            points = [(x, top + high), (x + wide, top + high), (x + wide / 2, top)]
        else:
            points = [(x, top), (x + wide, top), (x + wide / 2, top + high)]
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        qt_painter.setPen(Qt.PenStyle.NoPen)
        qt_painter.setBrush(theme.current().ink)
        qt_painter.drawPolygon(QPolygonF([QPointF(*point) for point in points]))
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
