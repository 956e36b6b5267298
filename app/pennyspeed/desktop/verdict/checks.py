"""The checks: what stops the car, what to watch, what is not known, and what would help."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painted_list import PaintedList
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level, Outcome

MARGIN, TEXT = 24, 48
LINE, ADVICE, GAP = 20, 18, 6
ORDER = (Level.STOP, Level.WARN, Level.UNKNOWN)
_NO_INDEX = QModelIndex()


def summary(checks: tuple[Outcome, ...]) -> list[tuple[str, Level]]:
    """Return how many checks end at each level, as words: "1 stop", "2 watch"."""
    counts = Counter(check.level for check in checks)
    return [
        (f"{counts[level]} {theme.SIGN_WORDS[level]}", level) for level in ORDER if counts[level]
    ]


def gathered(checks: tuple[Outcome, ...]) -> list[Outcome]:
    """Return the checks that are not fine, worst first; those that say the same stand once."""
    found: dict[tuple[Level, str], list[Outcome]] = {}
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
        self.shown: list[Outcome] = []
        self.fine = 0

    def show(self, checks: tuple[Outcome, ...]) -> bool:
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


class ChecksView(PaintedList):
    """The checks, painted; Enter goes to the slot that a check concerns.

    Signals
    -------
    slot_wanted(str)
    """

    slot_wanted = Signal(str)

    def __init__(self, model: ChecksModel, parent: QWidget | None = None) -> None:
        self._model = model
        self._rows: list[tuple[int, int, list[str], list[str]]] = []
        super().__init__(model, parent)
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

    @property
    def count(self) -> int:
        return len(self._rows)

    def span(self, row: int) -> tuple[int, int]:
        top, high, *_ = self._rows[row]
        return top, high

    def line_height(self) -> int:
        return px(LINE)

    def sizeHint(self) -> QSize:
        return QSize(px(304), self.needed())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self.viewport(), "side") as painter:
            colours = painter.theme
            current = self.currentIndex().row() if self.hasFocus() else -1
            for i, (top, high, text, advice) in enumerate(self._rows):
                top -= self.verticalOffset()
                if top + high < event.rect().top() or top > event.rect().bottom():
                    continue
                if i == current:
                    painter.fill(0, top, painter.width, high, colours.tint)
                    painter.fill(0, top, painter.width, 1, colours.accent)
                    painter.fill(0, top + high - 1, painter.width, 1, colours.accent)
                y = top + px(GAP) / 2
                if i >= len(self._model.shown):
                    painter.sign(px(MARGIN), y + px(2), px(16), Level.OK)
                    line = baseline(y, px(LINE), "label")
                    painter.text(px(TEXT), line, f"{self._model.fine} fine", "label", colours.ink2)
                    continue
                painter.sign(px(MARGIN), y + px(2), px(16), self._model.shown[i].level)
                for words in text:
                    line = baseline(y, px(LINE), "name_chosen")
                    painter.text(px(TEXT), line, words, "name_chosen", colours.ink)
                    y += px(LINE)
                for words in advice:
                    line = baseline(y, px(ADVICE), "label")
                    painter.text(px(TEXT), line, words, "label", colours.ink2)
                    y += px(ADVICE)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.currentIndex().row() < 0 and self._rows:
            self.setCurrentIndex(self._model.index(0))
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def _go(self, index: QModelIndex) -> None:
        if 0 <= index.row() < len(self._model.shown):
            slots = self._model.shown[index.row()].slots
            if slots:
                self.slot_wanted.emit(slots[0])
