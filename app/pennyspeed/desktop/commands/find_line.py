"""The find line: type a few letters of a part, a build or an action, and Enter goes there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QAbstractListModel, QEvent, QModelIndex, QObject, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QFocusEvent,
    QKeyEvent,
    QPaintEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.tables.painted_list import PaintedList, RowDelegate
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.search import SearchEntry, find

WIDE, FIELD, ROW, FOOT, PAD, MOST_ROWS = 640, 44, 32, 28, 16, 10
ICON = 28
_NO_INDEX = QModelIndex()


class FoundModel(QAbstractListModel):
    """What answers to the letters, best first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.found: list[SearchEntry] = []

    def show(self, found: list[SearchEntry]) -> None:
        """Show other answers."""
        self.beginResetModel()
        self.found = found
        self.endResetModel()

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.found)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        entry = self.found[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return entry.name
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return said(entry)
        return None


def said(entry: SearchEntry) -> str:
    """Return how a screen reader says a row."""
    return ", ".join(filter(None, (entry.name, entry.group, entry.note)))


class FoundDelegate(RowDelegate):
    """Paints an answer: its icon, its name, where it belongs, and what else is to be said."""

    def __init__(self, view: FoundView, model: FoundModel) -> None:
        super().__init__(view)
        self._model = model

    def row_height(self, row: int) -> int:
        return px(ROW)

    def paint_row(self, painter: Painter, row: int, height: int, has_focus: bool) -> None:
        entry, is_current, colours = self._model.found[row], self.is_current(row), painter.theme
        if is_current:
            painter.fill(0, 0, painter.width, height, colours.tint)
            painter.fill(0, 0, px(4), height, colours.accent)
        left, right, side = px(PAD), painter.width - px(PAD), px(18)
        if entry.is_deed and not (row and self._model.found[row - 1].is_deed):
            painter.fill(px(PAD), 0, painter.width - 2 * px(PAD), px(2), colours.line)
        if entry.icon:
            colour = colours.accent if is_current else colours.ink2
            painter.icon(left, (height - side) / 2, side, entry.icon, colour)
        line = baseline(0, height, "body")
        if entry.note:
            right -= painter.text(right, line, entry.note, "label", colours.ink2, RIGHT) + px(12)
        start = left + px(ICON)
        role = "name_chosen" if is_current else "name"
        group = theme.words(entry.group, "label").width + px(12)
        room = right - start - group
        width = painter.text(start, line, entry.name, role, colours.ink, room=room)
        x = start + width + px(12)
        painter.text(x, line, entry.group, "label", colours.ink2, room=right - x)


class FoundView(PaintedList):
    """The answers; the keyboard stays in the line above."""

    def __init__(self, model: FoundModel, parent: QWidget) -> None:
        super().__init__(model, "ground", parent)
        self.setItemDelegate(FoundDelegate(self, model))
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerItem)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setUniformItemSizes(True)
        self.setMouseTracking(True)
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAccessibleName("what was found")


