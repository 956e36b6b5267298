"""The cautions: what can hurt, and who has the last word on it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.services.reports.report import CAUTIONS

MARGIN, MEASURE, LINE = 24, 560, 24


class Cautions(QWidget):
    """A page of text; Escape, Enter or a click closes it."""

    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Cautions")
        self.setAccessibleDescription(CAUTIONS)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            y = px(16)
            painter.sign(px(MARGIN), y + px(4), px(16), Level.WARN)
            line = baseline(y, px(LINE), "heading")
            painter.text(px(MARGIN + 24), line, "Take care", "heading", painter.theme.ink)
            y += px(LINE) + px(8)
            room = min(px(MEASURE), self.width() - 2 * px(MARGIN))
            lines = wrapped(CAUTIONS, "body", room)
            end = painter.lines(px(MARGIN), y, px(LINE), lines, "body", painter.theme.ink)
            line = baseline(end + px(16), px(LINE), "label")
            painter.text(px(MARGIN), line, "Escape goes back.", "label", painter.theme.ink2)
            if self.hasFocus():
                focus_ring(painter, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.closed.emit()
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.closed.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in (
            Qt.FocusReason.PopupFocusReason,
            Qt.FocusReason.ActiveWindowFocusReason,
        ):
            self.closed.emit()
