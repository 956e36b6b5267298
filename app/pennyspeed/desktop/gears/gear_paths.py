"""Gear paths: paints where limits run through the gear chart, and names each where it ends."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from pennyspeed.desktop.gears.gear_grid import GearGrid
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import baseline
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.domain.checks import Level
from pennyspeed.services.gears.gear_cells import GearCells
from pennyspeed.services.gears.gear_limits import HOT, RATED, TARGET, Path, side_of
from pennyspeed.services.gears.gear_marks import Step

REACH, SIGN, TALL = 20, 16, 22
AA = QPainter.RenderHint.Antialiasing


def pen_of(key: str, colours: Theme) -> QPen:
    """Return the line of a limit: dashes, a solid line or dots, so that each is its own."""
    unit = px(100) / 100
    width = {TARGET: 1.75, RATED: 2.0, HOT: 2.4}[key] * unit
    pen = QPen(colour_of(key, colours), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if key == TARGET:
        pen.setDashPattern([7 * unit / width, 4 * unit / width])
    elif key == HOT:
        pen.setDashPattern([1.0, 1.2])
    return pen


def colour_of(key: str, colours: Theme) -> QColor:
    return colours.ink if key == TARGET else colours.watch


class LinePainter:
    """The limits of one chart on its table."""

    def __init__(self, grid: GearGrid) -> None:
        self._grid = grid
        self._cells: GearCells | None = None
        self.named: dict[str, QRectF] = {}
        """Where each limit's words stand, by its key, as painted last."""
        self.unnamed: tuple[str, ...] = ()
        """Keys of the limits whose lines are in sight, but have no room for their words."""

    def take(self, cells: GearCells | None) -> None:
        """Take up other cells."""
        self._cells, self.named, self.unnamed = cells, {}, ()

    @property
    def paths(self) -> tuple[Path, ...]:
        """The lines of each limit."""
        return () if self._cells is None else self._cells.paths

    def notes(self) -> str:
        """Say what the chart does not show."""
        cells = self._cells
        return "" if cells is None else cells.notes(self.unnamed, self._grid.is_mirrored)

    # Painting -------------------------------------------------------------------------------

    def paint(self, painter: QPainter, rows: range, columns: range, covered: list[QRectF]) -> None:
        """Draw the lines, then their names where no figure stands."""
        cells, grid = self._cells, self._grid
        assert cells is not None
        self.paint_lines(painter)
        taken = list(covered)
        taken += [
            QRectF(grid.box(row, column))
            for row in rows
            for column in columns
            if cells.fits[row, column]
        ]
        self.named, self.unnamed = {}, ()
        view = QRectF(grid.view).adjusted(-1, -1, 1, 1)
        for path in self.paths:
            lines = [self._points(path, step) for step in path.steps]
            in_sight = any(view.contains(point) for line in lines for point in line)
            if in_sight and not self._name(painter, path, lines, taken):
                self.unnamed += (path.key,)

    def paint_lines(self, painter: QPainter) -> None:
        """Draw the lines alone."""
        colours = theme.current()
        painter.setRenderHint(AA)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for path in self.paths:
            painter.setPen(pen_of(path.key, colours))
            for step in path.steps:
                painter.drawPolyline(QPolygonF(self._points(path, step)))
        painter.setRenderHint(AA, False)

    def _points(self, path: Path, step: Step) -> list[QPointF]:
        shift = path.lane * 3 * px(1)
        found = []
        for corner in step.corners:
            point = self._grid.corner(*corner)
            found.append(QPointF(round(point.x()) + shift, round(point.y()) - shift))
        return found

    def _name(
        self, painter: QPainter, path: Path, lines: list[list[QPointF]], taken: list[QRectF]
    ) -> bool:
        """Write a limit's name at an end of a line of it, joined by that; False without room."""
        mirrored = self._grid.is_mirrored
        for step, line in zip(path.steps, lines, strict=True):
            for end, side in ((-1, step.sides[1]), (0, step.sides[0])):
                text = f"{side_of(side, mirrored)}: {path.words}"
                spot = self._spot(path, line[end], text, taken)
                if spot is not None:
                    self._write(painter, path, line[end], spot, text)
                    taken.append(spot)
                    self.named[path.key] = spot
                    return True
        return False

    def _spot(self, path: Path, end: QPointF, text: str, taken: list[QRectF]) -> QRectF | None:
        view = QRectF(self._grid.view)
        if not view.adjusted(-1, -1, 1, 1).contains(end):
            return None
        wide = theme.metrics("label_strong").horizontalAdvance(text) + 2 * px(6)
        wide = round(wide + (0 if path.key == TARGET else px(SIGN) + px(6)))
        high, reach = px(TALL), px(REACH)
        middle = end.y() - high / 2
        places = []
        for away in range(5):
            down = away * px(12)
            places += [
                (end.x() + reach, middle + down),
                (end.x() + reach, middle - down),
                (end.x() - reach - wide, middle + down),
                (end.x() - reach - wide, middle - down),
            ]
        # Beyond the last column, along the edge of a row, where no figure is crossed.
        beyond = self._grid.beyond()
        is_right = beyond > end.x()
        places.append((beyond + px(12) if is_right else beyond - px(12) - wide, middle))
        places += [
            (end.x() - wide / 2, end.y() + px(12)),
            (end.x() - wide / 2, end.y() - px(12) - high),
        ]
        for x, y in places:
            spot = QRectF(round(x), round(y), wide, high)
            around = spot.adjusted(-1, -1, 1, 1)
            if view.contains(spot) and not any(around.intersects(one) for one in taken):
                return spot
        return None

    def _write(self, painter: QPainter, path: Path, end: QPointF, spot: QRectF, text: str) -> None:
        colours = theme.current()
        painter.setRenderHint(AA)
        painter.setPen(pen_of(path.key, colours))
        painter.drawPolyline(QPolygonF(_leader(end, spot)))
        painter.setRenderHint(AA, False)
        painter.fillRect(spot, colours.ground)
        x = spot.left() + px(6)
        if path.key != TARGET:
            side = px(SIGN)
            sign = QRectF(x, spot.top() + (spot.height() - side) / 2, side, side)
            theme.paint_sign(painter, sign, Level.WARN, colours)
            x += side + px(6)
        line = spot.top() + baseline(0, spot.height(), "label_strong")
        theme.words(text, "label_strong").draw(painter, x, line, colours.ink)


def _leader(end: QPointF, spot: QRectF) -> list[QPointF]:
    """Return the way from a line's end to its name, in the line's own level and upright steps."""
    level = spot.center().y()
    if spot.left() <= end.x() <= spot.right():
        return [end, QPointF(end.x(), spot.top() if spot.top() > end.y() else spot.bottom())]
    x = spot.left() if spot.left() > end.x() else spot.right()
    if math.isclose(level, end.y(), abs_tol=1.0):
        return [end, QPointF(x, end.y())]
    return [end, QPointF(end.x(), level), QPointF(x, level)]
