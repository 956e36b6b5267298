"""Units, theme, text size, and the way around by keyboard."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.session import settings as settings_file
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window
from pennyspeed.domain.units import KMH, MPH

Key = Qt.Key
Press = Callable[..., None]


def test_miles_per_hour_everywhere(window: Window) -> None:
    kmh = KMH.to_si(float(window.verdict.speed))
    window.menus.actions["speed_unit=mph"].trigger()
    assert float(window.verdict.speed) == pytest.approx(MPH.from_si(kmh), abs=0.6)
    assert window.top.field("target").value.endswith("mph")
    assert "mph" in window.home.stack.road.accessibleDescription()
    assert "km/h" not in window.home.stack.road.accessibleDescription()
    for row in window.verdict.rows:
        assert "km/h" not in row.figure
    for check in window.verdict.model.shown:
        assert "km/h" not in check.text


def test_inches_and_ounces(window: Window) -> None:
    window.session.bench.choose_slot("motor")
    window.preferences.choose(length_unit="in", mass_unit="oz")
    titles = [column.title for column in window.shelf.rows.columns]
    assert "can in" in titles
    assert "can mm" not in titles
    column = titles.index("can in")
    part = window.shelf.rows.part(0)
    assert float(window.shelf.rows.text(0, column)) == pytest.approx(
        part.number("can_mm") / 25.4, abs=0.006
    )
    assert window.slots._figures[0].figure.endswith(" oz")


def test_marks_follow_the_locale() -> None:
    german = QLocale(QLocale.Language.German, QLocale.Country.Germany)
    measures = settings_file.measures(Settings(), german)
    assert measures.number(1234.5, 1) == "1.234,5"


def test_dark_and_light_at_once(window: Window) -> None:
    light = window.grab().toImage().pixelColor(3, 740)
    window.menus.actions["theme=dark"].trigger()
    dark = window.grab().toImage().pixelColor(3, 740)
    assert light.lightness() > 200
    assert dark.lightness() < 60
    assert theme.current() is theme.DARK
    window.menus.actions["theme=light"].trigger()
    assert window.grab().toImage().pixelColor(3, 740) == light


@pytest.mark.parametrize("percent", theme.TEXT_PERCENTS)
def test_every_text_size_lays_out(window: Window, percent: int) -> None:
    window.preferences.choose(text_percent=percent)
    QApplication.processEvents()
    assert window.top.height() == theme.px(48)
    assert window.slots.view.slot_height() >= theme.px(48)
    assert window.shelf.table.verticalHeader().defaultSectionSize() == theme.px(32)
    assert window.body.width() >= theme.px(1024)
    assert window.home.stack.road.height() >= theme.px(150)


def test_choices_are_kept(open_window: Callable[..., Window], tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    window = open_window(None, path)
    window.preferences.choose(speed_unit="mph", theme="dark", text_percent=125)
    window.close()
    kept = settings_file.load(path)
    assert (kept.speed_unit, kept.theme, kept.text_percent) == ("mph", "dark", 125)
    assert kept.geometry


@pytest.mark.parametrize("text", ["", "{", "[]", '{"theme": 5, "text_percent": 90, "other": 1}'])
def test_damaged_settings_cost_no_more_than_the_choice(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.json"
    path.write_text(text)
    assert settings_file.load(path) == Settings()


def test_tab_goes_round_by_the_reading_order(window: Window, press: Press) -> None:
    window.top.take_focus()
    seen: list[QWidget] = []
    for _ in range(len(window.stops) + 1):
        seen.append(QApplication.focusWidget())
        press(Key.Key_Tab)
    assert seen[:-1] == window.stops
    assert seen[-1] is window.top.name


def test_shift_tab_goes_back(window: Window) -> None:
    from PySide6.QtTest import QTest

    window.slots.view.setFocus()
    QTest.keyClick(window.slots.view, Key.Key_Tab, Qt.KeyboardModifier.ShiftModifier)
    assert window.top.name.hasFocus()


def test_focus_is_seen_on_every_stop(window: Window) -> None:
    """Every stop paints something else while it has the keyboard."""
    window.top.more.setFocus()
    for stop in window.stops:
        window.top.more.setFocus()
        QApplication.processEvents()
        without = stop.grab().toImage()
        stop.setFocus()
        QApplication.processEvents()
        assert stop.grab().toImage() != without, stop


def test_slash_narrows_from_anywhere_and_escape_comes_back(window: Window, press: Press) -> None:
    window.slots.view.setFocus()
    press(Key.Key_Slash)
    assert window.shelf.field.hasFocus()
    press("zzz")
    assert window.shelf.model.rowCount() == 0
    press(Key.Key_Escape)
    assert window.shelf.field.text() == ""
    assert window.shelf.model.rowCount() > 0
    press(Key.Key_Escape)
    assert window.shelf.table.hasFocus()
    press(Key.Key_Left)
    assert window.slots.view.hasFocus()


def test_arrows_go_along_the_top_line(window: Window, press: Press) -> None:
    window.top.take_focus()
    press(Key.Key_Right)
    assert window.top.field("target").hasFocus()
    press(Key.Key_Right)
    assert window.top.field("cap").hasFocus()
    press(Key.Key_Left, Key.Key_Left)
    assert window.top.name.hasFocus()


def test_every_stop_and_field_has_a_name(window: Window) -> None:
    for one in (
        *window.stops,
        *window.top.fields,
        window.top.more,
        window.top.menu,
        window.verdict,
    ):
        interface = QAccessible.queryAccessibleInterface(one)
        assert interface.text(QAccessible.Text.Name).strip(), one


def test_hints_follow_the_keyboard(window: Window) -> None:
    window.slots.view.setFocus()
    first = window.hints.accessibleDescription()
    window.shelf.focus_table()
    second = window.hints.accessibleDescription()
    window.home.stack.road.setFocus()
    assert len({first, second, window.hints.accessibleDescription()}) == 3
    assert "put it in" in second


def test_no_shortcut_is_given_twice(window: Window) -> None:
    taken: dict[str, str] = {}
    for key, action in window.menus.actions.items():
        for sequence in action.shortcuts():
            text = sequence.toString()
            assert text not in taken, (text, key, taken[text])
            taken[text] = key


def test_right_to_left_mirrors_the_columns(window: Window, qapp: QApplication) -> None:
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        QApplication.processEvents()
        assert window.slots.x() > window.verdict.x()
        assert window.top.name.x() > window.top.menu.x()
        assert not window.grab().isNull()
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def test_plot_and_shelf_share_the_height_by_key(window: Window) -> None:
    before = window.home.stack.road.height()
    window.menus.actions["taller"].trigger()
    QApplication.processEvents()
    assert window.home.stack.road.height() > before
    rows = window.shelf.table.viewport().height() / theme.px(32)
    assert rows == pytest.approx(round(rows))


def test_cautions_can_be_read_and_closed(window: Window, press: Press) -> None:
    window.menus.actions["cautions"].trigger()
    page = window.pages.currentWidget()
    assert "lithium" in page.accessibleDescription()
    press(Key.Key_Escape)
    assert window.pages.currentWidget() is window.home.widget
