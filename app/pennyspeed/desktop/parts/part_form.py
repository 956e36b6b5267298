"""A part's form: every figure of its kind, where it comes from, and what the part costs."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts import FORM, MADE_KINDS
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form_page import FormPage
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.editing.part_fields import currency_of, form_fields, read_part


class PartForm(FormPage):
    """The form, in place of plot and shelf while a part is written down or changed.

    Parameters
    ----------
    session : Session

    Signals
    -------
    recipe_wanted(Part)
        Left for what the part is made of.
    """

    keys = FORM
    recipe_wanted = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self._session = session
        self._kind: Kind = BY_KEY["motor"]
        self._part: Part | None = None
        self._read: Part | None = None
        self.archive_push = Button("archive", self)
        self.delete_push = Button("delete", self)
        self.recipe_push = Button("how it is made", self)
        self.add(self.area, 1)
        self.add_foot(self.save_button, self.archive_push, self.delete_push, self.recipe_push)
        self.archive_push.clicked.connect(self._archive)
        self.delete_push.clicked.connect(self._delete)
        self.recipe_push.clicked.connect(self._to_recipe)

    # Opening --------------------------------------------------------------------------------

    def edit(self, part: Part, figure: str = "") -> None:
        """Show a part of the catalogue, with the keyboard on the figure of that key."""
        self._show(part.kind, part)
        row = next((row for row in self.body.rows if row.key == figure), None)
        if row is not None:
            row.focus()

    def write_new(self, kind_key: str) -> None:
        """Show a form for a new part."""
        self._show(BY_KEY[kind_key], None)

    def _show(self, kind: Kind, part: Part | None) -> None:
        self._kind, self._part = kind, part
        title = f"A new {kind.label}" if part is None else f"{kind.label}: {part.name}"
        self.show_fields(
            title, form_fields(kind, part, self._currency, self._session.bench.measures)
        )
        draft = self.found_draft()
        if isinstance(draft, tuple):
            self.body.put(*draft)
        self.archive_push.setVisible(part is not None)
        self.archive_push.say("fetch back" if part is not None and part.archived else "archive")
        self.delete_push.setVisible(part is not None)
        self.recipe_push.setVisible(part is not None and kind.key in MADE_KINDS)
        self.body.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def draft_key(self) -> Hashable:
        return self._kind.key, None if self._part is None else self._part.id

    def draft(self) -> tuple[Mapping[str, str], Mapping[str, str]]:
        return self.body.texts, self.body.sources

    @property
    def _currency(self) -> str:
        return currency_of(self._part, self._session.bench.build)

    # Taking ---------------------------------------------------------------------------------

    def read(self) -> Mapping[str, BadInput]:
        base = self._part or Part(self._kind.key, "?")
        measures = self._session.bench.measures
        self._read, faults = read_part(base, *self.draft(), self._currency, measures)
        return faults

    def store(self) -> bool:
        assert self._read is not None
        self._session.catalogue.save_part(self._read)
        return True

    def _to_recipe(self) -> None:
        part = self._part
        self.leave()
        self.recipe_wanted.emit(part)

    def _archive(self) -> None:
        self._do(lambda part: self._session.catalogue.archive_part(part, not part.archived))

    def _delete(self) -> None:
        self._do(self._session.catalogue.delete_part)

    def _do(self, act: Callable[[Part], None]) -> None:
        assert self._part is not None
        try:
            act(self._part)
        except UserError as error:
            self.trouble.say(str(error))
        else:
            self.close_done()
