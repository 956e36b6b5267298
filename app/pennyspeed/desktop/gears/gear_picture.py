"""The gear chart's cells as a picture: figures, what is hatched and why, where limits run."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPen, QPixmap

from pennyspeed.desktop.charts.strokes import hatch
from pennyspeed.desktop.gears.gear_grid import ROW, GearGrid
from pennyspeed.desktop.gears.gear_model import GearModel
from pennyspeed.desktop.gears.gear_paths import LinePainter
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import CENTRE, baseline, wrapped
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.gears.gear_cells import GearCells

PITCH = 7


class GearPicture(QObject):
    """Everything in the table but the headers, painted anew only when something changed.

    Signals
    -------
    names_changed()
        Other limits than before have no room for their name at their line.
    """

    names_changed = Signal()

    def __init__(self, gears: GearModel, grid: GearGrid) -> None:
        super().__init__(grid.table)
        self._gears, self._grid = gears, grid
        self.paths = LinePainter(grid)
        self._picture: QPixmap | None = None
        self._picture_key: tuple[object, ...] = ()

    @property
    def _cells(self) -> GearCells:
        assert self._gears.cells is not None
        return self._gears.cells

    def whole(self) -> QPixmap:
        """Return everything but the mark of where the keyboard stands, drawn when it changed."""
        table, keeper = self._grid.table, theme.keeper()
        view = table.viewport()
        key = (
            view.size(),
            view.devicePixelRatio(),
            table.horizontalScrollBar().value(),
            table.verticalScrollBar().value(),
            table.horizontalHeader().defaultSectionSize(),
            keeper.theme.name,
            keeper.text_percent,
            self._gears.show_what,
            table.layoutDirection(),
            self._gears.cells,
        )
        if self._picture is None or key != self._picture_key:
            self._picture_key = key
            self._picture = self._painted(view.devicePixelRatio())
        return self._picture

    def _painted(self, ratio: float) -> QPixmap:
        grid, cells, size = self._grid, self._cells, self._grid.view.size()
        picture = QPixmap(size * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(theme.current().ground)
        painter = QPainter(picture)
        rows, columns = grid.in_sight()
        self._paint_hatched(painter, rows, columns)
        for row in rows:
            for column in columns:
                if cells.fits[row, column] and grid.is_whole(row, column):
                    self._paint_cell(painter, row, column)
        covered = self._paint_reasons(painter, rows, columns)
        had = self.paths.unnamed
        self.paths.paint(painter, rows, columns, covered)
        painter.end()
        if self.paths.unnamed != had:
            # Told later: whoever listens may change what is painted.
            QTimer.singleShot(0, self.names_changed.emit)
        return picture

    def _paint_hatched(self, painter: QPainter, rows: range, columns: range) -> None:
        cells, colours, box = self._cells, theme.current(), self._grid.box
        painter.save()
        for row in rows:
            runs = _runs([bool(cells.reasons[row, column]) for column in columns])
            for first, last in runs:
                one = box(row, columns[first]).united(box(row, columns[last]))
                painter.setClipRect(one)
                hatch(painter, QRectF(one), colours.rule, float(px(PITCH)), float(px(1)))
        painter.restore()
        for start, end in cells.borders:
            self._rule(painter, self._grid.corner(*start), self._grid.corner(*end))

    @staticmethod
    def _rule(painter: QPainter, start: QPointF, end: QPointF) -> None:
        left, top = round(min(start.x(), end.x())), round(min(start.y(), end.y()))
        wide, high = round(abs(end.x() - start.x())), round(abs(end.y() - start.y()))
        line = QRect(left, top, wide + px(1), high + px(1))
        painter.fillRect(line, theme.current().line)

    def _paint_cell(self, painter: QPainter, row: int, column: int) -> None:
        cells, colours = self._cells, theme.current()
        one = self._grid.box(row, column)
        is_now = (row, column) == cells.now
        figure, below = cells.texts(self._gears.show_what, row, column)
        strong = is_now or cells.reached(row, column)
        colour = colours.accent if is_now else colours.ink
        words = theme.words(figure, "gear_strong" if strong else "gear")
        middle = one.x() + one.width() / 2
        line = one.y() + baseline(px(1), px(19), "gear")
        words.draw(painter, middle, line, colour, CENTRE)
        if is_now:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colours.accent)
            high = line - theme.metrics("gear").capHeight() / 2
            painter.drawEllipse(QPointF(words.left(middle, CENTRE) - px(6), high), px(4), px(4))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        line = one.y() + baseline(px(18), px(16), "small")
        theme.words(below, "small").draw(painter, middle, line, colours.ink3, CENTRE)

    def paint_here(self, painter: QPainter) -> None:
        """Mark the pair that the keyboard stands on."""
        table, colours = self._grid.table, theme.current()
        index, cells = table.currentIndex(), self._gears.cells
        if not index.isValid() or cells is None:
            return
        row, column = index.row(), index.column()
        one = self._grid.box(row, column)
        painter.fillRect(one, colours.tint)
        thick = px(2) if table.hasFocus() else px(1)
        pen = QPen(colours.accent, thick)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        half = thick / 2
        painter.drawRect(QRectF(one).adjusted(half, half, 1 - half, 1 - half))
        if cells.fits[row, column]:
            self._paint_cell(painter, row, column)
        else:
            figure = cells.texts(self._gears.show_what, row, column)[0]
            line = one.y() + baseline(0, px(ROW), "gear")
            middle = one.x() + one.width() / 2
            theme.words(figure, "gear").draw(painter, middle, line, colours.ink2, CENTRE)
        around = one.adjusted(-px(4), -px(4), px(4), px(4))
        painter.setClipRect(around)
        self.paths.paint_lines(painter)
        painter.setClipping(False)

    def _paint_reasons(self, painter: QPainter, rows: range, columns: range) -> list[QRectF]:
        """Write why into the hatched cells; return what the words cover."""
        cells, colours, box = self._cells, theme.current(), self._grid.box
        view, covered = self._grid.view, []
        for region in cells.regions:
            row, column, high, wide = region.widest((rows, columns))
            if not high:
                continue
            space = box(row, column).united(box(row + high - 1, column + wide - 1))
            space = space.intersected(view).adjusted(px(4), px(4), -px(4), -px(4))
            plate = self._fit(cells.reason_words(region.key), space)
            if plate is None:
                continue
            area, lines = plate
            painter.fillRect(area, colours.ground)
            for i, text in enumerate(lines):
                line = area.top() + baseline(px(2) + i * px(18), px(18), "label")
                middle = area.center().x()
                theme.words(text, "label").draw(painter, middle, line, colours.ink2, CENTRE)
            covered.append(area)
        return covered

    @staticmethod
    def _fit(texts: tuple[str, ...], space: QRect) -> tuple[QRectF, list[str]] | None:
        """Return the plate and the lines of the fullest words that the space holds."""
        for text in texts:
            lines = _balanced(text, min(space.width() - px(12), px(190)))
            wide = max(theme.metrics("label").horizontalAdvance(line) for line in lines)
            area = QRectF(0, 0, round(wide) + px(12), px(18) * len(lines) + px(4))
            if area.width() <= space.width() and area.height() <= space.height():
                centre = QRectF(space).center()
                area.moveTo(
                    round(centre.x() - area.width() / 2), round(centre.y() - area.height() / 2)
                )
                return area, lines
        return None


def _balanced(text: str, room: float) -> list[str]:
    """Return a text in as few lines as the room allows, none much longer than the others."""
    lines = wrapped(text, "label", room)
    for narrower in range(round(room), px(40), -px(8)):
        tried = wrapped(text, "label", narrower)
        if len(tried) > len(lines):
            break
        lines = tried
    return lines


def _runs(flags: list[bool]) -> list[tuple[int, int]]:
    """Return first and last place of every run of True."""
    found: list[tuple[int, int]] = []
    for i, flag in enumerate(flags):
        if flag and found and found[-1][1] == i - 1:
            found[-1] = found[-1][0], i
        elif flag:
            found.append((i, i))
    return found
