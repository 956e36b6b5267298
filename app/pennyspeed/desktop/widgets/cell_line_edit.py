"""A cell of a ledger, edited where it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent

from pennyspeed.desktop.widgets.cell_editor import ENTERS, STAYS, TABS, EditorError
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.errors import UserError

if TYPE_CHECKING:
    from pennyspeed.desktop.widgets.editable_table import EditableTable

LEAST, PAD = 96, 4
OWN = (Qt.Key.Key_Escape, Qt.Key.Key_F2, Qt.Key.Key_Up, Qt.Key.Key_Down, *TABS, *ENTERS)


class CellLineEdit(LineEdit):
    """The line to type in: Enter keeps, Escape goes back, Tab goes to the next cell.

    Up and down keep, and go to the same column of the next row. Bad input says one sentence below
    and keeps the text.

    Parameters
    ----------
    ledger : Ledger
    """

    def __init__(self, ledger: EditableTable) -> None:
        super().__init__("", ledger.viewport())
        self._remark = EditorError(self)
        self._ledger = ledger
        self._place: tuple[int, int] | None = None
        self._before = ""
        self._keeping = False
        self.setAutoFillBackground(True)
        self.textEdited.connect(self._remark.clear)
        self.hide()

    @property
    def is_open(self) -> bool:
        """Whether a cell is edited."""
        return self._place is not None

    @property
    def complaint(self) -> str:
        """The sentence about bad input, or ""."""
        return self._remark.text

    def open(self, row: int, column: int, text: str | None = None) -> None:
        """Open over a cell, with `text` typed already."""
        ledger = self._ledger
        cell, head = ledger.ledger.cell(row, column), ledger.ledger.heads[column]
        self._place, self._before = (row, column), cell.typed or ""
        self.setAccessibleName(head.title)
        self.setAccessibleDescription(head.help)
        self.setAlignment(
            Qt.AlignmentFlag.AlignRight if head.numeric else Qt.AlignmentFlag.AlignLeft
        )
        rect = ledger.visualRect(ledger.ledger.index(row, column))
        left, right = ledger.inside(column, rect.width())
        wide = max(right - left + 2 * px(PAD), px(LEAST))
        start = right + px(PAD) - wide if head.numeric else left - px(PAD)
        if ledger.isRightToLeft():
            start = rect.width() - start - wide
        x = min(max(rect.x() + start, 0), max(ledger.viewport().width() - wide, 0))
        self.setGeometry(x, rect.y(), wide, rect.height())
        self.setText(self._before if text is None else text)
        if text is None:
            self.selectAll()
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def close_up(self, stay: bool = True) -> None:
        """Close without keeping; with `stay` the keyboard goes back to the cell."""
        if self._place is None:
            return
        self._place = None
        self._remark.clear()
        if stay:
            self._ledger.setFocus(Qt.FocusReason.OtherFocusReason)
        self.hide()

    def keep(self) -> bool:
        """Have what was typed taken; tell whether it was any good."""
        ledger, place = self._ledger, self._place
        if place is None or ledger.take is None or self.text() == self._before:
            return True
        self._keeping = True
        try:
            ledger.take(*place, self.text())
            self._before = self.text()
        except UserError as error:
            self._remark.say(str(error))
            return False
        finally:
            self._keeping = False
        return True

    def _go(self, rows: int, columns: int) -> None:
        """Keep, and edit another cell; the row may stand elsewhere once it is kept."""
        if self._place is None or not self.keep():
            return
        ledger, column = self._ledger, self._place[1]
        row = ledger.currentIndex().row() + rows
        if columns:
            column = ledger.next_editable(row, column, columns)
        self.close_up()
        if ledger.can_edit(row, column):
            ledger.stand_on(row, column)
            ledger.edit_here()

    # Hands ----------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() in OWN and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                event.accept()
                return True
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            # Qt takes the Tab key for itself before it comes to keyPressEvent.
            if event.key() in TABS:
                self._go(0, 1 if event.key() == Qt.Key.Key_Tab else -1)
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.close_up()
        elif key in ENTERS or key == Qt.Key.Key_F2:
            if self.keep():
                self.close_up()
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._go(1 if key == Qt.Key.Key_Down else -1, 0)
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() in STAYS or self._place is None or self._keeping:
            return
        if self.keep():
            self.close_up(stay=False)
