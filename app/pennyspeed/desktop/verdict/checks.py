"""The checks: what stops the car, what to watch, what is not known, and what would help."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.painter import Painter, baseline, wrapped
from pennyspeed.desktop.widgets.tables.painted_list import PaintedList, RowDelegate
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import SIGN_WORDS, Level, Outcome
from pennyspeed.services.reports.check_rows import gathered

MARGIN, TEXT = 24, 48
LINE, ADVICE, GAP = 20, 18, 6
_NO_INDEX = QModelIndex()


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
            return f"{SIGN_WORDS[check.level]}: {check.text} {check.advice}".strip()
        if role == Qt.ItemDataRole.ToolTipRole:
            return check.advice or None
        return None


class CheckDelegate(RowDelegate):
    """Paints a check: its sign, its sentence, and below it what would help."""

    def __init__(self, view: ChecksView, model: ChecksModel) -> None:
        super().__init__(view)
        self._model = model

    def _lines(self, row: int) -> tuple[list[str], list[str]]:
        """Return sentence and advice of a check, broken into lines."""
        check = self._model.shown[row]
        room = self._view.viewport().width() - px(TEXT) - px(MARGIN)
        text = wrapped(check.text.rstrip("."), "name_chosen", room)
        return text, wrapped(check.advice.rstrip("."), "label", room)

    def row_height(self, row: int) -> int:
        if row >= len(self._model.shown):
            return px(GAP + LINE)
        text, advice = self._lines(row)
        return px(GAP) + px(LINE) * len(text) + px(ADVICE) * len(advice)

    def paint_row(self, painter: Painter, row: int, height: int, has_focus: bool) -> None:
        colours, y = painter.theme, px(GAP) / 2
        if has_focus:
            painter.fill(0, 0, painter.width, height, colours.tint)
            painter.fill(0, 0, painter.width, 1, colours.accent)
            painter.fill(0, height - 1, painter.width, 1, colours.accent)
        if row >= len(self._model.shown):
            painter.sign(px(MARGIN), y + px(2), px(16), Level.OK)
            line = baseline(y, px(LINE), "label")
            painter.text(px(TEXT), line, f"{self._model.fine} fine", "label", colours.ink2)
            return
        painter.sign(px(MARGIN), y + px(2), px(16), self._model.shown[row].level)
        text, advice = self._lines(row)
        y = painter.lines(px(TEXT), y, px(LINE), text, "name_chosen", colours.ink)
        painter.lines(px(TEXT), y, px(ADVICE), advice, "label", colours.ink2)


class ChecksView(PaintedList):
    """The checks; Enter goes to the slot that a check concerns.

    Signals
    -------
    slot_wanted(str)
    """

    slot_wanted = Signal(str)

    def __init__(self, model: ChecksModel, parent: QWidget | None = None) -> None:
        super().__init__(model, "side", parent)
        self._model = model
        self.setItemDelegate(CheckDelegate(self, model))
        self.setAccessibleName("checks")
        self.clicked.connect(self._go)

    def lay_out(self) -> None:
        """Break the sentences into lines anew."""
        self.verticalScrollBar().setSingleStep(px(LINE))
        self.doItemsLayout()

    def sizeHint(self) -> QSize:
        return QSize(px(304), self.needed_height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.lay_out()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.currentIndex().row() < 0 and self._model.rowCount():
            self.setCurrentIndex(self._model.index(0))

    def _go(self, index: QModelIndex) -> None:
        if 0 <= index.row() < len(self._model.shown):
            slots = self._model.shown[index.row()].slots
            if slots:
                self.slot_wanted.emit(slots[0])
