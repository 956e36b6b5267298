"""Form: an editor that is drawn from declared fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QScrollArea, QWidget

from pennyspeed.desktop.widgets.layouts import order_tab
from pennyspeed.desktop.widgets.line_edit import LineEdit, rule_below
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.errors import BadInput
from pennyspeed.services.editing.form_fields import FormField

LABEL, VALUE, SOURCE, GAP = 264, 144, 120, 16
ROW, SENTENCE = 36, 18
MARGIN = 24


class Choice(QComboBox):
    """A choice among a few words."""

    def __init__(self, words: Iterable[tuple[str, str]], parent: QWidget) -> None:
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
    """A label, an editor, and beside it where the figure comes from.

    Parameters
    ----------
    home : QWidget
        Whose children the editors are.

    Attributes
    ----------
    source : Choice or None
        Where the figure comes from.
    complaint : str
        The sentence about bad input, or "".
    """

    def __init__(self, field: FormField, home: QWidget, role: str = "body") -> None:
        self.editor = editor = (
            Choice(field.choices, home) if field.choices else LineEdit(field.hint, home, role)
        )
        super().__init__(editor)
        self.key, self.label = field.key, field.label
        self.source = Choice(field.sources, home) if field.sources else None
        self.complaint = ""
        self.put(field.text)
        editor.setAccessibleName(field.label)
        editor.setAccessibleDescription(field.help)
        editor.setToolTip(field.help)
        if isinstance(editor, LineEdit):
            editor.setCursorPosition(0)
        if self.source is not None:
            self.source.setCurrentIndex(self.source.findData(field.source))
            self.source.setAccessibleName(f"where {field.label} comes from")

    @property
    def stops(self) -> list[LineEdit | Choice]:
        """What is typed in or chosen from, in the order of the Tab key."""
        return [self.editor] if self.source is None else [self.editor, self.source]

    def focus(self) -> None:
        """Put the keyboard on the row, with what is typed there chosen."""
        self.editor.setFocus(Qt.FocusReason.OtherFocusReason)
        if isinstance(self.editor, LineEdit):
            self.editor.selectAll()

    @property
    def text(self) -> str:
        """What is typed or chosen."""
        if isinstance(self.editor, Choice):
            return str(self.editor.currentData() or "")
        return self.editor.text()

    @property
    def chosen_source(self) -> str:
        """Where the figure comes from, "" where nothing says so."""
        return "" if self.source is None else str(self.source.currentData())

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

    def show_fields(self, fields: Sequence[FormField]) -> None:
        """Show a row for each field in place of those before."""
        for row in self.rows:
            for one in row.stops:
                one.hide()
                one.deleteLater()
        self.rows = [FormRow(field, self) for field in fields]
        stops = [one for row in self.rows for one in row.stops]
        order_tab(*stops)
        for one in stops:
            one.installEventFilter(self)
            if isinstance(one, Choice):
                one.currentIndexChanged.connect(self.changed)
            else:
                one.textEdited.connect(self.changed)
            one.show()
        self.rescale()

    @property
    def texts(self) -> dict[str, str]:
        """What is typed or chosen, by the rows' keys."""
        return {row.key: row.text for row in self.rows}

    def put(self, texts: Mapping[str, str], sources: Mapping[str, str]) -> None:
        """Put texts, and where figures come from, back into the rows of those keys."""
        for row in self.rows:
            row.put(texts.get(row.key, row.text))
            if row.source is not None and row.key in sources:
                row.source.setCurrentIndex(row.source.findData(sources[row.key]))

    @property
    def sources(self) -> dict[str, str]:
        """Where figures come from, by the rows' keys; "" where nothing says so."""
        return {row.key: row.chosen_source for row in self.rows}

    def complain(self, faults: Mapping[str, BadInput]) -> None:
        """Name what is no good below its row, by the rows' keys, and nothing below the others."""
        for row in self.rows:
            row.complaint = str(faults.get(row.key, ""))
        self.rescale()

    def row(self, key: str) -> FormRow:
        return next(row for row in self.rows if row.key == key)

    def rescale(self) -> None:
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
            place(row.editor, QRect(at, y + px(4), px(VALUE), px(28)))
            if row.source is not None:
                place(row.source, QRect(at + px(VALUE + GAP), y + px(4), px(SOURCE), px(28)))
            elif isinstance(row.editor, LineEdit) and row.key in WIDE:
                place(row.editor, QRect(at, y + px(4), px(VALUE + GAP + SOURCE), px(28)))
            y += px(ROW) + px(SENTENCE) * len(self._sentence(row))
            bottom = max(bottom, y)
        self.setMinimumHeight(bottom + px(8))
        self.update()

    def _sentence(self, row: FormRow) -> list[str]:
        room = px(LABEL + VALUE + SOURCE + 2 * GAP)
        return wrapped(row.complaint, "label_strong", room) if row.complaint else []

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.rescale()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            for row, (x, y) in zip(self.rows, self._places, strict=True):
                line = baseline(y, px(ROW), "body")
                painter.text(x, line, row.label, "body", colours.ink2, room=px(LABEL))
                lines, below = self._sentence(row), y + px(ROW)
                painter.lines(x, below, px(SENTENCE), lines, "label_strong", colours.stop)

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
