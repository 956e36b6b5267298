"""The checks: what stops the car, what to watch, what is not known, and what would help."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QListView, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.pieces import SlimBar
from pennyspeed.desktop.sheet import Sheet, baseline, wrapped
from pennyspeed.desktop.table import Index
from pennyspeed.desktop.theme import px
from pennyspeed.domain.checks import Check, Level

MARGIN, TEXT = 24, 48
LINE, ADVICE, GAP = 20, 18, 6
ORDER = (Level.STOP, Level.WARN, Level.UNKNOWN)
_NO_INDEX = QModelIndex()


def summary(checks: tuple[Check, ...]) -> list[tuple[str, Level]]:
    """Return how many checks end at each level, as words: "1 stop", "2 watch"."""
    counts = Counter(check.level for check in checks)
    return [
        (f"{counts[level]} {theme.SIGN_WORDS[level]}", level) for level in ORDER if counts[level]
    ]


def gathered(checks: tuple[Check, ...]) -> list[Check]:
    """Return the checks that are not fine, worst first; those that say the same stand once."""
    found: dict[tuple[Level, str], list[Check]] = {}
    for level in ORDER:
        for check in checks:
            if check.level is level:
                found.setdefault((level, check.text), []).append(check)
    return [
        alike[0]
        if len(alike) == 1
        else replace(alike[0], text=f"{alike[0].text} ({len(alike)} checks)")
        for alike in found.values()
    ]


class ChecksModel(QAbstractListModel):
    """The checks that are not fine, worst first, then how many are."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.shown: list[Check] = []
        self.fine = 0

    def show(self, checks: tuple[Check, ...]) -> bool:
        """Show other checks; tell whether anything is another."""
        shown = gathered(checks)
        fine = sum(check.level is Level.OK for check in checks)
        if shown == self.shown and fine == self.fine:
            return False
        self.beginResetModel()
        self.shown, self.fine = shown, fine
        self.endResetModel()
        return True

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.shown) + (1 if self.fine else 0)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        if index.row() >= len(self.shown):
            return f"{self.fine} fine" if role == Qt.ItemDataRole.DisplayRole else None
        check = self.shown[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return check.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{theme.SIGN_WORDS[check.level]}: {check.text} {check.advice}".strip()
        if role == Qt.ItemDataRole.ToolTipRole:
            return check.advice or None
        return None


class ChecksView(QListView):
    """The checks, painted; Enter goes to the slot that a check concerns.

    Signals
    -------
    slot_wanted(str)
    """

    slot_wanted = Signal(str)

    def __init__(self, model: ChecksModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self._rows: list[tuple[int, int, list[str], list[str]]] = []
        self.setModel(model)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(SlimBar("side", self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setAccessibleName("checks")
        self.clicked.connect(self._go)

    def lay_out(self) -> int:
        """Break the sentences into lines; return the height that all rows need."""
        width = self.viewport().width()
        room = width - px(TEXT) - px(MARGIN)
        self._rows = []
        top = 0
        for check in self._model.shown:
            text = wrapped(check.text.rstrip("."), "name_chosen", room)
            advice = wrapped(check.advice.rstrip("."), "label", room) if check.advice else []
            high = px(GAP) + px(LINE) * len(text) + px(ADVICE) * len(advice)
            self._rows.append((top, high, text, advice))
            top += high
        if self._model.fine:
            self._rows.append((top, px(GAP + LINE), [], []))
            top += px(GAP + LINE)
        self.updateGeometries()
        self.viewport().update()
        return top

    def needed(self) -> int:
        """Return the height that all rows need."""
        return self._rows[-1][0] + self._rows[-1][1] if self._rows else 0

    def visualRect(self, index: Index) -> QRect:
        if not 0 <= index.row() < len(self._rows):
            return QRect()
        top, high, *_ = self._rows[index.row()]
        return QRect(0, top - self.verticalOffset(), self.viewport().width(), high)

    def indexAt(self, point: Any) -> QModelIndex:
        y = point.y() + self.verticalOffset()
        for i, (top, high, *_) in enumerate(self._rows):
            if top <= y < top + high:
                return self._model.index(i)
        return QModelIndex()

    def doItemsLayout(self) -> None:
        """Rows are placed here, not by Qt, whose delayed layout would paint a second time."""

    def verticalOffset(self) -> int:
        return self.verticalScrollBar().value()

    def updateGeometries(self) -> None:
        bar = self.verticalScrollBar()
        bar.setRange(0, max(self.needed() - self.viewport().height(), 0))
        bar.setPageStep(self.viewport().height())
        bar.setSingleStep(px(LINE))

    def sizeHint(self) -> QSize:
        return QSize(px(304), self.needed())

    def scrollTo(
        self,
        index: Index,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        rect, bar = self.visualRect(index), self.verticalScrollBar()
        if rect.top() < 0:
            bar.setValue(bar.value() + rect.top())
        elif rect.bottom() >= self.viewport().height():
            bar.setValue(bar.value() + rect.bottom() + 1 - self.viewport().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.lay_out()
        self.updateGeometries()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        sheet = Sheet(painter, self.viewport().width(), self)
        colours = sheet.theme
        painter.fillRect(event.rect(), colours.side)
        current = self.currentIndex().row() if self.hasFocus() else -1
        for i, (top, high, text, advice) in enumerate(self._rows):
            top -= self.verticalOffset()
            if top + high < event.rect().top() or top > event.rect().bottom():
                continue
            if i == current:
                sheet.fill(0, top, sheet.width, high, colours.tint)
                sheet.fill(0, top, sheet.width, 1, colours.accent)
                sheet.fill(0, top + high - 1, sheet.width, 1, colours.accent)
            y = top + px(GAP) / 2
            if i >= len(self._model.shown):
                sheet.sign(px(MARGIN), y + px(2), px(16), Level.OK)
                line = baseline(y, px(LINE), "label")
                sheet.text(px(TEXT), line, f"{self._model.fine} fine", "label", colours.ink2)
                continue
            sheet.sign(px(MARGIN), y + px(2), px(16), self._model.shown[i].level)
            for words in text:
                line = baseline(y, px(LINE), "name_chosen")
                sheet.text(px(TEXT), line, words, "name_chosen", colours.ink)
                y += px(LINE)
            for words in advice:
                line = baseline(y, px(ADVICE), "label")
                sheet.text(px(TEXT), line, words, "label", colours.ink2)
                y += px(ADVICE)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go(self.currentIndex())
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            last = len(self._rows) - 1
            row = min(max(self.currentIndex().row() + step, 0), last)
            if row >= 0:
                self.setCurrentIndex(self._model.index(row))
                self.scrollTo(self._model.index(row))
        else:
            event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.currentIndex().row() < 0 and self._rows:
            self.setCurrentIndex(self._model.index(0))
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()

    def _go(self, index: QModelIndex) -> None:
        if 0 <= index.row() < len(self._model.shown):
            slots = self._model.shown[index.row()].slots
            if slots:
                self.slot_wanted.emit(slots[0])
