"""The gear chart's table: pinions across, spurs down, worked by arrow keys."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.gears import GEARS
from pennyspeed.desktop.gears.gear_grid import GROUP, MARGIN, ROW, GearGrid
from pennyspeed.desktop.gears.gear_header import GearHeader
from pennyspeed.desktop.gears.gear_model import GearModel
from pennyspeed.desktop.gears.gear_picture import GearPicture
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.painter import CENTRE, Painter, baseline, painting
from pennyspeed.desktop.widgets.tables.painted_table import PaintedTable
from pennyspeed.desktop.widgets.theme import px

COLUMN = 48


class GearTable(PaintedTable):
    """Pairs of gears.

    Signals
    -------
    taken(int, int)
        Enter or a double click on that cell.
    held()
        Space on a cell.
    show_wanted(), gears_wanted()
        Another figure in the cells, or other gears.
    names_changed()
        Other limits than before have no room for their name at their line.
    """

    taken = Signal(int, int)
    held = Signal()
    show_wanted = Signal()
    gears_wanted = Signal()
    names_changed = Signal()

    def __init__(self, model: GearModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.gears = model
        grid = GearGrid(self)
        self.box = grid.box
        self._picture = GearPicture(model, grid)
        self.paths = self._picture.paths
        self._picture.names_changed.connect(self.names_changed)
        self.setHorizontalHeader(GearHeader(Qt.Orientation.Horizontal, model, self))
        self.setVerticalHeader(GearHeader(Qt.Orientation.Vertical, model, self))
        self.setAccessibleName("gear chart: pinions across, spurs down")
        model.modelReset.connect(self._taken_up)
        self.horizontalScrollBar().valueChanged.connect(lambda _: self.viewport().update())
        self._keys = KeyHandler(
            GEARS,
            put_in=self._put_in,
            hold=self._hold,
            show=self.show_wanted.emit,
            all_gears=self.gears_wanted.emit,
        )
        self.rescale()

    # What it shows --------------------------------------------------------------------------

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
            widest = max(map(advance, cells.longest[model.show_what]), default=0.0)
            small = theme.metrics("small").horizontalAdvance
            widest = max([widest, *(small(cells.price(part)) for part in cells.pinions)])
        self.horizontalHeader().setDefaultSectionSize(max(px(COLUMN), round(widest) + px(14)))
        self.horizontalHeader().setFixedHeight(self.horizontalHeader().sizeHint().height())
        self.verticalHeader().setFixedWidth(self.verticalHeader().sizeHint().width())
        self.settle()

    def paint_corner(self, painter: Painter, height: int) -> None:
        """Say what the headers' figures are: pinion teeth over their price."""
        cells = self.gears.cells
        top = px(GROUP) if self.gears.has_modules else 0
        line = top + baseline(0, px(24), "label")
        painter.text(px(MARGIN), line, "pinion", "label", painter.theme.ink3)
        line = top + px(20) + baseline(0, px(20), "small")
        currency = "" if cells is None else cells.build.currency
        painter.text(px(MARGIN), line, currency, "small", painter.theme.ink3)
        start = px(MARGIN)
        painter.fill(start, height - 1, painter.width - start, 1, painter.theme.line)

    # Painting -------------------------------------------------------------------------------

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
        self.frame_focus()

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
        return self._keys.act(event)

    def _put_in(self) -> None:
        index = self.currentIndex()
        if index.isValid():
            self.taken.emit(index.row(), index.column())

    def _hold(self) -> None:
        if self.currentIndex().isValid():
            self.held.emit()
