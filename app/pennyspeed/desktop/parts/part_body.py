"""The rows of a part's form: what is given, what was worked out, and what the person typed.

A pasted listing stands at the leading edge, joined to the fields that it fills.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.parts.part_row import PartRow
from pennyspeed.desktop.parts.part_sections import PartSections
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.domain.estimates.rules import rule_of
from pennyspeed.services.editing.entered_part import EstimateRow
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.editing.pasted_listing import Origin
from pennyspeed.services.listings import Reading


class PartBody(PartSections):
    """The rows of one part, in sections.

    Signals
    -------
    pasted(str)
        That text was pasted, and may be a listing.
    anew_wanted(str)
        The figure of that key is to be worked out again, "" all of them.
    tab_changed()
        The stops of the Tab key are others.

    Parameters
    ----------
    takes_paste : callable
        Tells whether what is pasted into a field is a listing rather than for that field.
    """

    pasted = Signal(str)
    anew_wanted = Signal(str)
    tab_changed = Signal()

    def __init__(self, takes_paste: Callable[[QWidget], bool]) -> None:
        super().__init__()
        self._takes_paste = takes_paste
        self.kind_key = "motor"
        self.listing_field.setAccessibleName("listing to paste")
        self.listing_field.setMaxLength(1_000_000)
        self.listing_field.returnPressed.connect(self._take_typed)
        self.listing_field.installEventFilter(self)
        self.again_button.clicked.connect(lambda: self.anew_wanted.emit(""))
        self.changed.connect(self._changed)

    # What it shows --------------------------------------------------------------------------

    def make_row(self, field: FormField) -> PartRow:
        has_rule = rule_of(self.kind_key, field.key) is not None
        row = PartRow(field, self, has_rule)
        if row.estimate is not None:
            key = field.key
            row.estimate.anew_wanted.connect(lambda: self.anew_wanted.emit(key))
        return row

    def row(self, key: str) -> PartRow:
        found = super().row(key)
        assert isinstance(found, PartRow)
        return found

    def show_listing(self, reading: Reading | None) -> None:
        """Show a listing beside the fields that it fills, or none."""
        self.reading = reading
        self._listed = [] if reading is None else list(reading.by_key)
        self.pane.setVisible(reading is not None)
        if reading is not None:
            self.pane.show_reading(reading)

    def arrange(self, typed: Sequence[str]) -> None:
        """Put the rows into their sections; `typed` are keys that the person knows by himself."""
        listed = self._listed
        self._typed = [row.key for row in self.rows if row.key in typed and row.key not in listed]
        places = {key: i for i, key in enumerate(listed)}

        def order(row: PartRow) -> tuple[int, int]:
            if row.key in places:
                return 0, places[row.key]
            if self._is_open(row):
                return 2, 0
            return (3 if row.key in self._typed or listed else 1), 0

        self.rows.sort(key=order)
        for row in self.rows:
            row.is_listed = row.key in places
        self.rescale()

    def show_origins(self, origins: Mapping[str, Origin]) -> None:
        """Say where the figures beside the listing come from."""
        self._origins = origins
        self._show_joins()
        self.update()

    def show_estimates(self, rows: Mapping[str, EstimateRow], widens: Mapping[str, str]) -> None:
        """Show what is worked out, by the keys of the figures."""
        stops = [stop for row in self.rows for stop in row.stops]
        for row in self.rows:
            empty = EstimateRow(row.key, row.label)
            row.show_estimate(rows.get(row.key, empty), widens.get(row.key, ""))
        if [stop for row in self.rows for stop in row.stops] != stops:
            self.tab_changed.emit()
        self.rescale()

    def ask_kind(self, labels: Sequence[tuple[str, str]]) -> list[Button]:
        """Offer kinds, by label and key, in the rows' place; none takes them away."""
        for one in self.kind_buttons:
            one.hide()
            one.deleteLater()
        self.kind_buttons = [Button(label, self) for label, _ in labels]
        for one in self.kind_buttons:
            one.show()
        self.rescale()
        return self.kind_buttons

    # Hands ----------------------------------------------------------------------------------

    def _changed(self) -> None:
        for row in self.rows:
            if not row.text.strip() and row.editor is not QApplication.focusWidget():
                row.end()
        self.rescale()

    def _take_typed(self) -> None:
        text = self.listing_field.text()
        self.listing_field.clear()
        self.pasted.emit(text)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress and isinstance(watched, LineEdit):
            assert isinstance(event, QKeyEvent)
            if event.matches(QKeySequence.StandardKey.Paste) and self._takes_paste(watched):
                self.pasted.emit(QGuiApplication.clipboard().text())
                return True
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self._show_joins()
        if event.type() == QEvent.Type.FocusOut and isinstance(watched, LineEdit):
            row = next((row for row in self.rows if row.editor is watched), None)
            if row is not None and row.end():
                self.tab_changed.emit()
                self.rescale()
        return super().eventFilter(watched, event)

    def focus_first(self) -> None:
        """Put the keyboard on the first row."""
        if self.rows:
            self.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)
