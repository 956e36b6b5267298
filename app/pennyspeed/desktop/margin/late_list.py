"""Late lifts: how late, where the car stands then, and what happens."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractListModel, QLineF, QModelIndex, QObject, Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.strokes import dashed
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import LEFT, RIGHT, Painter, baseline
from pennyspeed.desktop.widgets.tables.painted_list import PaintedList, RowDelegate
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.physics.predict import HALF_A_SECOND
from pennyspeed.services.prediction.margin import LATE_BY, LateRow

ROW, HEAD = 26, 28
DASH = 26
"""What stands before a row: the dash of its curve."""
WIDEST = 560
_STOPS_FROM = 380
"""Of the list's width; a narrower one leaves out where the car stands."""
_NO_INDEX = QModelIndex()


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the columns stand in a list of some width; figures end there."""

    stops: float | None
    left: float
    end: float
    happens: float

    @classmethod
    def of(cls, width: float) -> Columns:
        """Return them."""
        words = px(20) + theme.metrics("label").horizontalAdvance("into the reserve") + px(4)
        happens = width - max(words, 0.26 * (width - px(DASH)))
        first = px(DASH) + theme.metrics("body").horizontalAdvance("on time")
        has_stops = width >= px(_STOPS_FROM)
        end = happens - px(16 if has_stops else 10)
        pitch = (end - first) / (3 if has_stops else 2)
        return cls(first + pitch if has_stops else None, end - pitch, end, happens)

    def heads(self) -> list[tuple[float, str, float]]:
        """Return each head with where it stands and how it is aligned."""
        found = [(float(px(DASH)), "late by", LEFT)]
        if self.stops is not None:
            found.append((self.stops, "stops at", RIGHT))
        end = "at road’s end" if self.stops is not None else "at its end"
        return [
            *found,
            (self.left, "road left", RIGHT),
            (self.end, end, RIGHT),
            (self.happens, "what happens", LEFT),
        ]


class LateModel(QAbstractListModel):
    """The late lifts, each as one sentence for a screen reader."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows: tuple[LateRow, ...] = ()

    def show(self, rows: Sequence[LateRow]) -> None:
        """Show other rows; only their figures are others where they are as many."""
        if len(rows) == len(self.rows):
            self.rows = tuple(rows)
            if rows:
                self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self.rows = tuple(rows)
        self.endResetModel()

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.rows[index.row()].late_by
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.rows[index.row()].sentence
        return None


class LateDelegate(RowDelegate):
    """Paints a late lift; the one on the plot carries the dash of its curve."""

    def __init__(self, view: LateList, model: LateModel) -> None:
        super().__init__(view)
        self._model, self._list = model, view

    def row_height(self, row: int) -> int:
        return self._list.row_height()

    def paint_row(self, painter: Painter, row: int, height: int, has_focus: bool) -> None:
        late, colours = self._model.rows[row], painter.theme
        is_here = self.is_current(row)
        if has_focus:
            painter.fill(0, 0, painter.width, height, colours.tint)
            painter.fill(0, 0, painter.width, 1, colours.accent)
            painter.fill(0, height - 1, painter.width, 1, colours.accent)
        line = baseline(0, height, "body")
        role = "figure" if is_here else "body"
        if is_here and late.late.seconds > 0.0:
            self._dash(painter, height / 2)
        at, colour = Columns.of(painter.width), theme.sign_colour(late.level, colours)
        painter.text(px(DASH), line, late.late_by, role, colours.ink)
        if at.stops is not None:
            painter.text(at.stops, line, late.stops_at, role, colours.ink, RIGHT)
        is_off = late.level is Level.STOP
        left_role = "figure" if is_off or is_here else "body"
        left_colour = colour if is_off else colours.ink
        painter.text(at.left, line, late.road_left, left_role, left_colour, RIGHT)
        ink = colours.ink if is_off else colours.ink2
        painter.text(at.end, line, late.at_end, role if is_off else "body", ink, RIGHT)
        painter.sign(at.happens, (height - px(16)) / 2, px(16), late.level)
        line = baseline(0, height, "label")
        painter.text(at.happens + px(20), line, late.happens, "label", colour)

    @staticmethod
    def _dash(painter: Painter, y: float) -> None:
        p = painter.qt_painter
        p.setPen(dashed(painter.theme.ink, px(7), px(3), 1.75 * px(1)))
        x = painter.left(px(2), px(DASH) - px(9))
        p.drawLine(QLineF(x, round(y), x + px(DASH) - px(9), round(y)))


class LateList(PaintedList):
    """The late lifts; the current one is drawn along the road."""

    def __init__(self, model: LateModel, parent: QWidget | None = None) -> None:
        super().__init__(model, "ground", parent)
        self._model = model
        self.setItemDelegate(LateDelegate(self, model))
        self.setAccessibleName("late lifts on this road")
        model.modelReset.connect(self._stand)

    @property
    def late(self) -> LateRow | None:
        """The row that is drawn along the road."""
        row = self.currentIndex().row()
        return self._model.rows[row] if 0 <= row < len(self._model.rows) else None

    def row_height(self) -> int:
        """Return how high a row is: less where all of them would else have no room."""
        room = self.viewport().height() // max(len(self._model.rows), 1)
        return min(max(room, px(20)), px(ROW))

    def go_on(self) -> None:
        """Go to the next row, from the last to the first."""
        count = self._model.rowCount()
        if count:
            self.setCurrentIndex(self._model.index((self.currentIndex().row() + 1) % count))

    def _stand(self) -> None:
        if self._model.rowCount():
            self.setCurrentIndex(self._model.index(LATE_BY.index(HALF_A_SECOND)))

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()
