"""Form: an editor that is drawn from declared fields."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRect, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QScrollArea, QWidget

from pennyspeed.desktop.widgets.line_edit import LineEdit, rule_below
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.theme import px

LABEL, VALUE, SOURCE, GAP = 264, 144, 120, 16
ROW, SENTENCE = 36, 18
MARGIN = 24


class Choice(QComboBox):
    """A choice among a few words."""

    def __init__(self, words: list[tuple[str, str]], parent: QWidget) -> None:
        super().__init__(parent)
        for word, key in words:
            self.addItem(word, key)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            colours = painter.theme
            side, line = px(14), baseline(0, self.height(), "body")
            room = self.width() - side - px(8)
            painter.text(px(2), line, self.currentText(), "body", colours.ink, room=room)
            painter.icon(room + px(4), line - px(5) - side / 2, side, "chevron-down", colours.ink2)
            rule_below(painter, self)

    def wheelEvent(self, event: object) -> None:
        """Leave the wheel to the page: a value must not turn while scrolling."""
        event.ignore()  # type: ignore[attr-defined]


class FormRow(QObject):
    """A label, an editor, and beside it whatever belongs to it.

    Attributes
    ----------
    key, label, help : str
    editor : LineField or Choice
    source : Choice or None
        Where the figure comes from.
    complaint : str
        The sentence about bad input, or "".
    """

    def __init__(
        self,
        key: str,
        label: str,
        help: str,
        editor: LineEdit | Choice,
        source: Choice | None = None,
    ) -> None:
        super().__init__(editor)
        self.key, self.label, self.help = key, label, help
        self.editor, self.source = editor, source
        self.complaint = ""
        editor.setAccessibleName(label)
        editor.setAccessibleDescription(help)
        editor.setToolTip(help)
        if source is not None:
            source.setAccessibleName(f"where {label} comes from")

    @property
    def text(self) -> str:
        """What is typed or chosen."""
        if isinstance(self.editor, Choice):
            return str(self.editor.currentData() or "")
        return self.editor.text()

    def put(self, text: str) -> None:
        """Put a text into the editor."""
        if isinstance(self.editor, Choice):
            self.editor.setCurrentIndex(max(self.editor.findData(text), 0))
        else:
            self.editor.setText(text)


class FormBody(Scaled, QWidget):
    """The rows, in one column or in two where there is room.

    Signals
    -------
    changed()
        Something was typed or chosen.
    """

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[FormRow] = []
        self._places: list[tuple[int, int]] = []

    def take(self, rows: list[FormRow]) -> None:
        """Show other rows."""
        for row in self.rows:
            for one in (row.editor, row.source):
                if one is not None:
                    one.hide()
                    one.deleteLater()
        self.rows = rows
        before: QWidget | None = None
        for row in rows:
            for one in (row.editor, row.source):
                if one is None:
                    continue
                one.setParent(self)
                one.installEventFilter(self)
                if isinstance(one, Choice):
                    one.currentIndexChanged.connect(self.changed)
                else:
                    one.textEdited.connect(self.changed)
                one.show()
                if before is not None:
                    QWidget.setTabOrder(before, one)
                before = one
        self.lay_out()

    def row(self, key: str) -> FormRow:
        """Return the row of that key."""
        return next(row for row in self.rows if row.key == key)

    def rescale(self) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the rows."""
        block = px(LABEL + VALUE + SOURCE + 2 * GAP)
        columns = 2 if self.width() >= 2 * block + 3 * px(MARGIN) else 1
        per_column = -(-len(self.rows) // columns)
        bottom = 0
        self._places = []
        y = 0
        for i, row in enumerate(self.rows):
            if i % max(per_column, 1) == 0:
                y = px(8)
            x = px(MARGIN) + (i // max(per_column, 1)) * (block + px(MARGIN))
            self._places.append((x, y))
            at = x + px(LABEL) + px(GAP)
            self._put(row.editor, at, y + px(4), px(VALUE), px(28))
            if row.source is not None:
                self._put(row.source, at + px(VALUE + GAP), y + px(4), px(SOURCE), px(28))
            elif isinstance(row.editor, LineEdit) and row.key in WIDE:
                self._put(row.editor, at, y + px(4), px(VALUE + GAP + SOURCE), px(28))
            y += px(ROW) + px(SENTENCE) * len(self._sentence(row))
            bottom = max(bottom, y)
        self.setMinimumHeight(bottom + px(8))
        self.update()

    def _sentence(self, row: FormRow) -> list[str]:
        room = px(LABEL + VALUE + SOURCE + 2 * GAP)
        return wrapped(row.complaint, "label_strong", room) if row.complaint else []

    def _put(self, one: QWidget, x: int, y: int, width: int, height: int) -> None:
        place(one, QRect(x, y, width, height))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            for row, (x, y) in zip(self.rows, self._places, strict=True):
                line = baseline(y, px(ROW), "body")
                painter.text(x, line, row.label, "body", colours.ink2, room=px(LABEL))
                for i, text in enumerate(self._sentence(row)):
                    below = baseline(y + px(ROW) + i * px(SENTENCE), px(SENTENCE), "label_strong")
                    painter.text(x, below, text, "label_strong", colours.stop)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            area = self.parent()
            while area is not None and not isinstance(area, QScrollArea):
                area = area.parent()
            if area is not None:
                area.ensureWidgetVisible(watched, 0, px(ROW))
        return False


WIDE = ("name", "supplier", "link", "note")
"""Rows that hold a text rather than a figure."""
