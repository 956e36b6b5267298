"""The shelf's header: titles of its columns, and over the strip its scale."""

from __future__ import annotations

from PySide6.QtCore import QItemSelection, QPointF, QRect, Qt
from PySide6.QtGui import QPainter, QPolygonF
from PySide6.QtWidgets import QHeaderView, QWidget

from pennyspeed.desktop.shelf.row_painter import GAP, HEAD, MARGIN, figure, lead, place, strip
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import CENTRE, Painter, baseline
from pennyspeed.desktop.widgets.tables.painted_table import TableHeader
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.answer_columns import BAND
from pennyspeed.services.shelf.band_scale import Scale
from pennyspeed.services.shelf.shelf_rows import ShelfRows


class ShelfHeader(TableHeader):
    """Column titles; the one that sorts stands in ink, with a mark that points the way.

    Over the strip stands its scale.
    """

    def __init__(self, rows: ShelfRows, table: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._rows = rows
        self._scale: Scale | None = None
        self.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.setSectionsClickable(True)
        self.setDefaultAlignment(Qt.AlignmentFlag.AlignVCenter)
        self.setAccessibleName("column titles")

    def extent(self) -> int:
        return px(HEAD)

    def show_scale(self, scale: Scale | None) -> None:
        """Show another scale over the strip."""
        self._scale = scale
        self.viewport().update()

    def selectionChanged(self, selected: QItemSelection, gone: QItemSelection) -> None:
        """Stay as it is: Qt would paint every title anew whenever another row is chosen."""

    def paint_section(self, painter: Painter, rect: QRect, section: int) -> None:
        column = self._rows.columns[section]
        sorting, falls = self._rows.sorted_by
        is_sorting = section == sorting
        role = "label_strong" if is_sorting else "label"
        colour = painter.theme.ink if is_sorting else painter.theme.ink3
        line = baseline(0, rect.height(), "label")
        if column.key == BAND and self._scale is not None:
            self._paint_scale(painter, line, rect.width(), self._scale)
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
            self._mark(painter.qt_painter, painter.left(mark, px(7)), line, falls)

    def _paint_scale(self, painter: Painter, line: float, width: int, scale: Scale) -> None:
        """Write round speeds over the strip, the target first; none over another."""
        rows, colours = self._rows, painter.theme
        measures, target = rows.stock.measures, rows.target
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

    def _mark(self, qt_painter: QPainter, x: float, line: float, falls: bool) -> None:
        wide, high = px(7), px(5)
        top = line - high - px(2)
        base, tip = (top, top + high) if falls else (top + high, top)
        points = [(x, base), (x + wide, base), (x + wide / 2, tip)]
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        qt_painter.setPen(Qt.PenStyle.NoPen)
        qt_painter.setBrush(theme.current().ink)
        qt_painter.drawPolygon(QPolygonF([QPointF(*point) for point in points]))
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
