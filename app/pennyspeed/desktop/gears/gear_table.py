"""The gear chart's table: pinions across, spurs down, worked by arrow keys."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.gears.gear_header import GROUP, MARGIN, SIDE, GearHeader
from pennyspeed.desktop.gears.gear_model import GearModel
from pennyspeed.desktop.gears.gear_paths import LinePainter
from pennyspeed.desktop.gears.gear_picture import ROW, GearPicture
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painted_table import PaintedTable, is_enter, is_plain
from pennyspeed.desktop.widgets.painter import CENTRE, Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px

COLUMN = 48


class GearTable(PaintedTable):
    """Pairs of gears.

    Signals
    -------
    taken(int, int)
        Enter or a double click on that cell.
    held(int, int)
        Space on that cell.
    letter(str)
        A letter that the panel understands.
    names_changed()
        Other limits than before have no room for their name at their line.
    """

    taken = Signal(int, int)
    held = Signal(int, int)
    letter = Signal(str)
    names_changed = Signal()

    def __init__(self, model: GearModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.gears = model
        self.paths = LinePainter(self)
        self._picture = GearPicture(self)
        self.setHorizontalHeader(GearHeader(Qt.Orientation.Horizontal, self))
        self.setVerticalHeader(GearHeader(Qt.Orientation.Vertical, self))
        self.setAccessibleName("gear chart: pinions across, spurs down")
        model.modelReset.connect(self._taken_up)
        self.horizontalScrollBar().valueChanged.connect(lambda _: self.viewport().update())
        self.rescale()

    # What it shows --------------------------------------------------------------------------

    @property
    def has_modules(self) -> bool:
        """Whether gears of several modules stand in it."""
        cells = self.gears.cells
        if cells is None:
            return False
        return len({part.number("module_mm") for part in (*cells.pinions, *cells.spurs)}) > 1

    def module_above(self, column: int) -> str:
        """Return the module of a pinion in words."""
        cells = self.gears.cells
        assert cells is not None
        module = cells.pinions[column].number("module_mm")
        return f"module {cells.measures.number(module or 0.0, 1)}"

    def first_of_module(self, column: int) -> int:
        """Return the first column in sight whose pinion has the module of this one."""
        cells = self.gears.cells
        assert cells is not None
        modules = [part.number("module_mm") for part in cells.pinions]
        first = column
        while first and modules[first - 1] == modules[column]:
            if self.columnViewportPosition(first - 1) < 0:
                break
            first -= 1
        return first

    def module_beside(self, row: int) -> str:
        """Return the module beside the first spur of it, "" elsewhere and where all have one."""
        cells = self.gears.cells
        assert cells is not None
        modules = [part.number("module_mm") for part in cells.spurs]
        if not self.has_modules or (row and modules[row - 1] == modules[row]):
            return ""
        return f"module {cells.measures.number(modules[row] or 0.0, 1)}"

    @property
    def side_width(self) -> int:
        """Width of the spurs' header."""
        return px(SIDE) + (px(56) if self.has_modules else px(24))

    def _taken_up(self) -> None:
        self.paths.take(self.gears.cells)
        self.lay_out()

    def show_what(self, what: str) -> None:
        """Show another figure in every cell."""
        self.gears.show(what)
        self.lay_out()

    def rescale(self) -> None:
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.lay_out()

    def lay_out(self) -> None:
        """Give the columns the width that their figures need."""
        cells, model = self.gears.cells, self.gears
        advance = theme.metrics("gear_strong").horizontalAdvance
        widest = 0.0
        if cells is not None:
            widest = max(map(advance, cells.longest(model.show_what)), default=0.0)
            small = theme.metrics("small").horizontalAdvance
            widest = max([widest, *(small(cells.price(part)) for part in cells.pinions)])
        self.horizontalHeader().setDefaultSectionSize(max(px(COLUMN), round(widest) + px(14)))
        self.horizontalHeader().setFixedHeight(self.horizontalHeader().sizeHint().height())
        self.verticalHeader().setFixedWidth(self.side_width)
        self.settle()

    def paint_corner(self, painter: Painter, height: int) -> None:
        """Say what the headers' figures are: pinion teeth over their price."""
        cells = self.gears.cells
        top = px(GROUP) if self.has_modules else 0
        line = top + baseline(0, px(24), "label")
        painter.text(px(MARGIN), line, "pinion", "label", painter.theme.ink3)
        line = top + px(20) + baseline(0, px(20), "small")
        currency = "" if cells is None else cells.build.currency
        painter.text(px(MARGIN), line, currency, "small", painter.theme.ink3)
        start = px(MARGIN)
        painter.fill(start, height - 1, painter.width - start, 1, painter.theme.line)

    # Painting -------------------------------------------------------------------------------

    def box(self, row: int, column: int) -> QRect:
        """Return where a cell stands in the viewport."""
        high, wide = px(ROW), self.columnWidth(column)
        return QRect(self.columnViewportPosition(column), self.rowViewportPosition(row), wide, high)

    def corner(self, row: int, column: int) -> QPointF:
        """Return where a corner of the grid stands in the viewport."""
        rows, columns = self.gears.rowCount(), self.gears.columnCount()
        one = self.box(min(row, rows - 1), min(column, columns - 1))
        y = one.top() + (one.height() if row == rows else 0)
        after = column == columns
        x = one.left() + (one.width() if after != self.isRightToLeft() else 0)
        return QPointF(x, y)

    def beyond(self) -> int:
        """Return where the last column ends in the viewport."""
        last = self.box(0, self.gears.columnCount() - 1)
        return last.left() + (0 if self.isRightToLeft() else last.width())

    def in_sight(self) -> tuple[range, range]:
        """Return the rows and columns that show at least in part."""
        view = self.viewport().rect()
        rows = [r for r in range(self.gears.rowCount()) if self.box(r, 0).intersects(view)
                or 0 <= self.box(r, 0).top() < view.height()]  # fmt: skip
        columns = [
            c
            for c in range(self.gears.columnCount())
            if self.box(0, c).right() >= 0 and self.box(0, c).left() < view.width()
        ]
        return (
            range(rows[0], rows[-1] + 1) if rows else range(0),
            range(columns[0], columns[-1] + 1) if columns else range(0),
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self.viewport(), "ground") as painter:
            cells = self.gears.cells
            if cells is None:
                line = self.viewport().height() / 2
                middle = self.viewport().width() / 2
                colour = painter.theme.ink3
                painter.text(middle, line, "working out every pair", "body", colour, CENTRE)
            else:
                painter.qt_painter.drawPixmap(0, 0, self._picture.whole())
                self._picture.paint_here(painter.qt_painter)

    def is_whole(self, row: int, column: int) -> bool:
        """Tell whether no edge of the viewport cuts a cell; half a figure reads as another."""
        return self.viewport().rect().contains(self.box(row, column))

    # Hands ----------------------------------------------------------------------------------

    def stand_on(self, row: int, column: int) -> None:
        """Put the keyboard on a cell and bring it into sight."""
        index = self.gears.index(row, column)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            self.taken.emit(index.row(), index.column())

    def do_key(self, event: QKeyEvent) -> bool:
        index, key, plain = self.currentIndex(), event.key(), is_plain(event)
        if is_enter(event) and index.isValid():
            self.taken.emit(index.row(), index.column())
        elif key == Qt.Key.Key_Space and plain and index.isValid():
            self.held.emit(index.row(), index.column())
        elif plain and key in (Qt.Key.Key_S, Qt.Key.Key_A):
            self.letter.emit("s" if key == Qt.Key.Key_S else "a")
        else:
            return False
        return True
