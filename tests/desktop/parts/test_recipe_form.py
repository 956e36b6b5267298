"""A part that is made: its recipe written by the keyboard, saved, undone, and kept as a draft."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.parts.recipe_form import RecipeForm
from pennyspeed.desktop.widgets.form import Choice
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.desktop.window import Window
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.ingredients import Area, Printed, Volume
from pennyspeed.domain.parts.recipes import MADE_HERE
from pennyspeed.services.editing.recipe_fields import as_kind

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]


def texts(table: EditableTable) -> list[list[str]]:
    model = table.entries_model
    columns = range(model.columnCount())
    return [[model.cell(row, column).text for column in columns] for row in range(model.rowCount())]


@pytest.fixture
def plan(window: Window) -> int:
    """The body is planned and dear; returns the place of its line."""
    session = window.session
    session.bench.choose_slot("body")
    build = session.bench.build
    assert build is not None
    place = next(i for i, line in enumerate(build.lines) if line.part == "body")
    line = replace(
        build.lines[place], status=Status.PLANNED, unit_price=Decimal(80), currency="", order="",
        rate=None, rate_on=None, quantity=Decimal(1),
    )  # fmt: skip
    session.builds.change(build.with_line(place, line), "planned the body", "put it back")
    return place


@pytest.fixture
def page(window: Window, plan: int, shortcut: Shortcut) -> RecipeForm:
    shortcut("Ctrl+Alt+M")
    found = window.pages.currentWidget()
    assert isinstance(found, RecipeForm)
    return found


def write_shell(press: Press) -> None:
    """120 g at 25 a kilogram, a tenth wasted and every second print failed."""
    press("n")
    press("Shell", Key.Key_Tab, "120", Key.Key_Tab, "25", Key.Key_Tab, "10", Key.Key_Tab, "50")


def test_cost_and_mass_stand_there_while_it_is_typed(page: RecipeForm, press: Press) -> None:
    """By hand: 120 g × 1.1 × 1.5 = 198 g, at 25 a kilogram 4.95."""
    assert QApplication.focusWidget() is page.table
    write_shell(press)
    assert page.sum.text == "4.95 EUR · 120.0 g"
    assert texts(page.table) == [["Shell", "printed", "4.95 EUR", "120.0 g"]]


def test_saving_makes_the_part_and_its_line_and_one_undo_puts_both_back(
    page: RecipeForm, window: Window, plan: int, press: Press, shortcut: Shortcut
) -> None:
    session = window.session
    before = session.bench.build
    assert before is not None
    assert session.bench.forecast is not None
    old = before.parts["body"]
    spent = session.bench.forecast.costs.counted
    steps = session.undo_stack.count()

    write_shell(press)
    page.save()

    assert window.pages.currentWidget() is not page
    assert session.bench.build is not None
    made = session.bench.build.parts["body"]
    assert made.recipe is not None
    assert made.price is not None
    assert (made.price.amount, made.price.supplier) == (Money(495, "EUR"), MADE_HERE)
    assert made.known_number("mass_g") == 120.0
    line = session.bench.build.lines[plan]
    assert (line.status, line.unit_price, line.supplier) == (Status.MADE, None, "")
    assert session.bench.forecast.costs.counted == spent - Money(8000 - 495, "EUR")
    assert session.undo_stack.count() == steps + 1

    shortcut("Ctrl+Z")
    assert session.bench.build == before
    assert session.file.workshop.catalogue.part(old.id or 0) == old
    shortcut("Ctrl+Shift+Z")
    assert session.bench.build.parts["body"] == made
    assert session.bench.build.lines[plan] == line


def test_tab_goes_from_the_rows_through_the_figures_to_the_verbs(
    page: RecipeForm, press: Press
) -> None:
    write_shell(press)
    page.table.setFocus()
    stops = [QApplication.focusWidget()]
    for _ in range(len(page.body.rows) + 1):
        press(Key.Key_Tab)
        stops.append(QApplication.focusWidget())
    assert stops == [page.table, *(row.editor for row in page.body.rows), page.save_button]


def test_a_bad_figure_is_said_below_its_row_and_nothing_is_stored(
    page: RecipeForm, window: Window, press: Press
) -> None:
    assert window.session.bench.build is not None
    before = window.session.bench.build
    write_shell(press)
    page.body.row("mass_g").editor.setFocus()
    press("x")
    page.save()
    assert "'120x' was given" in page.body.row("mass_g").complaint
    assert QApplication.focusWidget() is page.body.row("mass_g").editor
    assert window.session.bench.build == before


def test_what_was_not_saved_is_back_the_next_time(
    page: RecipeForm, window: Window, press: Press, shortcut: Shortcut
) -> None:
    write_shell(press)
    press(Key.Key_Escape)
    assert window.pages.currentWidget() is not page
    shortcut("Ctrl+Alt+M")
    again = window.pages.currentWidget()
    assert isinstance(again, RecipeForm)
    assert again.sum.text == "4.95 EUR · 120.0 g"
    assert "What you typed last time is back" in again.trouble.text


def test_another_kind_of_ingredient_asks_for_other_figures_and_keeps_what_both_have(
    page: RecipeForm, press: Press
) -> None:
    write_shell(press)
    kind = page.body.row("kind").editor
    assert isinstance(kind, Choice)
    kind.setFocus()
    # The words of the kinds stand in their order: printed, by area, by volume, at a flat price.
    press(Key.Key_Down, Key.Key_Down)
    assert isinstance(page.recipe.ingredients[0], Volume)
    keys = [row.key for row in page.body.rows]
    assert keys[:6] == [
        "kind", "name", "material", "volume_cm3", "density_g_per_cm3", "price_per_kg"
    ]  # fmt: skip
    assert page.body.row("price_per_kg").text == "25"
    material = page.body.row("material").editor
    assert isinstance(material, Choice)
    material.setCurrentIndex(material.findData("pla"))
    page.body.row("volume_cm3").editor.setFocus()
    press("100")
    assert page.body.row("waste_percent").text == "10"
    # PLA is 1.24 g/cm³ (makers of filament), so that 100 cm³ are 124 g; 10 % more are bought.
    assert page.sum.text == "3.41 EUR · 124.0 g"


def test_kinds_have_the_name_in_common() -> None:
    one = Printed("nose", mass_g=Decimal(10), waste_percent=Decimal(5))
    other = as_kind(one, "area")
    assert isinstance(other, Area)
    assert (other.name, other.waste_percent, other.area_cm2) == ("nose", Decimal(5), None)


def test_who_goes_through_the_kinds_and_back_finds_everything_again() -> None:
    one = Printed("nose", mass_g=Decimal(10), failed_percent=Decimal(5))
    kept: dict[str, object] = {}
    assert as_kind(as_kind(one, "area", kept), "printed", kept) == one


def test_rows_are_removed_and_hours_count_only_with_a_price(page: RecipeForm, press: Press) -> None:
    write_shell(press)
    page.body.row("hours").editor.setFocus()
    press("3")
    assert page.sum.text.startswith("4.95")
    press(Key.Key_Tab, "12")
    assert page.sum.text.startswith("40.95")
    page.table.setFocus()
    press("n")
    press("Paint")
    assert page.note.text == "no price yet: Paint; no mass yet: Paint"
    press(Key.Key_Delete, to=page.table)
    assert [row[0] for row in texts(page.table)] == ["Shell"]


def test_a_motor_is_not_made(window: Window, shortcut: Shortcut) -> None:
    window.session.bench.choose_slot("motor")
    shortcut("Ctrl+Alt+M")
    assert "Only a body, a chassis or an extra is made" in window.hints.trouble
    assert not isinstance(window.pages.currentWidget(), RecipeForm)


def test_the_parts_form_leads_there(window: Window, plan: int, press: Press) -> None:
    window.parts.edit_slot()
    assert window.parts.form is not None
    push = window.parts.form.recipe_button  # type: ignore[attr-defined]
    assert push.isVisible()
    push.setFocus()
    press(Key.Key_Return)
    assert isinstance(window.pages.currentWidget(), RecipeForm)


def test_the_form_of_a_motor_leads_to_no_recipe(window: Window) -> None:
    window.session.bench.choose_slot("motor")
    window.parts.edit_slot()
    assert window.parts.form is not None
    seen = [
        one.accessibleName() for one in window.parts.form.findChildren(QWidget) if one.isVisible()
    ]
    assert "save" in seen
    assert "how it is made" not in seen
