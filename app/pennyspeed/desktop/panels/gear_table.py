"""The gear chart's table: pinions across, spurs down, painted whole and worked by arrow keys."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.gear_cells import SHOWS, SPEED, GearCells, teeth
from pennyspeed.desktop.panels.gear_paths import LinePainter
from pennyspeed.desktop.pieces import SlimBar
from pennyspeed.desktop.plots.layers import hatch
from pennyspeed.desktop.sheet import CENTRE, RIGHT, Sheet, baseline, wrapped
from pennyspeed.desktop.theme import px

MARGIN, COLUMN, ROW, HEAD, GROUP = 24, 48, 36, 44, 20
SIDE = 72
PITCH = 7
Index = QModelIndex | QPersistentModelIndex


class GearModel(QAbstractTableModel):
    """Cells of a chart; what a screen reader says stands in its own role."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cells: GearCells | None = None
        self.show_what = SPEED

    def take(self, cells: GearCells | None) -> None:
        """Show other cells."""
        self.beginResetModel()
        self.cells = cells
        self.endResetModel()

    def show(self, what: str) -> None:
        """Show another figure in every cell."""
        if what not in SHOWS:
            raise ValueError(f"{what!r}: expected one of {', '.join(SHOWS)}")
        if what != self.show_what:
            self.show_what = what
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, self.columnCount() - 1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 – Qt's own signature
        return 0 if self.cells is None or parent.isValid() else len(self.cells.spurs)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if self.cells is None or parent.isValid() else len(self.cells.pinions)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        cells = self.cells
        if cells is None or not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return cells.texts(self.show_what, row, column)[0]
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return cells.say(row, column)
        if role == Qt.ItemDataRole.AccessibleDescriptionRole:
            return cells.say_more(row, column)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        cells = self.cells
        if cells is None:
            return None
        parts = cells.pinions if orientation == Qt.Orientation.Horizontal else cells.spurs
        if not 0 <= section < len(parts):
            return None
        part = parts[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return str(teeth(part))
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            price = cells.price(part)
            text = f"{part.kind.label} {part.name}, {price} {cells.build.currency}"
            if orientation == Qt.Orientation.Vertical:
                text += f", teeth left on the pinion: {cells.teeth_left(section)}"
            return text
        return None


class GearHeader(QHeaderView):
    """Teeth with the price below; above both the module, where there are several."""

    def __init__(self, orientation: Qt.Orientation, table: GearTable) -> None:
        super().__init__(orientation, table)
        self._table = table
        self.setMinimumSectionSize(8)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)

    def sizeHint(self) -> QSize:
        # Its own way of finding out asks every section.
        if self.orientation() == Qt.Orientation.Horizontal:
            group = px(GROUP) if self._table.has_modules else 0
            return QSize(self.length(), px(HEAD) + group)
        return QSize(self._table.side_width, self.length())

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        view = self.viewport()
        painter = QPainter(view)
        if not self.count():
            painter.fillRect(event.rect(), theme.current().ground)
        if self.orientation() == Qt.Orientation.Horizontal:
            painter.fillRect(0, view.height() - 1, view.width(), 1, theme.current().line)
        painter.end()

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        colours, table = theme.current(), self._table
        painter.fillRect(rect, colours.ground)
        cells = table.gears.cells
        if cells is None:
            return
        across = self.orientation() == Qt.Orientation.Horizontal
        parts = cells.pinions if across else cells.spurs
        part = parts[section]
        index = table.currentIndex()
        here = section == (index.column() if across else index.row())
        is_now = cells.now is not None and section == cells.now[1 if across else 0]
        role = "gear_strong" if here or is_now else "gear"
        colour = colours.accent if is_now else colours.ink
        view = self.viewport()
        if across and (rect.left() < 0 or rect.right() >= view.width()):
            return
        if not across and rect.bottom() >= view.height():
            return
        painter.save()
        painter.setClipRect(rect)
        painter.translate(rect.x(), rect.y())
        sheet = Sheet(painter, rect.width(), self)
        price = cells.price(part)
        if across:
            self._paint_pinion(sheet, rect, section, str(teeth(part)), price, role, colour)
        else:
            beside = cells.beside(parts, section)
            below = f"{price} {beside}" if beside else price
            self._paint_spur(sheet, rect, section, str(teeth(part)), below, role, colour)
        painter.restore()

    def _paint_pinion(
        self, sheet: Sheet, rect: QRect, section: int, text: str, price: str, role: str, colour: Any
    ) -> None:
        top = 0
        if self._table.has_modules:
            # Longer than a column: each paints its piece of it.
            first = self._table.first_of_module(section)
            start = self.sectionViewportPosition(first)
            away = abs(self.sectionViewportPosition(section) - start)
            line = baseline(0, px(GROUP), "small")
            module = self._table.module_above(first)
            sheet.text(px(8) - away, line, module, "small", sheet.theme.ink3)
            top = px(GROUP)
        middle = rect.width() / 2
        line = top + baseline(0, px(24), "gear")
        sheet.text(middle, line, text, role, colour, CENTRE)
        line = top + px(20) + baseline(0, px(20), "small")
        sheet.text(middle, line, price, "small", sheet.theme.ink3, CENTRE)

    def _paint_spur(
        self, sheet: Sheet, rect: QRect, section: int, text: str, below: str, role: str, colour: Any
    ) -> None:
        right = rect.width() - px(12)
        cells = self._table.gears.cells
        assert cells is not None
        line = baseline(px(1), px(19), "gear")
        width = sheet.text(right, line, text, role, colour, RIGHT)
        title = self._table.module_beside(section) or ("spur" if section == 0 else "")
        if title:
            room = right - width - px(MARGIN) - px(4)
            sheet.text(px(MARGIN), line, title, "label", sheet.theme.ink3, room=room)
        line = baseline(px(18), px(16), "small")
        room = right - px(8)
        sheet.text(right, line, below, "small", sheet.theme.ink3, RIGHT, room)