class FindLine(Scaled, QWidget):
    """A line to type in over the top of the window, and below it what was found.

    Enter goes to the first hit, unless that is a deed: it is only chosen then, and Enter again
    does it.

    Parameters
    ----------
    gather : callable
        Returns everything that can be found, afresh.
    """

    closed = Signal()

    def __init__(self, gather: Callable[[], list[SearchEntry]], parent: QWidget) -> None:
        super().__init__(parent)
        self._gather = gather
        self._entries: list[SearchEntry] = []
        self._before: QWidget | None = None
        self.setAccessibleName("find anything")
        self.field = LineEdit("find anything: a part, a build, or what to do", self)
        self.field.setAccessibleName("find anything")
        self.field.setAccessibleDescription(
            "Type a few letters; up and down choose, Enter goes there, Escape goes back. "
            "What changes something stands last, and is not chosen by itself."
        )
        self.model = FoundModel(self)
        self.view = FoundView(self.model, self)
        self.field.textChanged.connect(self._narrow)
        self.field.installEventFilter(self)
        self.view.clicked.connect(lambda index: self._go(index.row()))
        parent.installEventFilter(self)
        self.hide()

    # Opening --------------------------------------------------------------------------------

    def open(self, before: QWidget | None) -> None:
        """Open the line; Escape gives the keyboard back to `before`."""
        if self.isVisible():
            self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
            self.field.selectAll()
            return
        self._before = before
        self.renew()
        self.field.clear()
        self._narrow("")
        self.rescale()
        self.show()
        self.raise_()
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def renew(self) -> None:
        """Gather anew what can be found, while the line stays as it is."""
        self._entries = self._gather()
        if self.isVisible():
            self._narrow(self.field.text())

    def leave(self, give_back: bool = True) -> None:
        """Close, and give the keyboard back where it was."""
        if not self.isVisible():
            return
        before, self._before = self._before, None
        self.hide()
        if give_back and before is not None:
            before.setFocus(Qt.FocusReason.OtherFocusReason)
        self._entries = []
        self.closed.emit()

    def rescale(self) -> None:
        parent = self.parentWidget()
        assert parent is not None
        room = parent.width() - 2 * px(8)
        width = min(px(WIDE), room)
        rows = min(max(self.model.rowCount(), 1), MOST_ROWS)
        rows = max(min(rows, (parent.height() - px(FIELD + FOOT + 24)) // px(ROW)), 1)
        height = px(FIELD) + rows * px(ROW) + px(FOOT)
        self.setGeometry((parent.width() - width) // 2, px(4), width, height)
        self.field.setGeometry(px(PAD), px(6), width - 2 * px(PAD), px(FIELD) - px(10))
        self.view.setGeometry(1, px(FIELD), width - 2, rows * px(ROW))
        self.view.doItemsLayout()

    # Finding --------------------------------------------------------------------------------

    @property
    def found(self) -> list[SearchEntry]:
        """What answers to the letters, best first."""
        return self.model.found

    def _narrow(self, text: str) -> None:
        self.model.show(find(self._entries, text))
        if self.found and not self.found[0].is_deed:
            self.view.setCurrentIndex(self.model.index(0))
        self.rescale()
        self.view.setVisible(bool(self.model.rowCount()))
        self._announce()
        self.update()

    def _announce(self) -> None:
        """Say the row that Enter would take, since the keyboard does not move to it."""
        row = self.view.currentIndex().row()
        if self.found:
            words = said(self.found[row]) if row >= 0 else "Down chooses what to do"
        else:
            words = self._nothing()
        self.view.setAccessibleDescription(words)
        if self.isVisible() and QAccessible.isActive():
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self.field, words))

    def _nothing(self) -> str:
        return f"Nothing has “{self.field.text().strip()}” in it"

    def _step(self, by: int) -> None:
        last = self.model.rowCount() - 1
        if last >= 0:
            row = min(max(self.view.currentIndex().row() + by, 0), last)
            self.view.setCurrentIndex(self.model.index(row))
            self._announce()

    def _go(self, row: int) -> None:
        if 0 <= row < len(self.found):
            entry = self.found[row]
            self.leave()
            entry.act()

    # Hands ----------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if watched is self.field:
            if kind == QEvent.Type.ShortcutOverride:
                assert isinstance(event, QKeyEvent)
                if event.key() == Qt.Key.Key_Escape:
                    event.accept()
                    return True
            elif kind == QEvent.Type.KeyPress:
                assert isinstance(event, QKeyEvent)
                return self._do_key(event)
            elif kind == QEvent.Type.FocusOut:
                assert isinstance(event, QFocusEvent)
                kept = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
                if event.reason() not in kept:
                    self.leave(give_back=False)
        elif kind == QEvent.Type.Resize and self.isVisible():
            self.rescale()
        return False

    def _do_key(self, event: QKeyEvent) -> bool:
        key = event.key()
        page = self.view.verticalScrollBar().pageStep()
        steps = {
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_Up: -1,
            Qt.Key.Key_PageDown: page,
            Qt.Key.Key_PageUp: -page,
        }
        if key in steps:
            self._step(steps[Qt.Key(key)])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            row = self.view.currentIndex().row()
            if row < 0:
                self._step(1)
            else:
                self._go(row)
        elif key == Qt.Key.Key_Escape:
            self.leave()
        elif key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            self._step(1 if key == Qt.Key.Key_Tab else -1)
        else:
            return False
        return True

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            foot = self.height() - px(FOOT)
            if not self.found:
                line = baseline(px(FIELD), px(ROW), "body")
                room = self.width() - 2 * px(PAD)
                painter.text(px(PAD), line, self._nothing(), "body", colours.ink2, room=room)
            painter.fill(px(PAD), foot, self.width() - 2 * px(PAD), 1, colours.rule)
            line = baseline(foot, px(FOOT), "label")
            x = float(px(PAD))
            for key, what in (("Enter", "goes there or does it"), ("Esc", "goes back")):
                x += painter.text(x, line, key, "label_strong", colours.ink) + px(4)
                x += painter.text(x, line, what, "label", colours.ink2) + px(20)
            painter.frame(self.rect(), colours.line)
