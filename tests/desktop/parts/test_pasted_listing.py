"""A listing pasted into the window: its words beside the fields, and nothing stored before that."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from pennyspeed.desktop.parts.part_form import PartForm
from pennyspeed.desktop.window import Window
from pennyspeed.domain.parts.provenance import Provenance

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")
"""What the platform without a screen says of every menu that opens."""

Key = Qt.Key
Press = Callable[..., None]
LEFT = Qt.MouseButton.LeftButton
LISTING = """Selling my Siskin 3150 sensorless motor
62A cont., 36000rpm max
3150KV, 4mm bullets, ran twice
can 36 x 50 mm, gold end bell
4 poles, spares thrown in
tracked post at cost, no swaps"""


def paste(window: Window, text: str) -> PartForm:
    """Copy a text and press Ctrl+V where the keyboard is."""
    QApplication.clipboard().setText(text)
    QTest.keySequence(QApplication.focusWidget(), "Ctrl+V")
    QApplication.processEvents()
    form = window.pages.currentWidget()
    assert isinstance(form, PartForm)
    return form


@pytest.fixture
def on_shelf(window: Window) -> Window:
    window.shelf.focus_table()
    return window


def click_word(form: PartForm, text: str) -> None:
    at = form.body.pane.place_of(text)
    assert at is not None, text
    QTest.mouseClick(form.body.pane, LEFT, pos=QPoint(*at))


def test_a_listing_fills_the_fields_and_is_stored_only_when_saved(on_shelf: Window) -> None:
    workshop = on_shelf.session.file.workshop
    count = len(workshop.catalogue.parts("motor"))
    form = paste(on_shelf, LISTING)
    texts = form.body.texts
    assert texts["name"] == "Siskin 3150"
    assert (texts["kv_rpm_per_v"], texts["can_mm"]) == ("3150 rpm/V", "36 mm")
    assert (texts["length_mm"], texts["poles"]) == ("50 mm", "4")
    assert texts["peak_current_a"] == ""
    assert len(workshop.catalogue.parts("motor")) == count
    QTest.keySequence(QApplication.focusWidget(), "Ctrl+S")
    stored = next(p for p in workshop.catalogue.parts("motor") if p.name == "Siskin 3150"
                  and p.number("length_mm") == 50)  # fmt: skip
    assert stored.provenance_of("kv_rpm_per_v") is Provenance.MAKER
    assert on_shelf.shelf.part_here() == stored
    assert on_shelf.shelf.table.hasFocus()


def test_words_are_joined_to_their_fields_and_the_chosen_one_strongly(on_shelf: Window) -> None:
    form = paste(on_shelf, LISTING)
    pane = form.body.pane
    assert set(pane._joins) == {
        "name", "kv_rpm_per_v", "can_mm", "length_mm", "max_rpm", "continuous_current_a", "poles",
    }  # fmt: skip
    for key, join in pane._joins.items():
        editor = form.body.row(key).editor
        assert abs(join.y + pane.y() - editor.geometry().center().y()) <= 3, key
    form.body.row("poles").focus()
    assert pane._chosen_key == "poles"
    said = {row.key: form.body._origins[row.key].words for row in form.body.rows[:7]}
    assert said["kv_rpm_per_v"] == "the listing, ±5 %"
    assert said["poles"] == "the listing"


def test_lines_keep_their_order_and_each_word_is_there_once(on_shelf: Window) -> None:
    form = paste(on_shelf, LISTING)
    words = [word.text + word.tail for line in form.body.pane.lines for word in line]
    assert " ".join(words) == " ".join(LISTING.split())


def test_a_word_that_is_not_understood_is_given_a_field_by_a_click_and_by_the_keyboard(
    on_shelf: Window, press: Press
) -> None:
    form = paste(on_shelf, LISTING)
    click_word(form, "4mm")
    labels = [action.text() for action in form.menu.actions()]
    assert "shaft diameter" in labels
    assert "Kv" not in labels
    form.menu.actions()[labels.index("shaft diameter")].trigger()
    form.menu.close()
    assert form.body.row("shaft_mm").text == "4mm"
    assert form.body.row("shaft_mm").editor.hasFocus()

    pane = form.body.pane
    press(Key.Key_Right, to=pane)
    assert "not understood" in pane.accessibleName()
    press(Key.Key_Return, to=pane)
    assert form.menu.isVisible()
    form.menu.close()


def test_a_click_on_a_figure_goes_to_its_field(on_shelf: Window) -> None:
    form = paste(on_shelf, LISTING)
    click_word(form, "3150KV")
    assert form.body.row("kv_rpm_per_v").editor.hasFocus()


def test_two_values_for_one_field_are_named_and_none_is_taken_before_one_is_chosen(
    on_shelf: Window,
) -> None:
    form = paste(on_shelf, "Siskin 36 brushless motor 3150KV\nlabel says 3200 KV\n36 x 50 mm")
    row = form.body.row("kv_rpm_per_v")
    assert row.text == ""
    origin = form.body._origins["kv_rpm_per_v"]
    assert origin.is_open
    assert origin.words == "says 3,150 and 3,200"
    form.save()
    assert on_shelf.pages.currentWidget() is form
    assert row.complaint
    word = next(w for line in form.body.pane.lines for w in line if "kv_rpm_per_v" in w.keys)
    click_word(form, word.text)
    next(one for one in form.menu.actions() if one.text() == "3200 rpm/V").trigger()
    form.menu.close()
    assert row.text == "3200 rpm/V"


def test_a_typed_figure_is_never_overwritten(window: Window, press: Press) -> None:
    window.parts.new_part("motor")
    form = window.parts.form
    form.body.row("kv_rpm_per_v").focus()
    press("3100")
    assert paste(window, LISTING) is form
    assert form.body.row("kv_rpm_per_v").text == "3100"
    assert form.body._origins["kv_rpm_per_v"].words == "you typed 3100"
    assert form.body.row("poles").text == "4"


def test_one_word_is_pasted_into_its_field_as_it_stands(window: Window) -> None:
    window.parts.new_part("motor")
    form = window.parts.form
    form.body.row("supplier").focus()
    paste(window, "Wagtail Post Orders")
    assert form.body.row("supplier").text == "Wagtail Post Orders"
    assert form.body.reading is None


def test_a_text_that_fits_two_kinds_asks_which_and_stores_nothing(
    on_shelf: Window, press: Press
) -> None:
    text = "Tuff 160A sensored ESC combo with Siskin 3650 3150KV motor, as new, 90 EUR the pair"
    form = paste(on_shelf, text)
    assert form.body.rows == []
    assert "say which one it is; nothing is stored" in form.body.reading.note
    labels = [one.text() for one in form.body.kind_buttons]
    assert labels == ["controller", "motor"]
    QTest.keySequence(QApplication.focusWidget(), "Ctrl+S")
    assert on_shelf.pages.currentWidget() is form
    press(Key.Key_Tab, Key.Key_Return)
    assert form.body.row("kv_rpm_per_v").text


def test_a_text_that_fits_none_offers_every_kind(on_shelf: Window) -> None:
    form = paste(on_shelf, "a box of odds and ends,\nas seen")
    assert "fits no kind" in form.body.reading.note
    assert len(form.body.kind_buttons) == 9


def test_a_listing_of_another_kind_is_refused_where_something_is_typed(
    window: Window, press: Press
) -> None:
    window.parts.edit_part(window.session.bench.build.part("pack"))
    form = window.parts.form
    before = form.body.texts
    paste(window, LISTING)
    assert "not like a pack" in form.trouble.text
    assert form.body.texts == before


def test_nothing_copied_is_said_in_one_sentence(on_shelf: Window) -> None:
    QApplication.clipboard().setText(" ")
    QTest.keySequence(on_shelf.shelf.table, "Ctrl+V")
    assert on_shelf.pages.currentWidget() is on_shelf.home.widget
    assert "listing" in on_shelf.hints.trouble


def test_the_field_takes_a_typed_line(window: Window, press: Press) -> None:
    window.parts.new_part("pack")
    form = window.parts.form
    form.body.listing_field.setFocus()
    press("Millet 4000 LiPo pack 3S 4000 mAh 60C", Key.Key_Return)
    assert form.body.row("capacity_mah").text == "4000 mAh"
    assert form.body.listing_field.isHidden()