class GearCorner(QWidget):
    """What the headers' figures are: pinion teeth over their price."""

    def __init__(self, table: GearTable) -> None:
        super().__init__(table)
        self._table = table

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        cells = self._table.gears.cells
        top = px(GROUP) if self._table.has_modules else 0
        line = top + baseline(0, px(24), "label")
        sheet.text(px(MARGIN), line, "pinion", "label", sheet.theme.ink3)
        line = top + px(20) + baseline(0, px(20), "small")
        currency = "" if cells is None else cells.build.currency
        sheet.text(px(MARGIN), line, currency, "small", sheet.theme.ink3)
        start = px(MARGIN)
        sheet.fill(start, self.height() - 1, self.width() - start, 1, sheet.theme.line)
        painter.end()


class GearTable(QTableView):
    """Pairs of gears.

    Signals
    -------
    moved()
        The keyboard stands on another pair.
    taken(int, int)
        Enter or a double click on that cell.
    held(int, int)
        Space on that cell.
    letter(str)
        A letter that the panel understands.
    names_changed()
        Other limits than before have no room for their name at their line.
    left_behind()
        The person goes back.
    """

    moved = Signal()
    taken = Signal(int, int)
    held = Signal(int, int)
    letter = Signal(str)
    left_behind = Signal()
    names_changed = Signal()

    def __init__(self, model: GearModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.gears = model
        self._regions: list[Any] = []
        self._borders: list[Any] = []
        self._paths = LinePainter(self)
        self._picture: QPixmap | None = None
        self._picture_key: tuple[object, ...] = ()
        self.setModel(model)
        self.setHorizontalHeader(GearHeader(Qt.Orientation.Horizontal, self))
        self.setVerticalHeader(GearHeader(Qt.Orientation.Vertical, self))
        self._corner = GearCorner(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setVerticalScrollBar(SlimBar("ground", self))
        self.setHorizontalScrollBar(SlimBar("ground", self, Qt.Orientation.Horizontal))
        self.setCornerWidget(QWidget(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setTabKeyNavigation(False)
        self.setAccessibleName("gear chart: pinions across, spurs down")
        model.modelReset.connect(self._taken_up)
        self.horizontalScrollBar().valueChanged.connect(lambda _: self.viewport().update())
        self.restyle()

    # What it shows --------------------------------------------------------------------------

    @property
    def paths(self) -> LinePainter:
        """The lines of the limits."""
        return self._paths

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
        cells = self.gears.cells
        self._regions = [] if cells is None else cells.regions
        self._borders = [] if cells is None else cells.borders
        self._paths.take(cells)
        self.lay_out()
        self.viewport().update()

    def show_what(self, what: str) -> None:
        """Show another figure in every cell."""
        self.gears.show(what)
        self.lay_out()
        self.viewport().update()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.lay_out()
        self.viewport().update()

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
        self.updateGeometries()
        self._corner.setGeometry(self._corner_rect())
        self._corner.update()

    def _corner_rect(self) -> QRect:
        wide, high = self.verticalHeader().width(), self.horizontalHeader().height()
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        return QRect(self.width() - wide if mirrored else 0, 0, wide, high)

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._corner.setGeometry(self._corner_rect())

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
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        x = one.left() + (one.width() if after != mirrored else 0)
        return QPointF(x, y)

    def beyond(self) -> int:
        """Return where the last column ends in the viewport."""
        last = self.box(0, self.gears.columnCount() - 1)
        return (
            last.left()
            if self.layoutDirection() == Qt.LayoutDirection.RightToLeft
            else (last.left() + last.width())
        )

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
        painter = QPainter(self.viewport())
        sheet = Sheet(painter, self.viewport().width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        cells = self.gears.cells
        if cells is None:
            line = self.viewport().height() / 2
            middle = self.viewport().width() / 2
            sheet.text(middle, line, "working out every pair", "body", sheet.theme.ink3, CENTRE)
        else:
            painter.drawPixmap(0, 0, self._whole_picture())
            self._paint_here(painter)
        painter.end()

    def _whole_picture(self) -> QPixmap:
        """Return everything but the mark of where the keyboard stands, drawn when it changed."""
        view, keeper = self.viewport(), theme.keeper()
        key = (
            view.size(),
            view.devicePixelRatio(),
            self.horizontalScrollBar().value(),
            self.verticalScrollBar().value(),
            self.horizontalHeader().defaultSectionSize(),
            keeper.theme.name,
            keeper.text_percent,
            self.gears.show_what,
            self.layoutDirection(),
            self.gears.cells,
        )
        if self._picture is None or key != self._picture_key:
            self._picture_key = key
            self._picture = self._painted(view.devicePixelRatio())
        return self._picture

    def _painted(self, ratio: float) -> QPixmap:
        cells, size = self.gears.cells, self.viewport().size()
        assert cells is not None
        picture = QPixmap(size * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(theme.current().ground)
        painter = QPainter(picture)
        rows, columns = self.in_sight()
        self._paint_hatched(painter, rows, columns)
        for row in rows:
            for column in columns:
                if cells.fits[row, column] and self.is_whole(row, column):
                    self._paint_cell(painter, row, column)
        covered = self._paint_reasons(painter, rows, columns)
        had = self._paths.unnamed
        self._paths.paint(painter, rows, columns, covered)
        painter.end()
        if self._paths.unnamed != had:
            # Told later: whoever listens may change what is painted.
            QTimer.singleShot(0, self.names_changed.emit)
        return picture

    def is_whole(self, row: int, column: int) -> bool:
        """Tell whether no edge of the viewport cuts a cell; half a figure reads as another."""
        return self.viewport().rect().contains(self.box(row, column))

    def _paint_hatched(self, painter: QPainter, rows: range, columns: range) -> None:
        cells, colours = self.gears.cells, theme.current()
        assert cells is not None
        painter.save()
        for row in rows:
            runs = _runs([bool(cells.reasons[row, column]) for column in columns])
            for first, last in runs:
                one = self.box(row, columns[first]).united(self.box(row, columns[last]))
                painter.setClipRect(one)
                hatch(painter, QRectF(one), colours.rule, float(px(PITCH)), float(px(1)))
        painter.restore()
        for start, end in self._borders:
            self._rule(painter, self.corner(*start), self.corner(*end))

    @staticmethod
    def _rule(painter: QPainter, start: QPointF, end: QPointF) -> None:
        left, top = round(min(start.x(), end.x())), round(min(start.y(), end.y()))
        wide, high = round(abs(end.x() - start.x())), round(abs(end.y() - start.y()))
        line = QRect(left, top, wide + px(1), high + px(1))
        painter.fillRect(line, theme.current().line)

    def _paint_cell(self, painter: QPainter, row: int, column: int) -> None:
        cells, colours = self.gears.cells, theme.current()
        assert cells is not None
        one = self.box(row, column)
        is_now = (row, column) == cells.now
        figure, below = cells.texts(self.gears.show_what, row, column)
        strong = is_now or self._paths.reached(row, column)
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

    def _paint_here(self, painter: QPainter) -> None:
        index, cells, colours = self.currentIndex(), self.gears.cells, theme.current()
        if not index.isValid() or cells is None:
            return
        row, column = index.row(), index.column()
        one = self.box(row, column)
        painter.fillRect(one, colours.tint)
        thick = px(2) if self.hasFocus() else px(1)
        pen = QPen(colours.accent, thick)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        half = thick / 2
        painter.drawRect(QRectF(one).adjusted(half, half, 1 - half, 1 - half))
        if cells.fits[row, column]:
            self._paint_cell(painter, row, column)
        else:
            figure = cells.texts(self.gears.show_what, row, column)[0]
            line = one.y() + baseline(0, px(ROW), "gear")
            middle = one.x() + one.width() / 2
            theme.words(figure, "gear").draw(painter, middle, line, colours.ink2, CENTRE)
        around = one.adjusted(-px(4), -px(4), px(4), px(4))
        painter.setClipRect(around)
        self._paths.paint_lines(painter)
        painter.setClipping(False)

    def _paint_reasons(self, painter: QPainter, rows: range, columns: range) -> list[QRectF]:
        """Write why into the hatched cells; return what the words cover."""
        cells, colours = self.gears.cells, theme.current()
        assert cells is not None
        covered = []
        for region in self._regions:
            row, column, high, wide = region.widest((rows, columns))
            if not high:
                continue
            space = self.box(row, column).united(self.box(row + high - 1, column + wide - 1))
            space = space.intersected(self.viewport().rect()).adjusted(px(4), px(4), -px(4), -px(4))
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

    # Hands ----------------------------------------------------------------------------------

    def stand_on(self, row: int, column: int) -> None:
        """Put the keyboard on a cell and bring it into sight."""
        index = self.gears.index(row, column)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        self.horizontalHeader().viewport().update()
        self.verticalHeader().viewport().update()
        self.moved.emit()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            self.taken.emit(index.row(), index.column())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index, key = self.currentIndex(), event.key()
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain and index.isValid():
            self.taken.emit(index.row(), index.column())
        elif key == Qt.Key.Key_Space and plain and index.isValid():
            self.held.emit(index.row(), index.column())
        elif key == Qt.Key.Key_Escape:
            self.left_behind.emit()
        elif plain and key in (Qt.Key.Key_S, Qt.Key.Key_A):
            self.letter.emit("s" if key == Qt.Key.Key_S else "a")
        elif plain and event.text() and event.text().isprintable():
            event.ignore()
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters are the panel's."""

    def focusInEvent(self, event: Any) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: Any) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutDirectionChange:
            self.lay_out()
        return super().event(event)


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
