"""The checks: what stops the car, what to watch, what is not known, and what would help."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPoint, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.button import dotted
from pennyspeed.desktop.widgets.painter import Painter, baseline, wrapped
from pennyspeed.desktop.widgets.tables.painted_list import PaintedList, RowDelegate
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import SIGN_WORDS, Level, Outcome
from pennyspeed.services.reports.check_rows import gathered

MARGIN, TEXT = 24, 48
LINE, ADVICE, OFFER, GAP = 20, 18, 26, 6
MARGIN_CHECK = "margin"
_NO_INDEX = QModelIndex()


class ChecksModel(QAbstractListModel):
    """The checks that are not fine, worst first, then how many are."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.shown: list[Outcome] = []
        self.fine = 0
        self.usual = ""

    def show(self, checks: tuple[Outcome, ...], usual: str = "") -> bool:
        """Show other checks; tell whether anything is another.

        `usual` are the values that a careful driver would set, "" where that is done.
        """
        shown = gathered(checks)
        fine = sum(check.level is Level.OK for check in checks)
        if shown == self.shown and fine == self.fine and usual == self.usual:
            return False
        self.beginResetModel()
        self.shown, self.fine, self.usual = shown, fine, usual
        self.endResetModel()
        return True

    def offer(self, row: int) -> str:
        """Return what a row offers to do, or ""."""
        is_margin = row < len(self.shown) and self.shown[row].code == MARGIN_CHECK
        return f"set {self.usual}" if is_margin and self.usual else ""

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
            said = f"{SIGN_WORDS[check.level]}: {check.text} {check.advice}"
            return f"{said} {self.offer(index.row())}".strip()
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
        offer = px(OFFER) if self._model.offer(row) else 0
        return px(GAP) + px(LINE) * len(text) + px(ADVICE) * len(advice) + offer

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
        y = painter.lines(px(TEXT), y, px(ADVICE), advice, "label", colours.ink2)
        offer = self._model.offer(row)
        if offer:
            line = baseline(y, px(OFFER), "label_strong")
            width = painter.text(px(TEXT), line, offer, "label_strong", colours.ink)
            dotted(painter, px(TEXT), line + px(4), width)


class ChecksView(PaintedList):
    """The checks; Enter goes to the slot that a check concerns, or to the margin on this road.

    Signals
    -------
    slot_wanted(str)
    margin_wanted()
    careful_wanted()
        The person takes what the margin offers.
    """

    slot_wanted = Signal(str)
    margin_wanted = Signal()
    careful_wanted = Signal()

    def __init__(self, model: ChecksModel, parent: QWidget | None = None) -> None:
        super().__init__(model, "side", parent)
        self._model = model
        self._pressed = QPoint()
        self.setItemDelegate(CheckDelegate(self, model))
        self.setAccessibleName("checks")
        self.clicked.connect(self._clicked)

    def lay_out(self) -> None:
        """Break the sentences into lines anew."""
        self.verticalScrollBar().setSingleStep(px(LINE))
        self.doItemsLayout()

    def show_stop(self, before: set[str]) -> None:
        """Bring the first stop into sight that was not among those `before`, by their codes."""
        for row, check in enumerate(self._model.shown):
            if check.level is Level.STOP and check.code not in before:
                self.scrollTo(self._model.index(row), self.ScrollHint.PositionAtTop)
                return

    def sizeHint(self) -> QSize:
        return QSize(px(304), self.needed_height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.lay_out()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._pressed = event.position().toPoint()
        super().mousePressEvent(event)

    def _clicked(self, index: QModelIndex) -> None:
        """Take what a row offers where that was clicked, else go where the row leads."""
        last = self.visualRect(index)
        last.setTop(last.bottom() - px(OFFER))
        if self._model.offer(index.row()) and last.contains(self._pressed):
            self.careful_wanted.emit()
        else:
            self._go(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        by_mouse = event.reason() is Qt.FocusReason.MouseFocusReason
        # A click is on a row already, which would be scrolled away from under it.
        if self.currentIndex().row() < 0 and self._model.rowCount() and not by_mouse:
            self.setCurrentIndex(self._model.index(0))

    def _go(self, index: QModelIndex) -> None:
        if 0 <= index.row() < len(self._model.shown):
            check = self._model.shown[index.row()]
            if check.slots:
                self.slot_wanted.emit(check.slots[0])
            elif check.code == MARGIN_CHECK:
                self.margin_wanted.emit()
