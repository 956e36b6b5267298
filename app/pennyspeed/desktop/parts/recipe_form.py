"""The recipe of a part that is made: what goes into it, what that costs, and what it weighs."""

from __future__ import annotations

from collections.abc import MutableMapping
from dataclasses import replace
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts.part_rows import currency_of
from pennyspeed.desktop.parts.recipe_rows import (
    KIND,
    MATERIAL,
    NAME,
    UNSAID,
    RecipeRows,
    as_kind,
    read_into,
)
from pennyspeed.desktop.parts.recipe_saving import keep_recipe
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.editable_table import EditableTable
from pennyspeed.desktop.widgets.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.desktop.widgets.form import FormBody, FormRow
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.page import Page
from pennyspeed.desktop.widgets.painted_table import is_plain
from pennyspeed.desktop.widgets.scrolling import ScrollArea
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.ingredients import Ingredient, Printed, Volume
from pennyspeed.domain.parts.materials import MATERIALS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.recipes import TIME, Recipe
from pennyspeed.domain.units import G

HEADS = (
    ColumnHead("what goes in", "An ingredient.", grows=True),
    ColumnHead("how", "How its cost and its mass follow."),
    ColumnHead("cost", "In the build's currency; the rows add up to the sum.", True),
    ColumnHead("mass", "What it adds to the car.", True),
)
EMPTY = "Nothing goes into it yet. N adds something: a print, cloth, a block, screws."


