"""Parts edited: in their form, by the figure on the shelf, or by what they are made of."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.navigator import Navigator, StackPage
from pennyspeed.desktop.parts import MADE_KINDS
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shelf.shelf import ShelfPanel
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.desktop.parts.part_form import PartForm
    from pennyspeed.desktop.shelf.figure_editor import FigureEditor


class PartEditing(QObject):
    """Opens what a part is edited in.

    Signals
    -------
    listing_saved(Part)
        A part that came from a listing is on the shelf now.
    """

    listing_saved = Signal(object)

    def __init__(
        self,
        session: Session,
        shelf: ShelfPanel,
        navigator: Navigator,
        show_shelf: Callable[[], object],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._shelf, self._navigator = session, shelf, navigator
        self._show_shelf = show_shelf
        self._recipe_drafts: dict[Hashable, object] = {}

    @cached_property
    def form(self) -> PartForm:
        """The form, which keeps its drafts."""
        from pennyspeed.desktop.parts.part_form import PartForm

        form = PartForm(self._session)
        form.recipe_wanted.connect(self.edit_recipe)
        form.closed.connect(self._navigator.go_back)
        form.listing_saved.connect(self.listing_saved)
        return form

    def paste(self) -> None:
        """Read the copied text as a listing of a part, in the form that shows or in a new one."""
        text = QGuiApplication.clipboard().text()
        if self._navigator.current is self.form:
            self.form.paste(text)
            return
        with self._session.messages.reporting():
            reading = self.form.read_copied(text)
            self._show_form()
            self.form.write_listing(reading)

    @property
    def pages(self) -> tuple[QWidget, ...]:
        """The pages about what is known of a part, as far as they have been made."""
        return (self.form,) if "form" in self.__dict__ else ()

    def _show_form(self) -> None:
        self._navigator.show(StackPage(self.form, self.form.closed), returns=False)

    def new_part(self, kind_key: str = "") -> None:
        """Open the form for a new part of the chosen slot's kind."""
        self._show_form()
        self.form.write_new(kind_key or self._session.bench.slot)

    def edit_part(self, part: Part | None = None, figure: str = "") -> None:
        """Open the form for a part, or for the one that the shelf stands on, at a figure."""
        wanted = part or self._shelf.part_here()
        if wanted is not None:
            self._show_form()
            self.form.edit(wanted, self.figure_editor.chosen(wanted, figure))

    def edit_row(self, part: Part) -> None:
        """Open the form for the part of a row, at the figure of the column that was clicked."""
        self.edit_part(part, self._shelf.column_here())

    def edit_slot(self) -> None:
        """Open the form for the part in the chosen slot."""
        part = self._session.bench.slot_part
        if part is not None:
            self.edit_part(part)

    @cached_property
    def figure_editor(self) -> FigureEditor:
        """What edits a figure on the shelf, in its row."""
        from pennyspeed.desktop.shelf.figure_editor import FigureEditor

        made = FigureEditor(self._session, self._shelf.table)
        made.form_wanted.connect(self.edit_part)
        return made

    def edit_figure(self) -> None:
        """Edit a figure of the part that the shelf stands on, in its row."""
        self._show_shelf()
        part = self._shelf.part_here()
        if part is not None:
            editor = self.figure_editor
            editor.edit(part, editor.chosen(part, self._shelf.column_here()))

    def edit_recipe(self, part: Part | None = None) -> None:
        """Show what a part is made of: the one given, else the one in the chosen slot."""
        wanted = part or self._session.bench.slot_part
        if wanted is None or wanted.id is None or wanted.kind_key not in MADE_KINDS:
            kinds = "a body, a chassis or an extra"
            self._session.messages.troubled.emit(f"Only {kinds} is made: choose its slot first.")
            return
        if self._session.file.is_open:
            from pennyspeed.desktop.parts.recipe_form import RecipeForm

            page = RecipeForm(self._session, wanted, self._recipe_drafts)
            self._navigator.show_passing(StackPage(page, page.closed))
