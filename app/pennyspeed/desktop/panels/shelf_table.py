"""The shelf's table: a plot across its rows, painted row by row, worked by arrow keys and Enter."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QTableView,
    QToolTip,
    QWidget,
)

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.shelf_model import (
    BAND,
    BEST_FIRST,
    CHANCE,
    CHANGE,
    CHECK,
    GAIN,
    NOW,
    PRICE,
    SPEED,
    ShelfModel,
)
from pennyspeed.desktop.panels.shelf_scale import Scale, scale_of
from pennyspeed.desktop.pieces import SlimBar
from pennyspeed.desktop.sheet import CENTRE, RIGHT, Sheet, baseline
from pennyspeed.desktop.table import Index, Stock
from pennyspeed.desktop.theme import px
from pennyspeed.domain.checks.check import Level

MARGIN, GAP, BAR = 24, 12, 4
ROW, HEAD = 32, 24
EDGE = 8
NAME_ROOM, PAIR_ROOM = (128, 320), (104, 320)
BAND_ROOM, WIDE_BAND, WIDE = (116, 300), 190, 1100
CHECK_ROOM = (160, 230)
SIGN = 16
SAMPLE, FEW = 256, 32
"""Rows whose texts are measured for a column's width; fewer where these are about the same."""
DASH, BREAK = 5, 3
"""Together they divide a row's height, so that dashes join from row to row."""

Shown = tuple[int, int, int]
"""A column, where it starts from the leading edge, and its width."""


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

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        model = self._table.shelf
        painter.fillRect(rect, theme.current().ground)
        painter.save()
        painter.translate(rect.x(), rect.y())
        sheet = Sheet(painter, rect.width(), self)
        column = model.columns[section]
        sorting, order = model.sorted_by
        is_sorting = section == sorting
        role = "label_strong" if is_sorting else "label"
        colour = sheet.theme.ink if is_sorting else sheet.theme.ink3
        line = baseline(0, rect.height(), "label")
        if column.key == BAND and self._table.scale is not None:
            self._paint_scale(sheet, line, rect.width(), self._table.scale)
            mark = float(px(2))
        elif column.numeric:
            width = sheet.text(rect.width(), line, column.title, role, colour, RIGHT)
            mark = rect.width() - width - px(10)
        else:
            start = px(MARGIN) if section == 0 else self._table.lead(column.key)
            room = rect.width() - start - px(12)
            width = sheet.text(start, line, column.title, role, colour, room=room)
            mark = start + width + px(4)
        if is_sorting:
            self._mark(painter, sheet.left(mark, px(7)), line, order)
        painter.restore()

    def _paint_scale(self, sheet: Sheet, line: float, width: int, scale: Scale) -> None:
        """Write round speeds over the strip, the target first; none over another."""
        model, colours = self._table.shelf, sheet.theme
        number, target = model.stock.measures.number, model.target
        taken: list[tuple[float, float]] = []

        def write(at: float, text: str, role: str, ink: object) -> None:
            half = theme.words(text, role).width / 2
            at = min(max(at, px(GAP) + half), width - half)
            if all(at + half + px(6) < low or at - half - px(6) > high for low, high in taken):
                taken.append((at - half, at + half))
                sheet.text(at, line, text, role, ink, CENTRE)  # type: ignore[arg-type]

        start, across = self._table.strip(0, width)
        if target is not None:
            text = number(target)
            if not scale.has(target):
                text = f"{text} ›" if target > scale.high else f"‹ {text}"
            at = start + across * min(max(scale.part(target), 0.0), 1.0)
            write(at, text, "label_strong", colours.ink)
        for speed in scale.ticks:
            write(start + across * scale.part(speed), number(speed), "label", colours.ink3)

    def _mark(self, painter: QPainter, x: float, line: float, order: Qt.SortOrder) -> None:
        wide, high = px(7), px(5)
        top = line - high - px(2)
        if order == Qt.SortOrder.AscendingOrder:
            points = [(x, top + high), (x + wide, top + high), (x + wide / 2, top)]
        else:
            points = [(x, top), (x + wide, top), (x + wide / 2, top + high)]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.current().ink)
        painter.drawPolygon(QPolygonF([QPointF(*point) for point in points]))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)