class RecipeForm(Page):
    """The ingredients above, the figures of the chosen one and the hours below.

    Parameters
    ----------
    session : Session
    part : Part
        Of the catalogue.
    drafts : mutable mapping
        Part's number to a recipe that was changed and not saved; kept over closing.
    """

    place = "recipe"

    def __init__(
        self,
        session: Session,
        part: Part,
        drafts: MutableMapping[int, Recipe],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(f"How {part.name} is made", parent)
        assert part.id is not None
        self._session, self._part, self._id, self._drafts = session, part, part.id, drafts
        self._shown_row = -2
        self._kept: dict[str, object] = {}
        self._is_filling = False
        self._old = part.recipe or Recipe()
        self.recipe = drafts.get(part.id, self._old)
        self._currency = currency_of(part, session.bench.build)
        if session.bench.build is not None:
            self._currency = session.bench.build.currency
        self.table = EditableTable("ingredients", HEADS, EMPTY)
        self.sum = Label("heading", self)
        self.body = FormBody()
        self._area = ScrollArea(self.body, self)
        self.save_push = Button("save", self)
        self.add_push = Button("add something", self)
        self.remove_push = Button("remove it", self)
        self.add(self.table, 2)
        self.add_strip(40, (self.sum, 1))
        self.add(self._area, 3)
        self.add_foot(self.save_push, self.add_push, self.remove_push)
        self.setFocusProxy(self.table)
        self.table.acted.connect(lambda _: self._to_figures())
        self.table.removed.connect(self._remove)
        self.table.new_wanted.connect(self.add_one)
        self.table.moved.connect(self._row_changed)
        self.table.left_behind.connect(self.leave)
        self.body.changed.connect(self._typed)
        self.save_push.clicked.connect(self.save)
        self.add_push.clicked.connect(self.add_one)
        self.remove_push.clicked.connect(lambda: self._remove(self._row))
        self.close_push.clicked.disconnect()
        self.close_push.clicked.connect(self.leave)
        self._show_table()
        self._show_figures()
        if part.id in drafts:
            self.trouble.say("What you typed last time is back.")

    @property
    def _row(self) -> int:
        row = self.table.currentIndex().row()
        return row if 0 <= row < len(self.recipe.ingredients) else -1

    # Showing --------------------------------------------------------------------------------

    def _show_table(self) -> None:
        recipe, currency = self.recipe, self._currency
        shares = recipe.shares(currency)
        entries = []
        for i, one in enumerate(recipe.ingredients):
            cost = None if shares is None else Money(shares[i], currency)
            if cost is None and (exact := one.exact_cost()) is not None:
                cost = Money.of(exact, currency)
            entries.append(TableRow(i, self._cells(one, cost)))
        self.table.show_entries(entries)
        self.sum.say(self._summary())
        self.note.say(self._missing())
        self.remove_push.setEnabled(bool(entries))

    def _cells(self, one: Ingredient, cost: Money | None) -> tuple[Cell, ...]:
        measures = self._session.bench.measures
        mass = UNSAID if one.mass is None else measures.with_unit(float(one.mass), G, 1)
        how = one.LABEL[0].lower() + one.LABEL[1:]
        if isinstance(one, Volume) and one.material:
            named = next((each.name for each in MATERIALS if each.key == one.material), "")
            how = f"{how}, {named}"
        return (
            Cell(one.called, tone="strong"),
            Cell(how),
            Cell(UNSAID if cost is None else measures.money(cost), tone="" if cost else "quiet"),
            Cell(mass, tone="quiet" if one.mass is None else ""),
        )

    def _summary(self) -> str:
        measures, recipe = self._session.bench.measures, self.recipe
        cost, mass = recipe.cost(self._currency), recipe.mass_g
        texts = ["cost not known" if cost is None else measures.money(cost)]
        texts.append("mass not known" if mass is None else measures.with_unit(float(mass), G, 1))
        return " · ".join(texts)

    def _missing(self) -> str:
        texts = []
        for names, what in ((self.recipe.unpriced, "price"), (self.recipe.unweighed, "mass")):
            if names:
                texts.append(f"no {what} yet: {', '.join(dict.fromkeys(names))}")
        return "; ".join(texts)

    def _row_changed(self) -> None:
        if not self._is_filling and self._row != self._shown_row:
            self._show_figures()

    def _show_figures(self) -> None:
        """Show the figures of the chosen ingredient, and the hours."""
        if self._row != self._shown_row:
            self._kept = {}
        self._shown_row = self._row
        make = RecipeRows(self.body, self._currency, self._session.bench.measures)
        rows: list[FormRow] = []
        if self._row >= 0:
            rows += make.of_ingredient(self.recipe.ingredients[self._row])
        rows += [make.of_figure(figure, getattr(self.recipe, figure.key)) for figure in TIME]
        self.body.take(rows)
        editors = [row.editor for row in rows]
        verbs = (self.save_push, self.add_push, self.remove_push)
        self.order_tab(self.table, *editors, *verbs)

    # Changing -------------------------------------------------------------------------------

    def _to_figures(self) -> None:
        if self.body.rows:
            self.body.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def add_one(self) -> None:
        """Add an ingredient of the kind that was added last, with its name to be typed."""
        ingredients = self.recipe.ingredients
        kind = type(ingredients[-1]) if ingredients else Printed
        self.recipe = replace(self.recipe, ingredients=(*ingredients, kind()))
        self._show_all(len(ingredients))
        self.body.row(NAME).editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def _remove(self, row: int) -> None:
        if 0 <= row < len(self.recipe.ingredients):
            kept = self.recipe.ingredients[:row] + self.recipe.ingredients[row + 1 :]
            self.recipe = replace(self.recipe, ingredients=kept)
            self._show_all(min(row, len(kept) - 1))

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
            changed = as_kind(self.recipe.ingredients[row], self.body.row(KIND).text, self._kept)
            self._put(row, changed)
            self._show_all(row)
            self.body.row(KIND).editor.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self._read(complain=False)
        self._is_filling = True
        self._show_table()
        self._is_filling = False

    def _put(self, row: int, one: Ingredient) -> None:
        ingredients = list(self.recipe.ingredients)
        ingredients[row] = one
        self.recipe = replace(self.recipe, ingredients=tuple(ingredients))

    def _read(self, complain: bool) -> bool:
        """Take every row that reads; tell whether all do, and say where one does not."""
        row, is_fine = self._row, True
        measures = self._session.bench.measures
        if row >= 0:
            one = self.recipe.ingredients[row]
            values: dict[str, object] = {NAME: self.body.row(NAME).text.strip()}
            if isinstance(one, Volume):
                values[MATERIAL] = self.body.row(MATERIAL).text
            for figure in one.FIGURES:
                is_fine &= read_into(values, self.body.row(figure.key), figure, measures, complain)
            self._put(row, replace(one, **values))  # type: ignore[arg-type]
        times: dict[str, object] = {}
        for figure in TIME:
            is_fine &= read_into(times, self.body.row(figure.key), figure, measures, complain)
        self.recipe = replace(self.recipe, **times)  # type: ignore[arg-type]
        self.body.lay_out()
        return is_fine

    def save(self) -> None:
        """Keep the recipe in the part; builds follow, and a line that was planned is made."""
        if not self._read(complain=True):
            faulty = next(row for row in self.body.rows if row.complaint)
            faulty.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        try:
            keep_recipe(self._session, self._part, self.recipe, self._currency, date.today())
        except UserError as error:
            self.trouble.say(str(error))
            return
        self._drafts.pop(self._id, None)
        self.closed.emit()

    def leave(self) -> None:
        """Close; what was changed and not saved is kept as a draft."""
        self._read(complain=False)
        if self.recipe == self._old:
            self._drafts.pop(self._id, None)
        else:
            self._drafts[self._id] = self.recipe
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() == Qt.Key.Key_Escape and is_plain(event):
            self.leave()
        elif control and event.key() in (Qt.Key.Key_S, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.save()
        else:
            super().keyPressEvent(event)
