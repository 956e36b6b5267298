"""What would narrow the range of speeds most: what to measure, how long that takes, and how."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.verdict import NARROWING
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, wrapped
from pennyspeed.desktop.widgets.tables.painted_list import PaintedList, RowDelegate
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.units import KMH
from pennyspeed.services.estimates.narrowing_rows import NarrowingRow, narrowing_row
from pennyspeed.services.prediction.forecast import Band

MARGIN, BAR, PAD, LINE, HOW, STRIP = 24, 4, 6, 22, 18, 26
WAIT = 250
"""Milliseconds from a change to asking: the shelf's answers come first."""
_NO_INDEX = QModelIndex()


class Narrowings(QObject):
    """Asks beside the window what could be measured of the build shown.

    Signals
    -------
    answered()
        `rows` are those of the build shown.
    """

    answered = Signal()

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self.rows: list[NarrowingRow] = []
        self._build: Build | None = None
        self._jobs = JobQueue(self, newest_only=True)
        self._rest = QTimer(self, singleShot=True, interval=WAIT)
        self._rest.timeout.connect(self._work)
        session.file.closed.connect(self._stop)

    @property
    def is_current(self) -> bool:
        """Whether `rows` are those of the build shown."""
        return self._build is self._session.bench.build

    def ask(self) -> None:
        """Ask of the build shown, once the hand rests."""
        if not self.is_current:
            self._rest.start()

    def _work(self) -> None:
        build, measures = self._session.bench.build, self._session.bench.measures
        if build is None or self._session.file.is_closed:
            return

        def work() -> list[NarrowingRow]:
            from pennyspeed.services.estimates.narrowing import narrowings

            return [narrowing_row(one, measures) for one in narrowings(build)]

        def then(rows: list[NarrowingRow]) -> None:
            if build is self._session.bench.build:
                self.rows, self._build = rows, build
                self.answered.emit()

        self._jobs.submit(work, then)

    def _stop(self) -> None:
        self._rest.stop()
        self._jobs.wait()


class NarrowingModel(QAbstractListModel):
    """The measurements, the narrowest range first."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.rows: list[NarrowingRow] = []

    def show(self, rows: list[NarrowingRow]) -> None:
        """Show other measurements."""
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        row = self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.title
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return row.spoken
        if role == Qt.ItemDataRole.ToolTipRole:
            return f"{row.how} {row.caution}".rstrip()
        return None


class NarrowingDelegate(RowDelegate):
    """Paints a measurement; of the chosen one also the range then, how it is done, what to mind."""

    def __init__(self, view: NarrowingView, model: NarrowingModel) -> None:
        super().__init__(view)
        self._model = model
        self.band: Band | None = None
        self.unit_kmh = 1.0

    def _lines(self, row: int) -> list[str]:
        one, room = self._model.rows[row], self._view.width() - 2 * px(MARGIN)
        return wrapped(one.how, "label", room) + wrapped(one.caution, "label", room)

    def row_height(self, row: int) -> int:
        height = 2 * px(PAD) + 2 * px(LINE)
        if self.is_current(row):
            height += px(STRIP) + px(HOW) * len(self._lines(row))
        return height

    def paint_row(self, painter: Painter, row: int, height: int, has_focus: bool) -> None:
        colours, one, chosen = painter.theme, self._model.rows[row], self.is_current(row)
        left, right = px(MARGIN), self._view.width() - px(MARGIN)
        if chosen:
            painter.fill(0, 0, painter.width, height, colours.tint)
            painter.fill(0, 0, px(BAR), height, colours.accent)
            if has_focus:
                painter.fill(0, 0, painter.width, 1, colours.accent)
                painter.fill(0, height - 1, painter.width, 1, colours.accent)
        top = px(PAD)
        line = baseline(top, px(LINE), "body")
        wide = painter.text(right, line, one.minutes, "label", colours.ink2, RIGHT)
        role = "name_chosen" if chosen else "name"
        room = right - left - wide - px(8)
        painter.text(left, line, one.title, role, colours.ink, room=room)
        top += px(LINE)
        if chosen:
            self._paint_strip(painter, one, top, left, right)
            top += px(STRIP)
        line = baseline(top, px(LINE), "label")
        painter.text(left, line, "range then", "label", colours.ink2)
        painter.text(right, line, one.range, "label_strong", colours.ink, RIGHT)
        if chosen:
            lines = self._lines(row)
            painter.lines(left, top + px(LINE), px(HOW), lines, "label", colours.ink2)

    def _paint_strip(
        self, painter: Painter, one: NarrowingRow, top: int, left: int, right: int
    ) -> None:
        """Draw the range of today as a line with ends, and the range then as a box on it."""
        if self.band is None:
            return
        colours, middle = painter.theme, top + px(STRIP) // 2
        low, now, high = (
            KMH.from_si(speed) * self.unit_kmh
            for speed in (self.band.p10, self.band.p50, self.band.p90)
        )
        start, end = min(low, one.low), max(high, one.high)
        reach = (right - left) / max(1.3 * (end - start), 1e-9)
        begin = left + 0.15 * (right - left) / 1.3

        def place(speed: float) -> int:
            return round(begin + (speed - start) * reach)

        painter.fill(place(low), middle, place(high) - place(low), 1, colours.band_edge)
        for speed in (low, high):
            painter.fill(place(speed), middle - px(5), 1, px(10), colours.band_edge)
        box = place(one.high) - place(one.low)
        painter.fill(place(one.low), middle - px(7), box, px(14), colours.band_edge)
        painter.fill(place(one.low) + 1, middle - px(6), box - 2, px(14) - 2, colours.band2)
        painter.fill(place(now) - 1, middle - px(8), px(3), px(16), colours.accent)


class NarrowingView(PaintedList):
    """The measurements, one of them open."""

    keys = NARROWING

    def __init__(self, parent: QWidget) -> None:
        self.rows_model = NarrowingModel(parent)
        super().__init__(self.rows_model, "side", parent)
        self.delegate = NarrowingDelegate(self, self.rows_model)
        self.setItemDelegate(self.delegate)
        self.setAccessibleName("what would narrow it most")

    def show_rows(self, rows: list[NarrowingRow], band: Band | None, unit: float) -> None:
        """Show other measurements, with the range of today, and open the first."""
        self.delegate.band, self.delegate.unit_kmh = band, unit
        self.rows_model.show(rows)
        if rows and self.currentIndex().row() < 0:
            self.setCurrentIndex(self.rows_model.index(0))
        self.doItemsLayout()

    def currentChanged(self, current: QModelIndex, previous: QModelIndex) -> None:  # type: ignore[override]
        super().currentChanged(current, previous)
        self.doItemsLayout()
        self.scrollTo(current)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.currentIndex().row() < 0 and self.rows_model.rows:
            self.setCurrentIndex(self.rows_model.index(0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.doItemsLayout()

    def rescale(self) -> None:
        """Lay the rows out at another text size."""
        self.verticalScrollBar().setSingleStep(px(LINE))
        self.doItemsLayout()