class ShelfTable(QTableView):
    """Rows of parts, each with what the whole car would do.

    Signals
    -------
    put_in(int)
        Enter or a double click on that row.
    taken_out(int)
        Delete on a row whose part is in the build.
    edit_wanted(int)
        F2 on that row.
    hold_wanted(int)
        Space on that row: the car with it is to be held beside.
    typed(str)
        Letters that belong into the narrowing field.
    left_behind()
        The person goes back to the slots.
    given_up()
        Escape.
    row_changed(int)
        The keyboard stands on another row.
    sight_changed()
        Other rows are in sight.
    sorted_anew()
        Another column sorts, or the other way round.
    """

    put_in = Signal(int)
    taken_out = Signal(int)
    edit_wanted = Signal(int)
    hold_wanted = Signal(int)
    typed = Signal(str)
    left_behind = Signal()
    given_up = Signal()
    row_changed = Signal(int)
    sight_changed = Signal()
    sorted_anew = Signal()

    def __init__(self, model: ShelfModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shelf = model
        self.scale: Scale | None = None
        self._widths_of: tuple[Stock, int] | None = None
        self._widths: dict[int, float] = {}
        self.hidden: frozenset[str] = frozenset()
        self.setModel(model)
        self.setHorizontalHeader(ShelfHeader(self))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(8)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(SlimBar("ground", self))
        self.setShowGrid(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setTabKeyNavigation(False)
        self.setAccessibleName("the shelf")
        self.setSortingEnabled(False)
        self.horizontalHeader().sectionClicked.connect(self._header_clicked)
        model.modelReset.connect(self.lay_out)
        model.arranged.connect(self.sight_changed)
        self.verticalScrollBar().valueChanged.connect(self.sight_changed)
        self.restyle()

    # Layout ---------------------------------------------------------------------------------

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.verticalHeader().setDefaultSectionSize(px(ROW))
        self.horizontalHeader().setFixedHeight(px(HEAD))
        self.lay_out()
        self.viewport().update()

    def lay_out(self) -> None:
        """Give every column its width: answers first, then as many figures as there is room."""
        model = self.shelf
        columns, names = model.columns, model.stock.names
        wants = [self._width_of(i) for i in range(len(columns))]
        least = list(wants)
        name_room = PAIR_ROOM if names > 1 else NAME_ROOM
        for i in range(names):
            least[i] = wants[i] = min(max(wants[i], px(name_room[0])), px(name_room[1]))
        room = self.viewport().width() - px(EDGE)
        keys = [column.key for column in columns]
        chosen = [i for i in range(len(columns)) if i < names or keys[i] not in self.hidden]
        must = [i for i in chosen if i < names or i >= model.answers_from]
        # What a pair costs is what is left with it, where there is no room for both.
        spared = [keys.index(key) for key in (PRICE, CHANGE)[2 - names :]]
        spared = [i for i in spared if i in chosen]
        must = [i for i in must if i not in spared]
        # A name may be cut before an answer is.
        spare = room - sum(least[i] for i in must)
        if spare < 0:
            for i in range(names):
                cut = min(least[i] - px(name_room[0]), -(spare // (names - i)))
                least[i] -= max(cut, 0)
                spare += max(cut, 0)
        shown = set(must)
        figures = [i for i in chosen if names <= i < model.answers_from]
        for i in (*figures, *spared):
            if wants[i] > spare:
                break
            shown.add(i)
            spare -= wants[i]
        for i in range(len(columns)):
            self.setColumnHidden(i, i not in shown)
        widths = {i: least[i] for i in shown}
        for key, most in ((BAND, BAND_ROOM[1]), (CHECK, CHECK_ROOM[1])):
            i = keys.index(key)
            if i not in widths:
                continue
            more = max(min(px(most) - widths[i], spare // 2 if key == BAND else spare), 0)
            widths[i] += more
            spare -= more
        share = max(spare, 0) // len(shown)
        for i, width in widths.items():
            self.setColumnWidth(i, width + share)

    def _width_of(self, column: int) -> int:
        model = self.shelf
        key = model.columns[column].key
        if key == BAND:
            return px(WIDE_BAND if self.viewport().width() >= px(WIDE) else BAND_ROOM[0])
        if key == CHECK:
            return px(CHECK_ROOM[0])
        advance = theme.metrics("label_strong").horizontalAdvance
        # The mark of the column that sorts stands in the gap before its title.
        title = advance(model.columns[column].title)
        widest = self._widest(column)
        lead = px(MARGIN) if column == 0 else 0
        return round(max(title, widest)) + px(GAP) + lead

    def hide_columns(self, keys: frozenset[str]) -> None:
        """Leave out the columns of these keys; what they leave free goes to the others."""
        if keys != self.hidden:
            self.hidden = keys
            self.lay_out()
            self.viewport().update()

    def _widest(self, column: int) -> float:
        """Return the width of a column's widest text, as far as a sample tells."""
        model = self.shelf
        stock, advance = model.stock, theme.metrics("figure").horizontalAdvance
        if column >= model.answers_from:
            # Before anything is answered there is room already, or columns would jump.
            key = model.columns[column].key
            shortest = "+188" if key in (SPEED, GAIN) else "<188" if key == CHANCE else "−188.88"
            rows = range(0, model.rowCount(), max(model.rowCount() // FEW, 1))
            texts = {shortest, *(model.text(row, column) for row in rows)}
            return max(advance(text) for text in texts)
        # Of the whole stock, so that columns stay where they are while it is narrowed.
        percent = theme.keeper().text_percent
        if self._widths_of != (stock, percent):
            self._widths_of, self._widths = (stock, percent), {}
        if column not in self._widths:
            places = range(0, len(stock), max(len(stock) // SAMPLE, 1))
            longest = sorted({stock.text(column, i) for i in places}, key=len, reverse=True)[:8]
            self._widths[column] = max((advance(text) for text in longest), default=0.0)
        return self._widths[column]

    @staticmethod
    def lead(key: str) -> int:
        """Return how far from its start a column of words begins."""
        return px(GAP) + (px(SIGN) + px(8) if key == CHECK else 0)

    @staticmethod
    def strip(start: int, width: int) -> tuple[int, int]:
        """Return where the strip begins in its column, and its width."""
        return start + px(GAP) + px(8), width - px(GAP) - px(20)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.lay_out()
        self.sight_changed.emit()

    @property
    def in_sight(self) -> range:
        """The rows in sight."""
        count = self.shelf.rowCount()
        first = max(self.rowAt(0), 0) if count else 0
        return range(first, min(first + self.rows_of_room, count))

    @property
    def rows_of_room(self) -> int:
        """How many rows there is room for."""
        return max(-(-self.viewport().height() // px(ROW)), 1)

    def settle_scale(self) -> None:
        """Let the strip's scale follow the rows in sight."""
        model = self.shelf
        bands = [model.band(row) for row in self.in_sight]
        speeds = [speed for band in bands if band is not None for speed in band]
        scale = scale_of(speeds, (model.target, model.speed_now), self.scale)
        if scale != self.scale:
            self.scale = scale
            self.horizontalHeader().viewport().update()
            self.viewport().update()

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        sheet = Sheet(painter, self.viewport().width(), self)
        region, asked = event.region(), event.rect()
        painter.fillRect(asked, sheet.theme.ground)
        model, high = self.shelf, px(ROW)
        first = self.rowAt(max(asked.top(), 0))
        if first < 0:
            painter.end()
            return
        columns = [
            (i, self._start(i), self.columnWidth(i))
            for i in range(len(model.columns))
            if not self.isColumnHidden(i)
        ]
        last = min(first + -(-asked.height() // high) + 1, model.rowCount())
        wide = self.viewport().width()
        tops = {row: self.rowViewportPosition(row) for row in range(first, last)}
        tops = {
            row: top for row, top in tops.items() if region.intersects(QRect(0, top, wide, high))
        }
        current, focused = self.currentIndex().row(), self.hasFocus()
        strip = next(
            (self.strip(start, width) for i, start, width in columns if self._is_band(i)), None
        )
        for row, top in tops.items():
            self._paint_ground(sheet, row, top, row == current, focused)
            if strip is not None and self.scale is not None:
                self._paint_band(sheet, row, top, strip, self.scale, row == current)
        if strip is not None and self.scale is not None:
            bottom = self.rowViewportPosition(model.rowCount() - 1) + high
            self._paint_lines(sheet, min(bottom, self.viewport().height()), strip, self.scale)
        # What hangs on the build changes more often than the rest.
        answers = [column for column in columns if column[0] >= model.answers_from]
        name = round(sheet.left(px(MARGIN), 1))
        for row, top in tops.items():
            is_whole = region.contains(QPoint(name, top + high // 2))
            self._paint_row(sheet, row, top, columns if is_whole else answers, row == current)
            if strip is not None and self.scale is not None:
                self._paint_ring(sheet, row, top, strip, self.scale)
        painter.end()

    def _is_band(self, column: int) -> bool:
        return self.shelf.columns[column].key == BAND

    def _start(self, column: int) -> int:
        left = self.columnViewportPosition(column)
        if self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            return self.viewport().width() - left - self.columnWidth(column)
        return left

    def _paint_ground(self, sheet: Sheet, row: int, top: int, chosen: bool, focused: bool) -> None:
        model, colours, high = self.shelf, sheet.theme, px(ROW)
        if row and not model.fits(row) and model.fits(row - 1):
            sheet.fill(0, top, sheet.width, 1, colours.line)
        if chosen:
            sheet.fill(0, top, sheet.width, high, colours.tint)
            sheet.fill(0, top, px(BAR), high, colours.accent)
            if focused:
                sheet.fill(0, top, sheet.width, 1, colours.accent)
                sheet.fill(0, top + high - 1, sheet.width, 1, colours.accent)

    def _paint_band(
        self, sheet: Sheet, row: int, top: int, strip: tuple[int, int], scale: Scale, chosen: bool
    ) -> None:
        band = self.shelf.band(row)
        if band is None or band[0] != band[0]:
            return
        colours, (start, across) = sheet.theme, strip
        ends = [min(max(scale.part(speed), 0.0), 1.0) for speed in (band[0], band[2])]
        low, high = (start + round(across * end) for end in ends)
        y, tall = top + px(10), px(ROW) - 2 * px(10)
        fill = colours.band2 if chosen else colours.band
        sheet.fill(low, y, high - low + px(1), tall, fill)
        for x in (low, high):
            sheet.fill(x, y, px(1), tall, colours.band_edge)

    def _paint_lines(self, sheet: Sheet, bottom: int, strip: tuple[int, int], scale: Scale) -> None:
        """Draw the car's own speed and the target through all rows."""
        model, colours, (start, across) = self.shelf, sheet.theme, strip
        now, target = model.speed_now, model.target
        if now is not None and scale.has(now):
            x = start + round(across * scale.part(now))
            sheet.fill(x, 0, px(1), bottom, colours.accent)
        if target is not None and scale.has(target):
            x = start + round(across * scale.part(target))
            for y in range(0, bottom, px(DASH) + px(BREAK)):
                sheet.fill(x, y, px(1), min(px(DASH), bottom - y), colours.ink)

    def _paint_ring(
        self, sheet: Sheet, row: int, top: int, strip: tuple[int, int], scale: Scale
    ) -> None:
        """Draw the row's own speed: a dot where it is in the car, a ring where it would be."""
        band = self.shelf.band(row)
        if band is None or band[1] != band[1] or not scale.has(band[1]):
            return
        colours, painter, (start, across) = sheet.theme, sheet.painter, strip
        inside = self.shelf.count_in(row) and not self.shelf.stock.kind.many
        x = sheet.left(start + round(across * scale.part(band[1]))) + 0.5
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(colours.accent if inside else colours.ink, 1.5 * px(100) / 100)
        painter.setPen(pen)
        painter.setBrush(colours.accent if inside else colours.ground)
        radius = 4.5 * px(100) / 100 if inside else 3.5 * px(100) / 100
        painter.drawEllipse(QPointF(x, top + px(ROW) / 2), radius, radius)
        painter.restore()

    def _paint_row(
        self, sheet: Sheet, row: int, top: int, columns: list[Shown], chosen: bool
    ) -> None:
        model, colours, high = self.shelf, sheet.theme, px(ROW)
        inside = model.count_in(row)
        line = baseline(top, high, "body")
        part = model.part(row)
        strong = bool(inside) or chosen
        is_grey = part.archived or not model.fits(row)
        ink = colours.ink3 if is_grey else colours.ink
        name_role = "name_chosen" if strong else "name"
        figure_role = "figure" if strong else "body"
        if inside:
            sheet.dot(px(13), line - theme.metrics("body").capHeight() / 2, px(4), colours.accent)
        for i, start, width in columns:
            key = model.columns[i].key
            if key == BAND:
                continue
            if key == CHECK:
                self._paint_check(sheet, row, top, start, width, strong)
                continue
            text = model.text(row, i)
            if i < model.stock.names:
                name = f"{text}  (archived)" if part.archived and i == 0 else text
                lead = px(MARGIN) if i == 0 else px(GAP)
                sheet.text(start + lead, line, name, name_role, ink, room=width - lead - px(8))
                continue
            late = model.is_late and i > model.answers_from
            colour = colours.ink3 if late or model.is_dim(row, i) else ink
            role = figure_role
            if key == SPEED:
                role = "figure_chosen" if strong else "body" if is_grey else "figure"
            if text == NOW or (inside and key == CHANGE):
                colour, role = colours.accent, "figure"
            elif model.is_over(row, i):
                colour, role = colours.watch, "figure"
            if model.columns[i].numeric:
                sheet.text(start + width, line, text, role, colour, RIGHT, width - px(8))
            else:
                sheet.text(start + px(GAP), line, text, role, colour, room=width - px(GAP))

    def _paint_check(
        self, sheet: Sheet, row: int, top: int, start: int, width: int, strong: bool
    ) -> None:
        model = self.shelf
        level = model.level(row)
        if level is None:
            return
        side, line = px(SIGN), baseline(top, px(ROW), "label")
        column = len(model.columns) - 1
        sheet.sign(start + px(GAP), top + (px(ROW) - side) / 2, side, level)
        is_bad = level in (Level.STOP, Level.WARN)
        colour = theme.sign_colour(level, sheet.theme) if is_bad else sheet.theme.ink2
        if model.is_late:
            colour = sheet.theme.ink3
        lead = self.lead(CHECK)
        role = "label_strong" if strong else "label"
        room = width - lead
        text = model.text(row, column)
        if theme.words(text, role).width > room:
            role = "label"
        sheet.text(start + lead, line, text, role, colour, room=room)

    # Hands ----------------------------------------------------------------------------------

    def stand_on(self, row: int) -> None:
        """Put the keyboard on a row, scrolled into the middle where it was out of sight."""
        if not 0 <= row < self.shelf.rowCount():
            return
        index = self.shelf.index(row, 0)
        self.setCurrentIndex(index)
        self.bring_into_sight(row)

    def bring_into_sight(self, row: int) -> None:
        """Scroll a row into the middle where it is out of sight."""
        index = self.shelf.index(row, 0)
        view = self.viewport().rect()
        if not view.contains(self.visualRect(index)):
            self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)

    def dataChanged(self, first: Index, last: Index, roles: Sequence[int] = ()) -> None:
        """Ask for the cells between to be painted anew, and no others."""
        rows = self.viewport().rect()
        top = max(self.rowViewportPosition(first.row()), 0)
        bottom = self.rowViewportPosition(last.row()) + px(ROW)
        left = self._start(first.column()) if first.column() else 0
        width = rows.width() - left
        if self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            left = 0
        self.viewport().update(QRect(left, top, width, min(bottom, rows.height()) - top))

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        for row in (previous.row(), current.row()):
            if row >= 0:
                top, width = self.rowViewportPosition(row), self.viewport().width()
                self.viewport().update(QRect(0, top, width, px(ROW)))
        self.row_changed.emit(current.row())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            self.put_in.emit(index.row())

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            assert isinstance(event, QHelpEvent)
            index = self.indexAt(event.pos())
            hint = self.shelf.hint(index.row(), index.column()) if index.isValid() else ""
            QToolTip.showText(event.globalPos(), hint, self)
            return True
        return super().viewportEvent(event)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_F2:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.currentIndex().row()
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        back = (
            Qt.Key.Key_Right
            if self.layoutDirection() == Qt.LayoutDirection.RightToLeft
            else Qt.Key.Key_Left
        )
        key = event.key()
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and row >= 0:
            self.put_in.emit(row)
        elif key == Qt.Key.Key_Delete and row >= 0 and plain:
            self.taken_out.emit(row)
        elif key == Qt.Key.Key_F2 and row >= 0:
            self.edit_wanted.emit(row)
        elif key == Qt.Key.Key_Space and row >= 0 and plain:
            self.hold_wanted.emit(row)
        elif key == back and plain:
            self.left_behind.emit()
        elif key == Qt.Key.Key_Escape:
            self.given_up.emit()
        elif control and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.sort_beside(-1 if key == Qt.Key.Key_Left else 1)
        elif plain and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            event.accept()
        elif event.text() and event.text().isprintable() and not control:
            self.typed.emit("" if event.text() == "/" else event.text().strip())
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters narrow the shelf instead."""

    # Sorting --------------------------------------------------------------------------------

    def sort_beside(self, step: int) -> None:
        """Sort by the next column shown, or the one before."""
        shown = [i for i in range(len(self.shelf.columns)) if not self.isColumnHidden(i)]
        column, _ = self.shelf.sorted_by
        place = shown.index(column) if column in shown else 0
        self._sort_first_by(shown[(place + step) % len(shown)])

    def turn_round(self) -> None:
        """Sort the other way round."""
        column, order = self.shelf.sorted_by
        up = Qt.SortOrder.AscendingOrder
        self.sort_by(column, Qt.SortOrder.DescendingOrder if order == up else up)

    def sort_by(self, column: int, order: Qt.SortOrder) -> None:
        """Sort, and keep the row that the keyboard stands on in sight."""
        self.shelf.sort(column, order)
        self.horizontalHeader().viewport().update()
        self.viewport().update()
        self.scrollTo(self.currentIndex())
        self.sorted_anew.emit()

    def _sort_first_by(self, column: int) -> None:
        """Sort by a column, the best first where more is better."""
        is_best = self.shelf.columns[column].key in BEST_FIRST
        way = Qt.SortOrder.DescendingOrder if is_best else Qt.SortOrder.AscendingOrder
        self.sort_by(column, way)

    def _header_clicked(self, column: int) -> None:
        if column == self.shelf.sorted_by[0]:
            self.turn_round()
        else:
            self._sort_first_by(column)
