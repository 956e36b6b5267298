"""The recipe of a part that is made: what goes into it, what that costs, and what it weighs."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, MutableMapping
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts import RECIPE
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form_page import FormPage
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.desktop.widgets.tables.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import NOT_KNOWN
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.ingredients import Ingredient
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.recipes import Recipe
from pennyspeed.domain.units import G
from pennyspeed.services.editing import recipe_fields
from pennyspeed.services.editing.part_fields import currency_of
from pennyspeed.services.editing.recipe_fields import KIND, NAME
from pennyspeed.services.editing.recipe_saving import keep_recipe

HEADS = (
    ColumnHead("what goes in", "An ingredient.", grows=True),
    ColumnHead("how", "How its cost and its mass follow."),
    ColumnHead("cost", "In the build's currency; the rows add up to the sum.", True),
    ColumnHead("mass", "What it adds to the car.", True),
)
EMPTY = "Nothing goes into it yet. N adds something: a print, cloth, a block, screws."


class RecipeForm(FormPage):
    """The ingredients above, the figures of the chosen one and the hours below.

    Parameters
    ----------
    session : Session
    part : Part
        Of the catalogue.
    drafts : mutable mapping
        Part's number to a recipe that was changed and not saved; kept over closing.
    """

    keys = RECIPE

    def __init__(
        self,
        session: Session,
        part: Part,
        drafts: MutableMapping[Hashable, object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(f"How {part.name} is made", drafts, parent)
        assert part.id is not None
        self._session, self._part = session, part
        self._shown_row = -2
        self._kept: dict[str, object] = {}
        self._is_filling = False
        self._fresh = self.recipe = part.recipe or Recipe()
        build = session.bench.build
        self._currency = currency_of(part, None) if build is None else build.currency
        self.table = EditableTable("ingredients", HEADS, EMPTY)
        self.sum = Label("heading", self)
        self.add_push = Button("add something", self)
        self.remove_push = Button("remove it", self)
        self.add(self.table, 2)
        self.add_strip(40, (self.sum, 1))
        self.add(self.area, 3)
        self.add_foot(self.save_button, self.add_push, self.remove_push)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFocusProxy(self.table)
        self.table.acted.connect(lambda _: self._to_figures())
        self.table.removed.connect(self._remove)
        self.table.new_wanted.connect(self.add_one)
        self.table.moved.connect(self._row_changed)
        self.table.left_behind.connect(self.leave)
        self.body.changed.connect(self._typed)
        self.add_push.clicked.connect(self.add_one)
        self.remove_push.clicked.connect(lambda: self._remove(self._row))
        draft = self.found_draft()
        if isinstance(draft, Recipe):
            self.recipe = draft
        self._show_table()
        self._show_figures()

    @property
    def _row(self) -> int:
        row = self.table.currentIndex().row()
        return row if 0 <= row < len(self.recipe.ingredients) else -1

    @property
    def draft_key(self) -> Hashable:
        return self._part.id

    def draft(self) -> Recipe:
        self.read()
        return self.recipe

    # Showing --------------------------------------------------------------------------------

    def _show_table(self) -> None:
        recipe, currency = self.recipe, self._currency
        costs = recipe_fields.costs_of(recipe, currency)
        entries = [
            TableRow(i, self._cells(one, cost))
            for i, (one, cost) in enumerate(zip(recipe.ingredients, costs, strict=True))
        ]
        self.table.show_entries(entries)
        self.sum.say(recipe_fields.summary(recipe, currency, self._session.bench.measures))
        self.note.say(recipe_fields.missing(recipe))
        self.remove_push.setEnabled(bool(entries))

    def _cells(self, one: Ingredient, cost: Money | None) -> tuple[Cell, ...]:
        measures = self._session.bench.measures
        mass = NOT_KNOWN if one.mass is None else measures.with_unit(float(one.mass), G, 1)
        return (
            Cell(one.called, tone="strong"),
            Cell(recipe_fields.how_made(one)),
            Cell(NOT_KNOWN if cost is None else measures.money(cost), tone="" if cost else "quiet"),
            Cell(mass, tone="quiet" if one.mass is None else ""),
        )

    def _row_changed(self) -> None:
        if not self._is_filling and self._row != self._shown_row:
            self._show_figures()

    def _show_figures(self) -> None:
        """Show the figures of the chosen ingredient, and the hours."""
        if self._row != self._shown_row:
            self._kept = {}
        self._shown_row = self._row
        measures = self._session.bench.measures
        fields = recipe_fields.form_fields(self.recipe, self._row, self._currency, measures)
        self.show_rows(fields, self.table)

    # Changing -------------------------------------------------------------------------------

    def _to_figures(self) -> None:
        if self.body.rows:
            self.body.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def add_one(self) -> None:
        """Add an ingredient of the kind that was added last, with its name to be typed."""
        self.recipe = recipe_fields.with_another(self.recipe)
        self._show_all(len(self.recipe.ingredients) - 1)
        self.body.row(NAME).editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def _remove(self, row: int) -> None:
        if 0 <= row < len(self.recipe.ingredients):
            self.recipe = recipe_fields.without(self.recipe, row)
            self._show_all(min(row, len(self.recipe.ingredients) - 1))

    def _show_all(self, row: int) -> None:
        self._is_filling = True
        self._show_table()
        if row >= 0:
            self.table.stand_on(row, 0)
        self._is_filling = False
        self._show_figures()

    def _typed(self) -> None:
        """Take what is typed, as far as it is any good, and show what it comes to."""
        if self._is_filling:
            return
        row = self._row
        if row >= 0 and self.body.row(KIND).text != self.recipe.ingredients[row].KIND:
            one = self.recipe.ingredients[row]
            changed = recipe_fields.as_kind(one, self.body.row(KIND).text, self._kept)
            self.recipe = recipe_fields.with_ingredient(self.recipe, row, changed)
            self._show_all(row)
            self.body.row(KIND).editor.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self.read()
        self.body.complain({})
        self._is_filling = True
        self._show_table()
        self._is_filling = False

    def read(self) -> Mapping[str, BadInput]:
        self.recipe, faults = recipe_fields.read_recipe(
            self.recipe, self._row, self.body.texts, self._currency, self._session.bench.measures
        )
        return faults

    def store(self) -> bool:
        """Keep the recipe in the part; builds follow, and a line that was planned is made."""
        session, build = self._session, self._session.bench.build
        workshop, today = session.file.workshop, date.today()
        kept = keep_recipe(workshop, build, self._part, self.recipe, self._currency, today)
        if kept is None:
            return True
        if kept.build is None:
            session.catalogue.record((kept.change,), kept.did, kept.undid)
        else:
            session.builds.record(build, kept.build, kept.did, kept.undid, (kept.change,))
            session.catalogue.follow((kept.change,))
        session.messages.said.emit(kept.did)
        return True
