"""A row of a part's form: a field to type in, or what was worked out until one is typed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts.drawn_choice import DRAWN, DrawnChoice
from pennyspeed.desktop.parts.estimate_row import EstimateButton
from pennyspeed.desktop.widgets.form import Choice, FormRow
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.services.editing.entered_part import EstimateRow
from pennyspeed.services.editing.form_fields import FormField


class PartRow(FormRow):
    """One field, with the figure that stands in for it while nobody gives one.

    Attributes
    ----------
    estimate : EstimateButton or None
        None where the figure is never worked out.
    is_listed : bool
        Whether it stands beside a pasted listing.
    was_given : bool
        Whether there was a figure when the form was opened.
    """

    def __init__(self, field: FormField, home: QWidget, has_rule: bool) -> None:
        self.estimate = EstimateButton(field.label, home) if has_rule else None
        self.is_listed = self._is_typing = False
        super().__init__(field, home)
        self.was_given = bool(field.text.strip())
        if self.estimate is not None:
            self.estimate.measured.connect(self.begin)

    def make_choice(self, field: FormField, home: QWidget) -> Choice:
        made = DrawnChoice if field.key in DRAWN else Choice
        return made(field.choices, home)

    @property
    def is_worked_out(self) -> bool:
        """Whether a figure that was worked out, or could be, stands in the field's place."""
        one = self.estimate
        if one is None or self.was_given or self.is_listed or self._is_typing:
            return False
        return bool(one.row.number) and not self.text.strip()

    @property
    def stops(self) -> Sequence[QWidget]:
        if self.is_worked_out:
            assert self.estimate is not None
            return [self.estimate]
        is_open = self.estimate is not None and not self.was_given
        is_empty = is_open and not self.text.strip() and not self._is_typing
        if self.is_listed or self.source is None or is_empty:
            return [self.editor]
        return [self.editor, self.source]

    @property
    def pieces(self) -> list[QWidget]:
        found: list[QWidget] = [self.editor]
        return found + [one for one in (self.source, self.estimate) if one is not None]

    def focus(self) -> None:
        if self.is_worked_out:
            assert self.estimate is not None
            self.estimate.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            super().focus()

    def show_estimate(self, row: EstimateRow, widens: str) -> None:
        """Show what the figure is worked out to be."""
        if self.estimate is not None:
            self.estimate.show_row(row, widens)
            if row.number and isinstance(self.editor, LineEdit):
                self.editor.setPlaceholderText(f"about {row.number} {row.unit}".rstrip())

    def show_pieces(self) -> None:
        """Show what stands in the row now, and hide the rest."""
        shown = self.stops
        for piece in self.pieces:
            piece.setVisible(piece in shown)

    def begin(self, typed: str) -> None:
        """Make a field of it, as the person measured the figure or types it."""
        if self.source is not None and not typed:
            self.source.setCurrentIndex(self.source.findData("measured"))
        self._is_typing = True
        home = self.editor.parentWidget()
        assert home is not None
        self.show_pieces()
        home.rescale()  # type: ignore[attr-defined]
        self.editor.setFocus(Qt.FocusReason.OtherFocusReason)
        if typed and isinstance(self.editor, LineEdit):
            self.editor.setText(typed)
            self.editor.textEdited.emit(typed)

    def end(self) -> bool:
        """Let the figure stand in for the field again where nothing was typed; tell whether so."""
        was, self._is_typing = self._is_typing, False
        return was and not self.text.strip()
