"""A figure edited in its row on the shelf, by keyboard alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from pennyspeed.desktop.parts.part_form import PartForm
from pennyspeed.desktop.shelf.figure_editor import FigureEditor
from pennyspeed.desktop.window import Window
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]


@pytest.fixture
def on_shelf(window: Window) -> Window:
    """A wide window with the keyboard on the motors."""
    window.resize(1900, 900)
    QApplication.processEvents()
    window.home.go_to_slot("motor")
    return window


def opened(window: Window, press: Press, key: str = "") -> FigureEditor:
    """Press F3, and go on to the figure of that key by Alt and an arrow."""
    press(Key.Key_F3)
    edit = window.parts.figure_editor
    assert edit.isVisible()
    for _ in range(40):
        if not key or edit.row.key == key:
            return edit
        QTest.keyClick(edit.row.editor, Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    raise AssertionError(key)


def stored(window: Window, part: Part) -> Part:
    return window.session.file.workshop.catalogue.part(part.id)


def test_a_figure_is_typed_with_its_unit_and_its_source_in_its_row(
    on_shelf: Window, press: Press, shortcut: Shortcut
) -> None:
    window, part = on_shelf, on_shelf.shelf.part_here()
    edit = opened(window, press, "mass_g")
    assert edit.row.editor.hasFocus()
    press("6.5 oz")
    press(Key.Key_Tab)
    assert edit.row.source.hasFocus()
    press("measured", Key.Key_Return)
    assert not edit.is_open
    now = stored(window, part)
    # One ounce is 28.349523125 g: international avoirdupois pound of 0.45359237 kg, 1959.
    assert now.number("mass_g") == pytest.approx(6.5 * 28.349523125)
    assert now.provenance_of("mass_g") is Provenance.MEASURED
    assert window.shelf.table.hasFocus()
    assert window.shelf.part_here() == now
    shortcut("Ctrl+Z")
    assert stored(window, part) == part
    assert window.shelf.part_here().id == part.id


def test_the_line_stands_where_the_figure_stood(on_shelf: Window, press: Press) -> None:
    table, model = on_shelf.shelf.table, on_shelf.shelf.model
    press(Key.Key_Down)
    edit = opened(on_shelf, press, "resistance_mohm")
    column = next(i for i, one in enumerate(model.rows.columns) if one.key == "resistance_mohm")
    assert not table.isColumnHidden(column)
    cell = table.visualRect(model.index(table.currentIndex().row(), column))
    editor = edit.row.editor
    corner = table.viewport().mapFromGlobal(editor.mapToGlobal(QPoint(0, 0)))
    assert corner.x() + editor.width() == pytest.approx(cell.x() + cell.width(), abs=1)
    assert cell.y() <= corner.y() < corner.y() + editor.height() <= cell.y() + cell.height() + 1


def test_it_starts_at_the_figure_edited_last_and_the_form_does_too(
    on_shelf: Window, press: Press
) -> None:
    window = on_shelf
    opened(window, press, "mass_g")
    press(Key.Key_Escape)
    assert window.shelf.table.hasFocus()
    press(Key.Key_Down, Key.Key_F3)
    assert window.parts.figure_editor.row.key == "mass_g"
    press("not a weight")
    press(Key.Key_F2)
    assert window.parts.figure_editor.is_open, "bad input is not left behind"
    press(Key.Key_Escape, Key.Key_F2)
    form = window.pages.currentWidget()
    assert isinstance(form, PartForm)
    assert form.body.row("mass_g").editor.hasFocus()


def test_f2_goes_on_in_the_form_with_what_was_typed(on_shelf: Window, press: Press) -> None:
    part = on_shelf.shelf.part_here()
    opened(on_shelf, press, "mass_g")
    press("77", Key.Key_F2)
    form = on_shelf.pages.currentWidget()
    assert isinstance(form, PartForm)
    assert form.body.row("mass_g").editor.hasFocus()
    assert form.body.row("mass_g").text == "77 g"
    assert stored(on_shelf, part).number("mass_g") == 77


def test_bad_input_is_told_and_kept_and_escape_takes_it_back(
    on_shelf: Window, press: Press
) -> None:
    part = on_shelf.shelf.part_here()
    edit = opened(on_shelf, press, "mass_g")
    press("heavy", Key.Key_Return)
    assert edit.is_open
    assert "'heavy'" in edit.complaint
    assert edit.row.text == "heavy"
    press(Key.Key_Escape)
    assert not edit.is_open
    assert stored(on_shelf, part) == part
    assert not on_shelf.session.undo_stack.canUndo()


def test_nothing_typed_is_nothing_changed(on_shelf: Window, press: Press) -> None:
    on_shelf.preferences.choose(length_unit="in", mass_unit="oz")
    part = on_shelf.shelf.part_here()
    for key in ("can_mm", "mass_g", "price", "name"):
        opened(on_shelf, press, key)
        press(Key.Key_Return)
    assert stored(on_shelf, part) == part
    assert not on_shelf.session.undo_stack.canUndo()


def test_tab_keeps_and_goes_through_every_figure(on_shelf: Window, press: Press) -> None:
    part = on_shelf.shelf.part_here()
    edit = opened(on_shelf, press, "name")
    seen = [edit.row.key]
    while len(seen) < 60:
        press(Key.Key_Tab)
        if edit.row.key != seen[-1]:
            seen.append(edit.row.key)
            if seen[-1] == seen[0]:
                break
        if edit.row.key == "mass_g" and edit.row.editor.hasFocus():
            press("99")
    assert {field.key for field in part.kind.fields} | {"name", "price"} <= set(seen)
    assert stored(on_shelf, part).number("mass_g") == 99
    press(Key.Key_Backtab)
    assert edit.row.key == seen[-2]


def test_down_keeps_and_goes_to_the_same_figure_of_the_next_part(
    on_shelf: Window, press: Press
) -> None:
    window = on_shelf
    window.shelf.table.sort_by(0, Qt.SortOrder.AscendingOrder)
    window.shelf.table.stand_on(0)
    first, second = window.shelf.rows.part(0), window.shelf.rows.part(1)
    edit = opened(window, press, "mass_g")
    press("111", Key.Key_Down)
    assert edit.row.key == "mass_g"
    press("222", Key.Key_Return)
    assert stored(window, first).number("mass_g") == 111
    assert stored(window, second).number("mass_g") == 222


def test_leaving_keeps_what_is_good(on_shelf: Window, press: Press) -> None:
    part = on_shelf.shelf.part_here()
    edit = opened(on_shelf, press, "mass_g")
    press("88")
    on_shelf.slots.view.setFocus()
    assert not edit.isVisible()
    assert on_shelf.slots.view.hasFocus()
    assert stored(on_shelf, part).number("mass_g") == 88


def test_the_build_follows_and_the_hints_tell_the_keys(on_shelf: Window, press: Press) -> None:
    window = on_shelf
    window.shelf.table.stand_on(window.shelf.rows.row_now)
    before = window.verdict.speed
    opened(window, press, "kv_rpm_per_v")
    assert (("Esc",), "leave as it was") in window.hints.hints
    press("1500", Key.Key_Return)
    assert window.session.bench.build.part("motor").number("kv_rpm_per_v") == 1500
    assert window.verdict.speed != before


def test_another_slot_closes_it(on_shelf: Window, press: Press) -> None:
    edit = opened(on_shelf, press)
    on_shelf.session.bench.choose_slot("body")
    assert not edit.is_open
    assert not edit.isVisible()


def test_it_is_mirrored_right_to_left(on_shelf: Window, press: Press, qapp: QApplication) -> None:
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        QApplication.processEvents()
        edit = opened(on_shelf, press, "mass_g")
        label, editor, source = edit._label, edit.row.editor, edit.row.source
        assert editor.x() > source.x() > label.x()
        assert on_shelf.shelf.table.viewport().geometry().contains(edit.geometry())
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
