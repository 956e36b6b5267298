"""A part written down, changed, archived and deleted in the window."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from pennyspeed.desktop.parts.part_form import PartForm
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.window import Window
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.fields import Shape
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import IN, OZ
from pennyspeed.services.editing.figures import read_figure, shown_value

Key = Qt.Key
Press = Callable[..., None]


def form_of(window: Window) -> PartForm:
    form = window.pages.currentWidget()
    assert isinstance(form, PartForm)
    return form


def fill(form: PartForm, **texts: str) -> None:
    for key, text in texts.items():
        editor = form.body.row(key).editor
        editor.setFocus()
        editor.selectAll()
        QTest.keyClicks(editor, text)


def test_every_field_of_the_kind_is_there(window: Window) -> None:
    for kind in BY_KEY.values():
        window.parts.new_part(kind.key)
        keys = [row.key for row in form_of(window).body.rows]
        assert set(keys) >= {field.key for field in kind.fields} | {"name", "price", "supplier"}
        form_of(window).leave()


def test_a_new_part_comes_onto_the_shelf_and_goes_in(window: Window, press: Press) -> None:
    window.session.bench.choose_slot("pinion")
    window.parts.new_part()
    form = form_of(window)
    fill(form, name="33 teeth, odd", teeth="33", module_mm="0.8", price="7.25", supplier="Pier 3")
    QTest.keySequence(form.body.row("name").editor, "Ctrl+S")
    assert window.pages.currentWidget() is window.home.widget
    part = next(p for p in window.session.catalogue.parts("pinion") if p.name == "33 teeth, odd")
    assert part.number("teeth") == 33
    assert str(part.price.amount) == "7.25"
    assert part.price.supplier == "Pier 3"
    window.shelf.table.stand_on(window.shelf.rows.row_of(part))
    window.shelf.table.setFocus()
    press(Key.Key_Return)
    assert window.session.bench.build.part("pinion").name == "33 teeth, odd"


@pytest.mark.parametrize(
    ("key", "held"),
    [
        (Key.Key_S, Qt.KeyboardModifier.ControlModifier),
        (Key.Key_Escape, Qt.KeyboardModifier.NoModifier),
    ],
)
def test_keys_that_save_and_leave_are_the_form_s_before_the_window_s(
    window: Window, key: Qt.Key, held: Qt.KeyboardModifier
) -> None:
    window.parts.new_part()
    event = QKeyEvent(QEvent.Type.ShortcutOverride, key, held)
    event.ignore()
    QApplication.sendEvent(form_of(window), event)
    assert event.isAccepted()


def test_the_shelf_has_a_button_for_a_new_part(window: Window) -> None:
    buttons = [one for one in window.shelf.findChildren(Button) if one.text() == "new part"]
    QTest.mouseClick(buttons[0], Qt.MouseButton.LeftButton)
    assert form_of(window).title.text.startswith("A new ")


def test_bad_figures_are_named_beside_them_and_nothing_is_stored(window: Window) -> None:
    window.session.bench.choose_slot("motor")
    count = len(window.session.catalogue.parts("motor"))
    window.parts.new_part()
    form = form_of(window)
    fill(form, name="Nope", kv_rpm_per_v="fast", resistance_mohm="-1")
    form.save()
    assert form_of(window) is form
    complaints = {row.key: row.complaint for row in form.body.rows if row.complaint}
    assert set(complaints) == {"kv_rpm_per_v", "resistance_mohm"}
    assert "'fast" in complaints["kv_rpm_per_v"]
    assert "expected a number" in complaints["kv_rpm_per_v"]
    assert form.body.row("name").text == "Nope"
    assert len(window.session.file.workshop.catalogue.parts("motor")) == count


def test_a_changed_figure_changes_the_build_that_uses_it(window: Window) -> None:
    window.session.bench.choose_slot("body")
    body = window.session.bench.build.part("body")
    before = float(window.verdict.speed)
    window.parts.edit_part(body)
    form = form_of(window)
    assert form.body.row("drag_coefficient").text.startswith("0")
    fill(form, drag_coefficient="2.5")
    form.save()
    assert window.session.bench.build.part("body").number("drag_coefficient") == 2.5
    assert float(window.verdict.speed) < before


def test_provenance_is_chosen_per_figure(window: Window) -> None:
    body = window.session.bench.build.part("body")
    window.parts.edit_part(body)
    form = form_of(window)
    source = form.body.row("frontal_area_cm2").source
    source.setCurrentIndex(source.findData("measured"))
    form.save()
    stored = window.session.file.workshop.catalogue.part(body.id)
    assert stored.provenance_of("frontal_area_cm2") is Provenance.MEASURED
    assert stored.provenance_of("drag_coefficient") is body.provenance_of("drag_coefficient")


def test_a_part_in_use_is_not_deleted_but_can_be_archived(window: Window) -> None:
    motor = window.session.bench.build.part("motor")
    window.session.bench.choose_slot("motor")
    window.parts.edit_part(motor)
    form = form_of(window)
    QTest.mouseClick(form.delete_button, Qt.MouseButton.LeftButton)
    assert form_of(window) is form
    assert window.session.bench.build.name in form.trouble.text
    assert "archive" in form.trouble.text
    QTest.mouseClick(form.archive_button, Qt.MouseButton.LeftButton)
    assert window.pages.currentWidget() is window.home.widget
    assert window.shelf.rows.row_of(motor) == -1
    window.menus.actions["archived"].trigger()
    row = window.shelf.rows.row_of(motor)
    assert row >= 0
    assert window.shelf.rows.part(row).archived
    assert window.session.bench.build.part("motor").name == motor.name
    window.parts.edit_part(window.shelf.rows.part(row))
    assert form_of(window).archive_button.text() == "fetch back"
    QTest.mouseClick(form_of(window).archive_button, Qt.MouseButton.LeftButton)
    assert not window.shelf.rows.part(window.shelf.rows.row_of(motor)).archived


def test_an_unused_part_is_deleted(window: Window) -> None:
    used = {part.id for part in window.session.bench.build.parts.values()}
    window.session.bench.choose_slot("body")
    unused = None
    for part in window.session.catalogue.parts("body"):
        if part.id not in used:
            window.parts.edit_part(part)
            form_of(window)._delete()
            if window.pages.currentWidget() is window.home.widget:
                unused = part
                break
            form_of(window).leave()
    assert unused is not None
    assert unused.name not in [p.name for p in window.session.catalogue.parts("body")]


def test_escape_keeps_the_draft(window: Window, press: Press) -> None:
    window.session.bench.choose_slot("motor")
    window.parts.new_part()
    fill(form_of(window), name="Half written")
    press(Key.Key_Escape)
    assert window.pages.currentWidget() is window.home.widget
    window.parts.new_part()
    assert form_of(window).body.row("name").text == "Half written"
    assert form_of(window).trouble.text


def test_a_draft_keeps_where_figures_come_from(window: Window, press: Press) -> None:
    body = window.session.bench.build.part("body")
    window.parts.edit_part(body)
    source = form_of(window).body.row("frontal_area_cm2").source
    source.setCurrentIndex(source.findData("measured"))
    press(Key.Key_Escape)
    window.parts.edit_part(body)
    assert form_of(window).body.row("frontal_area_cm2").chosen_source == "measured"
    form_of(window).save()
    window.parts.edit_part(window.session.bench.build.part("body"))
    assert form_of(window).trouble.text == ""


def test_tab_goes_through_figures_and_sources_to_the_verbs_and_ends_with_close(
    window: Window, press: Press
) -> None:
    window.parts.edit_part(window.session.bench.build.part("body"))
    form = form_of(window)
    stops = [one for row in form.body.rows for one in row.stops]
    stops += [form.save_button, form.archive_button, form.delete_button, form.recipe_button]
    stops += [form.close_button]
    stops[0].setFocus()
    for stop in stops:
        assert QApplication.focusWidget() is stop
        press(Key.Key_Tab)


def test_a_part_saved_untouched_stays_the_same_in_other_units(window: Window) -> None:
    window.preferences.choose(length_unit="in", mass_unit="oz", speed_unit="mph")
    for slot in ("motor", "tyres", "chassis", "pack"):
        part = window.session.bench.build.part(slot)
        window.parts.edit_part(part)
        form_of(window).save()
        assert window.session.file.workshop.catalogue.part(part.id) == part


@pytest.mark.parametrize("measures", [Measures(), Measures(length_unit=IN, mass_unit=OZ)])
def test_what_the_form_shows_reads_back(measures: Measures) -> None:
    for kind in BY_KEY.values():
        for field in kind.fields:
            if field.shape is Shape.SIZE:
                value: object = (138.0, 46.5, 25.0)
            elif field.shape in (Shape.TEXT, Shape.CHOICE):
                continue
            else:
                value = (
                    max(4, field.low)
                    if field.shape is Shape.WHOLE
                    else min(max(0.75, 2 * field.low), field.high)
                )
            shown = shown_value(field, value, measures)
            assert read_figure(field, shown, measures) == pytest.approx(value, rel=1e-8)


def test_focus_goes_into_the_form_and_back(window: Window, press: Press) -> None:
    window.shelf.focus_table()
    press(Key.Key_F2)
    form = form_of(window)
    assert form.isAncestorOf(QApplication.focusWidget())
    press(Key.Key_Escape)
    assert window.shelf.table.hasFocus()
